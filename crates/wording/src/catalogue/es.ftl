# Spanish. Which word was chosen for which thing is in GLOSSARY.md.

## Numbers

unknown = desconocido
range = { $low } a { $high }
estimate = { $value } { $unit } (95 %: { $low } a { $high })
estimate-both = { $value } { $unit } ({ $micron }; 95 %: { $low } a { $high } { $unit })
at-most = como máximo { $value }
before-noon = a. m.
after-noon = p. m.
seconds = segundos
minutes = minutos
hours = horas
days = { $range } días
months = { $range } meses
years = { $range } años
per-year = g/año
list-and = { $list } y { $last }
labelled = { $name }: { $text }
clause-break = { "; " }

## Verdict and its reasons

verdict-pass = SUPERADO
verdict-fail = NO SUPERADO
verdict-not-proven = NO DEMOSTRADO
verdict-pass-rule = SUPERADO según la regla
pass-leak = hay indicios de una fuga
pass-leak-size = hay indicios de una fuga: { $size }
pass-cause-unknown = no se sabe de qué viene la subida
pass-reason = Evacuado hasta el objetivo de { $target } y luego retenido { $time } por debajo del límite de { $ceiling }.
pass-reason-highest = Evacuado hasta el objetivo de { $target } y luego retenido { $time } por debajo del límite de { $ceiling }, máximo { $highest }.
pass-without-hold = Se cumplen los criterios.
no-reason = No se registró ningún motivo.
reason-target-not-reached = la evacuación no alcanzó el objetivo
reason-hold-too-short = la prueba de mantenimiento fue más corta de lo que exigen los criterios
reason-ceiling-exceeded = la presión superó el límite durante la prueba de mantenimiento
reason-no-isolation = el registro no muestra cuándo se aisló la bomba
reason-gap-in-hold = faltan lecturas en la prueba de mantenimiento
reason-gauge-fault = el vacuómetro indicó una avería o salió de su rango en la prueba de mantenimiento
reason-pump-open-at-stop = la bomba se paró con su válvula todavía abierta
reason-no-readings = no hay ninguna medida que juzgar
reason-ice-possible = la prueba de mantenimiento queda donde queda el hielo en el punto más frío del sistema: no muestra que el sistema esté seco
reason-gauge-too-coarse = la resolución del vacuómetro es demasiado gruesa para demostrar la prueba de mantenimiento
reason-gauge-shut-off = el puente de manómetros se cerró y el vacuómetro pudo quedar separado del sistema
reason-unit-doubtful = las lecturas parecen venir en otra unidad
reason-pump-on-too-short = la bomba se aisló demasiado pronto después del objetivo
reason-rose-too-much = la presión subió más de lo que admiten los criterios
reason-not-steady = la presión no era estable al final de la prueba
reason-repeat-asked = la presión quedó en la franja en la que hay que repetir la evacuación y la prueba
reason-rounds-missing = faltan evacuaciones que se exigen antes de esta
reason-sides-not-shown = se exigen ambos lados, y el trabajo no dice que se evacuaron ambos
reason-ambient-not-shown = se exige un local más cálido, o no se da su temperatura
reason-besides = { $reason } (medido: { $measured }; exigido: { $required })
pass-softer = con criterios más blandos que la práctica habitual ({ $target }, { $minutes } min)
softer-than-common = Con criterios más blandos que la práctica habitual ({ $target }, { $minutes } min). { $text }
reason-lowest = la evacuación no alcanzó el objetivo de { $target }: mínimo { $lowest }
reason-lasted = la prueba de mantenimiento duró { $lasted }, los criterios exigen { $asked }
reason-began-above = la prueba de mantenimiento empezó en { $start }, ya por encima del límite de { $ceiling }
reason-rose-above = la presión subió a { $highest } en la prueba de mantenimiento, por encima del límite de { $ceiling }
reason-other = un motivo para el que esta versión no tiene palabras

## Criteria

judged-against = Juzgado según: { $criteria } ({ $source }).
criteria = objetivo { $target }, prueba de mantenimiento { $minutes } min, límite { $ceiling }
criteria-besides = { $criteria }; además: { $further }
criteria-common = práctica habitual
criteria-common-source = práctica habitual, sin fuente publicada
criteria-given = según lo indicado
criteria-given-source = indicado en la línea de órdenes

## The review, line by line

