# What is said of a run while it is recorded: Spanish.

## Order of work: the acts

step-open = abrir la válvula hacia la bomba
step-shut = cerrar la válvula del lado de la bomba
step-stop = parar la bomba
step-manifold = cerrar las válvulas del puente de manómetros
step-break = romper el vacío con nitrógeno seco
step-throttle = reducir el flujo
step-ballast = abrir el lastre de gas
step-ballast-close = cerrar el lastre de gas
step-heat = aplicar calor suave
step-hold = dejar en prueba, sin tocar nada
step-review = terminar, revisar, hoja

## Order of work: advice

advice-waiting = Arrancar la bomba y abrir la válvula hacia ella en cuanto se reciba el vacuómetro.
advice-stalls = Estancamiento: { $kind }. { $helps }
advice-pull-down = Dejar que evacúe. Cuando esté bajo y estable: primero la válvula del lado de la bomba, luego la bomba.
advice-let-pull = En el objetivo, pero aún no bajo y estable: dejar que evacúe. Si se cierra la válvula ahora, el agua que queda hace subir la presión en la prueba de mantenimiento. Mejor por debajo de { $low }, o cuando el nivel se mantenga.
advice-close-to-ceiling = El nivel se mantiene, pero justo por debajo del límite de { $ceiling }: desde aquí una prueba apenas tiene margen para subir. Buscar qué lo mantiene ahí: aceite de la bomba, mangueras, agua, una fuga.
advice-ready = Suficientemente bajo: primero cerrar la válvula del lado de la bomba, luego parar la bomba. Cuanto más tiempo se evacúe, más seco.
advice-close-ballast = Según las marcas, el lastre de gas está abierto: cerrarlo para la evacuación final. Con él abierto la bomba no baja tanto como puede.
advice-will-not-pass = La prueba de mantenimiento no se superará. Puede seguir para saber la causa; o abrir hacia la bomba, o romper con nitrógeno, y evacuar de nuevo.
advice-stamp-shut = La curva parece aislada. Si la válvula del lado de la bomba está cerrada, marcarlo: la hoja se apoya en ello.
advice-next = Lo que suele seguir: { $act }.
advice-hands-off = No tocar válvulas ni mangueras hasta que la prueba de mantenimiento sea lo bastante larga.
advice-passed = La prueba de mantenimiento cumple los criterios. Terminar para la hoja, o seguir con otro ciclo si el fabricante lo pide.
advice-passed-leak = Se cumple la regla, pero hay indicios de una fuga: conviene encontrarla antes de que entre refrigerante. Una prueba más larga la mide mejor.
advice-failed = La prueba de mantenimiento no se supera. El aspecto de la subida dice dónde buscar; luego evacuar y repetir la prueba.
advice-not-proven = Duración suficiente, pero sin demostrar: la revisión dice qué falta.
advice-rig-passed = La bomba y las mangueras mantienen el vacío como se pide. Terminar para la hoja.
advice-rig-rises = La bomba y las mangueras no mantienen bien el vacío: tienen fugas, o sale vapor del aceite y de las mangueras. Terminar: la revisión dice qué hacer después.
advice-broken = El nitrógeno está dentro: diluye el vapor que queda y lo barre. Darle unos minutos, purgarlo mientras esté por encima de 0 de presión manométrica, arrancar la bomba y abrir la válvula hacia ella para el próximo ciclo.

## Warnings: what seems to be done the wrong way round