round = Ciclo { $number }
pulldown-line = Evacuación de { $time }: mínimo { $lowest }, { $reached }.
nothing-measured = nada medido
lowest = mínimo { $pressure }
highest = máximo { $pressure }
from-to = de { $from } a { $to }
target-reached = objetivo alcanzado
target-reached-at = objetivo alcanzado en { $moment }
target-not-reached = objetivo no alcanzado
hold-line = Prueba de mantenimiento: { $figures }; aislado en { $moment } ({ $basis }).
basis-mark = según la marca
basis-given = según indicó quien revisa
basis-curve = hallado en la curva
basis-from-start = aislado desde el inicio del registro
note-line = nota: { $text }
note-line-at = nota: en { $moment }: { $text }
next-line = Siguiente paso: { $text }
record-line = registro: { $text }
left-out-line = omitido: { $text }
digest = Huella del registro: { $digest }. Para comprobarla: dryhold verify CARPETA.

## Phases of a run

phase-waiting = esperando al vacuómetro
phase-pull-down = evacuación
phase-at-target = objetivo alcanzado
phase-hold = prueba de mantenimiento

## Marks

mark-valve-opened = válvula abierta
mark-pump-side-shut = válvula de bomba cerrada
mark-pump-stopped = bomba parada
mark-nitrogen-break = vacío roto con nitrógeno
mark-throttled = flujo reducido
mark-ballast-opened = lastre de gas abierto
mark-heat-applied = calor aplicado
mark-pressurised = puesto a presión
mark-supply-shut = válvula de suministro cerrada
mark-vented = gas liberado
mark-note = nota
mark-from-device = dispositivo { $device }: { $words }

## Stalls: what held the pull-down up

stall-line = Estancamiento, { $kind }, { $from } a { $to } cerca de { $level }.
stall-foaming = espuma en el aceite de la bomba
stall-boil-off = agua en ebullición
stall-ice = agua congelada en hielo
stall-floor = presión final alcanzada
stall-choked = flujo estrangulado
stall-foaming-advice = reducir el flujo en la bomba hasta que el aceite se calme suele resolverlo; el aceite viejo conviene cambiarlo
stall-boil-off-advice = hierve agua líquida: calor suave y el lastre de gas abierto suelen ayudar; por debajo de { $freezing } el agua se congela, así que conviene dejarla hervir antes
stall-ice-advice = el agua se ha congelado y sale despacio como vapor: conviene calentar con suavidad el punto frío, nunca con llama; o romper el vacío con nitrógeno seco a través de un regulador y evacuar de nuevo; abrir el lastre de gas si la bomba lo tiene
stall-floor-advice = la bomba, el aceite, las mangueras, una fuga o humedad la retienen aquí: una prueba de la bomba y las mangueras cerradas sobre sí mismas dice cuál
stall-choked-advice = conviene buscar una válvula medio cerrada, una manguera doblada o fina, un obús sin quitar
stall-throttled = terminó al reducir el flujo
stall-ballast-opened = terminó al abrir el lastre de gas
stall-heat-applied = terminó al aplicar calor
stall-nitrogen-break = terminó al romper el vacío con nitrógeno
stall-cleared = se resolvió por sí solo
stall-isolated = duró hasta aislar la bomba
stall-still-on = sigue todavía
stall-rough = { $times } veces más irregular que el vacuómetro por sí solo
stall-gave-way = cedió al reducir el flujo
stall-rises-again = sube una y otra vez
stall-smooth = liso
stall-boils = liso, donde el agua hierve a { $c } °C
stall-sublimes = liso, donde el hielo sublima a { $c } °C
stall-levelling = se estabiliza
stall-levelling-at = se estabiliza en { $pressure }
stall-falling = baja un { $percent } % por minuto, mucho más despacio que una bomba

## Findings

said-isolation-from-curve = el aislamiento se halló en la curva; pudo ser hasta { $earlier } antes o { $later } después; una marca en la válvula lo haría seguro
said-starts-isolated = el registro empieza con una subida: se toma como aislado desde su primera lectura
said-pressure-falls = la presión bajó de { $from } a { $to } durante la prueba de mantenimiento: se absorbió o se enfrió gas, o la bomba seguía conectada
said-will-not-pass-leak = con esta subida se supera { $ceiling } unos { $minutes } min después de aislar (en más de { $odds } de 100 casos así): esta prueba de mantenimiento no se superará; la subida es recta: conviene buscar una fuga
said-will-not-pass = con esta subida se supera { $ceiling } unos { $minutes } min después de aislar (en más de { $odds } de 100 casos así): esta prueba de mantenimiento no se superará; seguir con la prueba sirve para saber la causa
said-left-range = la presión salió del rango del vacuómetro { $after } después de aislar: la subida es de al menos { $rate }
said-fit-stops-early = la subida se juzga solo hasta donde el vacuómetro y la fuga aún se comportan en línea recta
said-rise-began-late = la presión quedó estable { $minutes } min después de aislar y solo entonces subió; una fuga o agua hirviendo empieza enseguida, así que algo se soltó, se abrió, se calentó o llegó tarde al vacuómetro; la subida se juzga desde ahí
said-free-water-ahead = la subida no se ha estabilizado; donde puede terminar incluye la presión de saturación del agua a { $room } ({ $saturation }): puede quedar agua líquida en el sistema
said-free-water = la subida se estabiliza cerca de { $level }, la presión de saturación del agua a { $room } ({ $saturation }): probablemente queda agua líquida en el sistema
said-bound-moisture = la subida se estabiliza cerca de { $level }, muy por debajo de { $saturation } del agua libre a { $room }: más bien agua ligada en el aceite o el filtro, un punto frío, o refrigerante que sale del aceite
said-pass-with-leak = la regla se cumple, pero { $leak }
said-ice-in-hold = la prueba de mantenimiento queda en { $level }, donde puede quedar el hielo en el punto más frío ({ $c } °C, { $saturation }): { $range } (termómetro 2 K, vacuómetro 10 %, doble en vapor de agua)
said-ice-not-ruled-out = también el hielo a { $c } °C queda en { $level }: el agua helada en un punto tan frío o más no se ve en esta prueba de mantenimiento; indicar la temperatura del punto más frío, o descongelar y repetir
said-too-cold-to-dry = el local está a { $c } °C: una prueba de evacuación pide más de 2 °C (UFGS 15182), pues el agua se hiela y apenas sale; calentar el sistema y repetir
room = { $c } °C
room-assumed = { $c } °C (supuesto)
said-stalled = { $kind } durante { $minutes } min cerca de { $level }, { $evidence }; { $end }: { $advice }
said-isolation-mark-missing = cerrar la válvula no dejó huella en la presión, o nunca se cerró: poner la marca «{ $mark }» en ese momento, o indicar la hora al revisar
said-hold-longer = hicieron falta { $time } más de prueba de mantenimiento de vacío
said-missing-charge = faltaban { $grams } g { $months } meses después de la última carga: como fuga, eso haría subir esta prueba en { $rates }
said-missing-charge-and-answer = { $asked }; { $answer }
said-missing-charge-ruled-out = una fuga así se habría visto, pues pueden quedar como máximo { $rate }: la carga era escasa, salvo que la fuga se reparara antes de esta prueba
said-missing-charge-leak = la fuga de { $rates } en esta prueba lo explica: era una fuga
said-missing-charge-small-leak = hay una fuga, pero como máximo { $rate } no lo explican: la carga también era escasa
said-missing-charge-hold-longer = esta prueba podía mostrar a lo sumo { $rate } y deja abierto si era una fuga o una carga escasa: mantener unos { $time }
said-missing-charge-open = esta prueba deja abierto si era una fuga o una carga escasa
said-later-hold-broken-off = la prueba empezada aquí se interrumpió a los { $time }, antes de que pudiera mostrar nada: cuenta la prueba anterior
said-one-side-evacuated = solo se evacuó por un lado: el gas que queda tras el tubo capilar entra en la prueba de mantenimiento y parece una fuga; conviene evacuar por ambos lados, o una prueba de horas, antes de culpar a una
said-pump-open-at-stop = la bomba se paró con su válvula todavía abierta: aire, aceite de la bomba y suciedad pueden entrar en el sistema; primero cerrar la válvula del lado de la bomba, luego parar la bomba, y evacuar de nuevo
said-gauge-stands-still = el vacuómetro quedó inmóvil en { $level } durante { $time }, y nada en el registro muestra que se habría movido: un vacuómetro muerto, congelado o separado muestra lo mismo
said-gauge-at-floor = el vacuómetro quedó en { $level }, el valor más bajo que muestra en este registro: la presión pudo estar en cualquier punto por debajo, y un vacuómetro muerto muestra lo mismo
said-gauge-under-range = el vacuómetro indicó durante gran parte de la prueba de mantenimiento una presión por debajo de su rango: eso no es una medida, y un cable roto puede mostrar lo mismo
said-gauge-steps = la resolución del vacuómetro es de { $step }; la más gruesa que demuestra esta prueba de mantenimiento es { $most }
said-gauge-shut-off = se cerraron las válvulas del puente de manómetros, y el trabajo dice que el vacuómetro queda entonces separado del sistema: la prueba de mantenimiento muestra el puente y no el sistema
said-gauge-shut-off-unknown = se cerraron las válvulas del puente de manómetros, y el trabajo no dice si el vacuómetro sigue entonces abierto al sistema (gauge_open_to_system): la prueba de mantenimiento puede mostrar el puente y no el sistema
said-unit-doubtful = el registro empieza en { $number } { $unit }, y { $number } es el aire exterior en { $likely }: puede haber venido en { $likely }; comparar con la pantalla del vacuómetro y dar --pressure-unit, o --unit-checked si { $unit } es correcto
said-unit-too-low = la prueba de mantenimiento está en { $number } { $unit }, más bajo de lo que alcanzan las bombas de este oficio: comparar la unidad con la pantalla del vacuómetro y dar --pressure-unit, o --unit-checked si { $unit } es correcto
said-unit-by-dialect = el vacuómetro envía números sin unidad, y su formato los toma como { $unit }: comparar con la pantalla del vacuómetro
said-unit-by-option = la unidad { $unit } no consta en el archivo, se dio con --pressure-unit: comparar con la pantalla del vacuómetro
said-criteria-softer = los criterios son más blandos que la práctica habitual: objetivo, límite o prueba de mantenimiento piden menos que { $target } y { $minutes } min
said-calibration-overdue = { $days ->
    [one] la calibración del vacuómetro llevaba { $count } día vencida al comienzo del registro (vencimiento { $due })
   *[other] la calibración del vacuómetro llevaba { $count } días vencida al comienzo del registro (vencimiento { $due })
}: una reclamación de garantía puede rechazarse por ello; haga calibrar el vacuómetro
said-calibration-overdue-beside = { $days ->
    [one] la calibración del vacuómetro ({ $place }) llevaba { $count } día vencida al comienzo del registro (vencimiento { $due })
   *[other] la calibración del vacuómetro ({ $place }) llevaba { $count } días vencida al comienzo del registro (vencimiento { $due })
}; ese vacuómetro no decide el resultado
said-far-side-lags = el vacuómetro lejano estuvo { $ratio } veces por encima del lado de la bomba durante { $time } ({ $range }): manguera, obús o capilar dejan 1/{ $ratio } del caudal de la bomba; { $wait }; mangueras más cortas y anchas y quitar los obuses suelen ayudar
far-side-later = el lado de la bomba llegó al objetivo { $time } antes que el lado lejano, que es el que se juzga
far-side-not-later = el objetivo se juzga en el vacuómetro lejano
far-side-never = el lado de la bomba llegó al objetivo; el lado lejano, que es el que se juzga, nunca
said-gauges-disagree = en un mismo volumen el vacuómetro juzgado muestra { $far } y el otro ({ $place }) { $beside }, más de lo que explican los escalones, el ruido y un { $percent } % de la lectura de cada uno: conviene hacer revisar ambos; aceite o humedad en un sensor es la causa habitual
said-rises-alone-pump = solo el vacuómetro del lado de la bomba sube { $range } en { $time } (vacuómetro lejano { $far }): la bomba parada deja volver aire, no es el sistema
said-rises-alone = solo el vacuómetro del lado de la bomba sube { $range } en { $time } (vacuómetro lejano { $far }): la bomba, la manguera o una unión allí deja entrar gas, no el sistema
beyond-range = de { $from } más allá de su rango
said-other = un hallazgo para el que esta versión no tiene palabras