warn-stopped-first = Según las marcas, la bomba se paró antes de cerrar la válvula del lado de la bomba. Si esa válvula está abierta, cerrarla ahora evita que entre más aire y aceite de bomba; luego evacuar de nuevo hasta el objetivo antes de la prueba de mantenimiento.
warn-open-at-stop = La curva parece indicar que la bomba se paró con su válvula abierta: puede entrar aire y aceite de bomba. Cerrar la válvula y evacuar de nuevo suele ayudar.
warn-jumped = La presión saltó de { $from } a { $to } y no se puso ninguna marca. Si la bomba se paró o se quedó sin corriente con la válvula abierta, cerrar ahora la válvula del lado de la bomba evita que entren aire y aceite.
warn-nitrogen-open = Se marcó nitrógeno sin marcar cerrada la válvula del lado de la bomba: una bomba en marcha se lo lleva, por una parada puede pasar a presión. Comprobar esa válvula.
warn-gauge-shut-off = Se marcaron cerradas las válvulas del puente de manómetros, y el trabajo no dice que el vacuómetro siga entonces abierto al sistema (gauge_open_to_system). Si queda separado, la prueba de mantenimiento muestra el puente y no demuestra nada: abrirlo al sistema y repetir la prueba.
warn-above-target = La válvula se cerró por encima del objetivo de { $target }: una prueba así no se puede superar. Abrir hacia la bomba y evacuar más primero suele ahorrar el tiempo.

## Events

told-marked = Marca puesta: { $mark }.
told-withdrawn = Retirada: { $mark }. La marca queda en el registro, como retirada.
told-gauge-back = El vacuómetro vuelve a enviar lecturas.
told-target = Se alcanzó el objetivo de { $target }.
told-stall = La evacuación se estanca cerca de { $level }: { $kind }.
told-stall-over = El estancamiento ({ $kind }) ha terminado.
told-hold = La prueba de mantenimiento ha empezado; tiene que durar { $time }.
told-will-not-pass = La prueba de mantenimiento no ha terminado, pero: { $answer }.
told-passed = La prueba de mantenimiento es lo bastante larga y cumple los criterios ({ $answer }). Lo que no habría podido ver está en la hoja.
told-passed-leak = La prueba de mantenimiento es lo bastante larga. { $answer }. Primero hay que encontrarla.
told-failed = La prueba de mantenimiento no se supera: { $answer }.
told-not-proven = La prueba de mantenimiento es lo bastante larga, pero el registro no puede demostrarla.
mark-manifold-shut = válvulas del puente de manómetros cerradas
mark-ballast-closed = lastre de gas cerrado
mark-by-device = { $mark } (dispositivo { $device })

## The way to the target, and what is left of a hold

way-in = en { $range }
way-not-at-this-rate = no a este ritmo: termina cerca de { $floor }
way-while-it-stalls = sin pronóstico mientras se estanca
way-no-time = aún sin tiempo
way-reached = alcanzado
left = quedan { $time }
held-so-far = { $time } hasta ahora
long-enough = duración suficiente

## All of it on one line

line-no-target = a este ritmo no llega al objetivo: termina cerca de { $floor }
line-no-time = evacuación, aún sin tiempo hasta el objetivo
line-target-in = evacuación, objetivo en { $range }
line-stalls = { $kind }, mientras tanto sin pronóstico
line-choked = { $kind }, objetivo en { $range }
line-ready = suficientemente bajo: cerrar válvula de bomba, luego parar bomba
line-let-pull = en el objetivo, aún no bajo y estable: seguir evacuando
line-close-to-ceiling = estable justo bajo el límite: buscar la causa
line-hold = prueba, { $clock }
line-far = lejano { $pressure }
line-unreadable = { $count } ilegibles
line-over = por encima
line-under = por debajo
line-fault = avería
line-lost = perdido
trend-steady = estable
trend-hunting = oscila
trend-rising = sube { $rate }/min
trend-falling = baja { $rate }/min

## The gauge

state-over = por encima del rango del vacuómetro
state-under = por debajo del rango del vacuómetro
state-fault = avería del vacuómetro
state-gap = sin lectura
state-none = aún sin lectura
link-waiting = aún no se recibe
link-hearing = se recibe
link-silent = CALLADO: comprobar alimentación y cable
link-lost = PERDIDO: reconectando