## The rise

rise-none = sin subida más allá del ruido
rise-leak = subida recta: fuga
rise-moisture = subida que se estabiliza: humedad u otro volátil
rise-leak-and-moisture = fuga y humedad a la vez
rise-unclear = causa de la subida aún no clara
rise-and-rate = { $cause }, { $rate }
rise-and-share = { $cause }; la parte de una fuga es { $rate }
rise-at-level = { $rise }, en { $level }
rise-moisture-part = { $rise }; la parte de la humedad se estabiliza en { $level }
rise-not-level = { $rise }, se curva pero aún no es plana: camino de { $range }
rise-pace = { $rise }, el 63 % de ella tras { $pace }
rise-hold-longer = Una prueba de mantenimiento de { $all } en total ({ $more } más) debería distinguir fuga y humedad.
rise-odds = Una respuesta así es correcta en más de { $odds } de 100 casos.
rise-and-straight = { $cause }; parte recta { $rate }
rise-towards = { $rise }; lo que se curva se estabiliza en { $level }
tends-none = por ahora no se ve subida; aún no es seguro
tends-leak = apunta a una fuga; aún no es seguro
tends-moisture = apunta a humedad; aún no es seguro
tends-leak-and-moisture = apunta a fuga y humedad; aún no es seguro
live-odds = { $cause }, correcto en más de { $odds } de 100
live-leak = subida recta: fuga
live-moisture = se estabiliza: humedad
live-leak-and-moisture = fuga y humedad
live-unclear = causa aún no clara
live-unclear-more = causa no clara, { $more } más para saberla
live-will-not-pass = no se superará, correcto en más de { $odds } de 100
live-will-not-pass-leak = fuga, no se superará, correcto en más de { $odds } de 100

## The leak

leak-flow = Aire que entra por la fuga: { $flow }.
leak-flow-grams = Aire que entra por la fuga: { $flow }; el mismo flujo de refrigerante sería { $grams }.
leak-flow-unclear = Aire que entra, si es una fuga: { $flow }.
leak-flow-unclear-grams = Aire que entra, si es una fuga: { $flow }; el mismo flujo de refrigerante sería { $grams }.
leak-other-rate = El sistema cargado pierde a otro ritmo.
leak-charged = Cargado y parado a 20 °C puede perder { $loss }.
low-side-draws-in = en marcha y frío, el lado de baja está por debajo del aire exterior (unos { $kpa } kPa absolutos a { $c } °C): una fuga ahí aspira entonces aire
loss = { $range } g/año
loss-years = { $loss }, un décimo de la carga en { $years }
loss-of = { $loss } de { $refrigerant }
sight-unknown = No se sabe cuál es la fuga más pequeña que esta prueba de mantenimiento habría mostrado.
sight = Esta prueba de mantenimiento no habría podido mostrar una fuga inferior a { $limit }: una fuga menor no queda descartada.
sight-grams = Esta prueba de mantenimiento no habría podido mostrar una fuga inferior a { $limit }, por la que el sistema cargado puede perder { $grams }: una fuga menor no queda descartada.
sealed-yes-sentence = Una fuga de { $line } (sistema sellado, EN 378-1, de segunda mano) se habría visto.
sealed-no-sentence = Una fuga de { $line } (sistema sellado, EN 378-1, de segunda mano) no se habría visto.
sealed-depends-sentence = Que una fuga de { $line } (sistema sellado, EN 378-1, de segunda mano) se hubiera visto depende de cómo fluya.
flow-in-volume = { $flow } en { $volume } L
water = Agua que queda como vapor: como máximo { $mg } mg; se suma la que retienen el aceite y el filtro deshidratador.
water-ppm = Agua que queda como vapor: como mucho { $mg } mg ({ $ppm } ppm de la carga; el refrigerante nuevo puede contener { $limit } ppm en peso, AHRI 700); lo que contienen el aceite y el filtro deshidratador se suma.
water-by-thermal-gauge = calculado con la mitad de lo que indica este vacuómetro térmico, que indica el vapor de agua más o menos el doble de lo real

## Gauges beside the judged one

place-pump-side = lado de la bomba
beside-nothing = { $place }: nada medido.
beside-lowest = { $place }: mínimo { $lowest }
beside-at-target = { $pressure } en el objetivo ({ $compared })
beside-at-isolation = { $pressure } al aislar ({ $compared })
beside-alike = el vacuómetro juzgado a menos del 10 % de él
beside-above = el vacuómetro juzgado { $ratio } veces por encima
beside-below = el vacuómetro juzgado a { $ratio } veces ese valor
beside-one-volume = en la prueba de mantenimiento un solo volumen con el vacuómetro juzgado

## What went in

data-rows = { $rows } filas, { $used } lecturas usadas
data-left-out = { $count ->
    [one] { $rows } fila omitida
   *[other] { $rows } filas omitidas
}
data-gaps = { $count ->
    [one] { $gaps } hueco de { $time } en total
   *[other] { $gaps } huecos de { $time } en total
}
data-every = una cada { $seconds } s
data-a-second = { $number } por segundo
data-steps = resolución del vacuómetro { $step }
data-noise = ruido { $noise }
rows-one = fila { $rows }
rows-many = filas { $rows }
rows-and-more = filas { $rows } y { $rest } más
and-more = y { $rest } más

## What comes next

next-pass = se cumplen los criterios; se puede cargar el refrigerante por peso si las instrucciones del fabricante y la normativa local no exigen más.
next-pass-leak = se cumplen los criterios, pero hay indicios de una fuga: conviene encontrarla antes de que entre refrigerante (a presión, con nitrógeno seco a través de un regulador y agua jabonosa, o gas trazador y detector, nunca por encima de la baja presión de la placa); luego evacuar y retener de nuevo.
next-pass-moisture = Aún hierve algo de humedad u otro volátil: una evacuación más larga deja menos.
next-pass-uncertain = se cumplen los criterios; no es seguro si aún entra o hierve algo, y una prueba de mantenimiento más larga lo diría. Lo que sigue lo deciden las instrucciones del fabricante y la normativa local.
next-pass-unknown = se cumplen los criterios, pero no se sabe de qué viene la subida, y una fuga no queda descartada: una prueba más larga, o evacuar de nuevo y comparar las pruebas de mantenimiento; una subida por humedad se debilita con cada evacuación, una por fuga no.
next-pass-one-side = se cumplen los criterios, pero solo se evacuó un lado: la subida puede ser gas que quedó tras el tubo capilar, o una fuga; evacuar por ambos lados y repetir la prueba.
next-both-sides = evacuar por ambos lados y repetir la prueba: hasta entonces la subida puede ser gas que quedó tras el tubo capilar, y no se ha mostrado ninguna fuga.
next-order-of-work = evacuar de nuevo hasta el objetivo; primero cerrar la válvula del lado de la bomba, luego parar la bomba, para que nada vuelva de la bomba.
next-leak = buscar la fuga a presión, con nitrógeno seco a través de un regulador y agua jabonosa, o gas trazador y detector, nunca por encima de la baja presión de la placa; luego evacuar y retener de nuevo.
next-moisture = evacuar y repetir la prueba; calor suave, aceite de bomba nuevo y un filtro deshidratador nuevo suelen acortarlo.
next-leak-and-moisture = buscar primero la fuga (a presión, con nitrógeno seco a través de un regulador y agua jabonosa, o gas trazador y detector, nunca por encima de la baja presión de la placa), porque deja entrar más humedad; luego evacuar, con calor suave, aceite de bomba nuevo y un filtro deshidratador nuevo.
next-too-high = la presión se mantuvo, pero demasiado alta: evacuar de nuevo hasta el objetivo antes de cerrar la válvula del lado de la bomba.
next-unclear = evacuar de nuevo y comparar las pruebas de mantenimiento: una subida por humedad se debilita con cada evacuación, una por fuga no.
next-as-it-looks = según parece, y no es seguro: { $helps }
next-decide = Una prueba de mantenimiento de { $all } en total debería distinguirlas de una vez.
next-target = una prueba de la bomba y las mangueras cerradas sobre sí mismas dice si son ellas o el sistema lo que mantiene la presión alta; suelen seguir aceite de bomba nuevo, mangueras más anchas y una búsqueda de fugas.
next-reasons = los motivos de arriba dicen qué corregir antes de la próxima evacuación.
next-check-gauge = comprobar el vacuómetro, su cable y sus ajustes, y registrar de nuevo.
next-finer-gauge = repetir la prueba de mantenimiento con un vacuómetro absoluto que resuelva unos pocos micron.
next-ice = calentar el punto más frío del sistema por encima de cero (descongelar el evaporador), evacuar de nuevo hasta el objetivo y repetir la prueba de mantenimiento; si era hielo, la presión vuelve más alta mientras quede agua, y no vuelve cuando ha salido.
next-gauge-open = repetir la prueba de mantenimiento con el vacuómetro abierto al sistema, y decir en el trabajo que sigue así con el puente de manómetros cerrado (gauge_open_to_system).
next-unit = comparar la unidad con la pantalla del vacuómetro y revisar de nuevo con --pressure-unit, o con --unit-checked si es correcta.
next-besides = vuelva a evacuar y a probar como se exige: { $required }.
next-tell = si fue así, dígalo en el trabajo o al revisar: { $required }.
next-mark = marcar el momento en que se cierra la válvula del lado de la bomba, o revisar de nuevo indicando la hora del aislamiento.
next-see-to-gauge = atender al vacuómetro y su cable, y repetir la prueba de mantenimiento: lo que no se midió no se puede juzgar.
next-hold = evacuar hasta el objetivo, cerrar la válvula del lado de la bomba, parar la bomba y dejar el sistema en prueba.
next-hold-on = seguir con la prueba { $more } más ({ $all } en total); si el sistema se ha abierto desde entonces, evacuar y repetir la prueba.
next-will-not-pass = esta prueba de mantenimiento no se superará, por mucho que dure.
next-learn-cause = Seguir { $more } más ({ $all } en total) solo diría la causa.
next-repeat-longer = repetir la prueba de mantenimiento, más larga, con el vacuómetro en el lado del sistema.

## Curve

invented = DATOS DE DEMOSTRACIÓN INVENTADOS: no prueban ninguna reparación
invented-short = INVENTADO
curve-title = Curva de evacuación, { $source }: { $verdict }
curve-scale = presión en escala logarítmica
axis-since-start = { $unit } desde el inicio del registro
curve-no-hold = No se halló ninguna prueba de mantenimiento en este registro.
curve-job = trabajo { $job }
curve-started = inicio { $time }
curve-judged-by = juzgado por { $program }
curve-target = objetivo
curve-ceiling = límite de la prueba
curve-both-limits = objetivo y límite
curve-last-reading = última lectura
curve-last-measurement = última medida
curve-fit = subida ajustada (a trazos)
curve-stall = { $kind } cerca de { $level }
curve-hold = prueba, { $time }
curve-hold-number = prueba { $number }
curve-hold-number-time = prueba { $number }, { $time }
curve-shut-isolated = válvula de bomba cerrada, aislado
curve-isolated-given = aislado (según lo indicado)
curve-isolated-curve = aislado (hallado en la curva)
curve-isolated-start = aislado desde el inicio
curve-no-readings = sin lecturas, { $time }
curve-fault = avería del vacuómetro, { $time }
curve-over = sobre el rango
curve-over-bound = sobre el rango, más de { $bound }
curve-under = bajo el rango
curve-under-bound = bajo el rango, menos de { $bound }
curve-more-acts = +{ $acts } más
curve-dashed = { $place } (a trazos)

## Close-up of the hold

close-title = La prueba de mantenimiento en escala lineal
close-heading = La prueba de mantenimiento, escala lineal
close-sight = Una fuga inferior a { $limit } no se habría visto.
axis-since-isolation = { $unit } desde el aislamiento
close-ceiling = límite
close-end = fin
close-settled = tras igualar
close-off-scale = límite { $ceiling }: fuera de escala
close-equalisation = igualación

## The sheet

sheet-title = Registro de evacuación: { $verdict }, { $source }
sheet-heading = Evacuación y prueba de vacío
sheet-job = Trabajo { $job }
sheet-claim = reclamación { $claim }
sheet-work-order = orden de trabajo { $order }
sheet-no-job = sin datos del trabajo
sheet-started = inicio { $time }
sheet-start-unknown = hora de inicio no conocida
sheet-no-hold = No se halló ninguna prueba de mantenimiento en este registro: aquí no hay nada que mostrar.
not-given = no indicado
not-known = no conocido
given-at-review = { $value } (dado para esta revisión)

criterion = Criterio
asked-for = Exigido
measured = Medido
met = Cumplido
met-yes = sí
met-no = no
met-not-shown = sin mostrar
criterion-pull-down = Evacuación
criterion-hold = Prueba de vacío
criterion-ceiling = Límite de la prueba
criterion-record = Registro
asked-target = { $target } o menos
asked-hold = { $minutes } min o más
asked-ceiling = no más de { $ceiling }
asked-record = aislamiento visible, prueba de mantenimiento sin huecos
criterion-pump-on = Bomba en marcha
asked-pump-on = { $minutes } min o más después del objetivo
criterion-rise = Subida
asked-rise = no más de { $rise }
criterion-steady = Estable al final
asked-steady = dentro de { $within } en los últimos { $minutes } min
measured-moved = variación de { $moved }
criterion-repeat = Franja a repetir
asked-repeat = no más de { $pressure }; si no, repetir
criterion-rounds = Evacuaciones antes
asked-rounds = { $rounds } antes de esta
measured-rounds = { $met } de { $rounds }
asked-ambient = más de { $c } °C
criterion-unit = Unidad
asked-unit = indicada por vacuómetro o archivo
unit-by-dialect = { $unit }, supuesta: el vacuómetro no la envía, la dice su formato
unit-by-option = { $unit }, supuesta: dada con --pressure-unit
unit-stated = { $unit }
hold-begins = la prueba de mantenimiento empieza en { $pressure }
no-hold-found = ninguna prueba de mantenimiento hallada
held = { $time }, aislado en { $moment } ({ $basis })
highest-and-ends = máximo { $highest } ({ $start } tras igualar, { $end } al final)

rise-title = Subida, fuga, agua
entry-cause = Causa de la subida
rise-no-hold = sin prueba de mantenimiento no hay respuesta
rise-not-clear = aún no clara
entry-to-tell = Para saberla
a-hold-of = una prueba de mantenimiento de { $all } en total
entry-leaks-share = Parte de fuga
entry-straight = Parte recta
entry-levels-off = Se estabiliza en
entry-pace = 63 % de la subida
after = tras { $time }
entry-air = Aire que entra
entry-as-refrigerant = En refrigerante
entry-may-lose = Pérdida estimada
entry-running = En marcha
entry-reckoned = Calculado a partir de
reckoned-ends = subida × volumen ({ $volume }), 20 °C; paso como por un tubo y como por un poro
reckoned-other-rate = subida × volumen ({ $volume }), 20 °C; el sistema cargado pierde a otro ritmo
volume-given = el indicado
entry-could-not-show = Fuga mínima
leak-below = detectable desde { $limits }; una fuga menor no queda descartada
leak-below-grams = detectable desde { $limits } (cargado, { $grams }); una menor no queda descartada
entry-sealed = Sellado
sealed-yes = una fuga de { $line } se habría visto (EN 378-1, de segunda mano)
sealed-no = una fuga de { $line } no se habría visto (EN 378-1, de segunda mano)
sealed-depends = una fuga de { $line } se ve o no según cómo fluya (EN 378-1, de segunda mano)
entry-water = Agua en vapor
water-needs-volume = necesita el volumen interior, que no se indicó
water-at-most = como máximo { $mg } mg; el aceite y el filtro pueden retener más
water-at-most-ppm = como mucho { $mg } mg, { $ppm } ppm de la carga (refrigerante nuevo: { $limit } ppm como mucho, AHRI 700); el aceite y el filtro deshidratador pueden contener más

system-title = Sistema
entry-appliance = Aparato
entry-model = Modelo
entry-serial = N.º de serie
entry-refrigerant = Refrigerante
safety-group = { $refrigerant } (grupo de seguridad { $group })
entry-charge = Carga
entry-oil = Aceite
entry-volume = Volumen
entry-sides = Evacuado por
sides-one = un solo lado
sides-both = ambos lados
entry-ambient = Ambiente
ambient-and-coldest = { $ambient }; frío { $coldest }
entry-repair = Reparación
paperwork-title = Cliente, garantía y piezas
entry-work-order = Orden de trabajo
entry-claim = Reclamación de garantía
entry-customer = Cliente
entry-site = Ubicación
entry-leak-location = Fuga encontrada en
entry-parts-fitted = Piezas montadas
entry-compressor-old = Compresor antiguo, n.º de serie
entry-compressor-new = Compresor nuevo, n.º de serie
entry-recovered = Refrigerante recuperado
entry-charged = Refrigerante cargado

instruments-title = Vacuómetro, bomba, mangueras
entry-gauge = Vacuómetro
principle-thermal = térmico
principle-diaphragm = de membrana
entry-dialect = Formato de datos
entry-calibrated = Calibrado
entry-next-due = Próxima calibración
was-overdue = { $day }, VENCIDA
entry-steps = Resolución
entry-noise = Ruido
entry-interval = Intervalo
entry-pump = Bomba
entry-hoses = Mangueras
entry-second-gauge = Segundo vacuómetro
and-due = { $value }, vence { $due }
and-noise = { $value }, ruido { $noise }
second-serial = n.º { $serial }
second-calibrated = calibrado { $day }
second-due = vence { $day }

timeline-title = Cronología (h:mm:ss)
event-stall = estancamiento: { $kind }
event-isolated = aislado ({ $basis })
event-end-of-hold = fin de la prueba de mantenimiento
more-in-record = { $rows } más en el registro
notes-title = Lo que suele seguir; hallazgos
more-findings = { $sentences } más en findings.json.
cautions-title = Precauciones
sign-technician = Técnico
sign-licence = N.º de licencia o certificado
sign-signature = Firma
sign-date = Fecha
foot = Juzgado por { $program } según «{ $criteria }» ({ $source }). «95 %: a a b» contiene el valor verdadero en 19 de 20 casos. Una prueba de mantenimiento superada no dice que no haya fugas, solo lo que habría podido mostrar. Deciden la normativa local y las instrucciones del fabricante.
code-alt = La huella del registro como código que lee una cámara

## Tables and pages

criteria-title = Criterios y lo medido
rounds-title = Todos los ciclos
rounds-round = Ciclo
rounds-rise = Subida
rounds-none = ninguna
logo-alt = Logotipo del taller
photo-alt = Foto de este trabajo; forma parte del registro
overleaf = Más en la página { $page }.
continued = { $title } (continuación)
page-of = Página { $page } de { $pages }
