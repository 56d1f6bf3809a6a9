# Lo que se dice de una prueba de presión con gas seco.

decay-pass = SUPERADA: la pérdida está dentro del límite. Una fuga menor de { $limit } no se habría visto.
decay-fail = NO SUPERADA: se pierde más gas de lo permitido.
decay-not-proven = NO DEMOSTRADO: { $reasons }.

decay-test = Prueba de presión: de { $from } a { $to } en { $time }, suministro cerrado a los { $shut }.
decay-temperature = Temperatura: de { $from } a { $to } °C. A la primera temperatura la presión final es { $corrected }.
decay-no-temperature = Temperatura: no medida.
decay-loss = Pérdida: { $loss }.
decay-share = Pérdida: de { $low } a { $high } % del gas en una hora (95 %).
decay-upper = Límite superior del 95 %: { $upper }. Permitido: { $allowed }.
decay-upper-only = Límite superior del 95 %: { $upper }.
decay-detectable = Fuga mínima detectable: { $limit }.
decay-refrigerant = Pérdida estimada de refrigerante por la misma fuga, con carga: de { $low } a { $high } g al año.
decay-hold = La misma fuga produce en la prueba de mantenimiento de vacío una subida de { $low } a { $high } micron/min.
decay-longer = Una espera de { $minutes } min más decidiría, si la pérdida es la que parece.
decay-thermometer = Con un termómetro en el sistema decidiría una espera de { $minutes } min.
decay-rule = Regla: { $name } ({ $source }).

decay-why-no-readings = no hay lecturas que juzgar
decay-why-leak = se pierde más gas de lo permitido
decay-why-supply = nada muestra que el suministro estuviera cerrado: la presión no sigue a la temperatura del gas
decay-why-rose = al final hay más gas que al principio
decay-why-high = la presión superó la máxima de la placa de características
decay-why-low = la presión de prueba fue demasiado baja
decay-why-barometer = el manómetro cuenta desde el aire ambiente y no se indica la presión atmosférica
decay-why-volume = no se indica el volumen interno
decay-why-limit = nadie ha dicho qué pérdida se permite
decay-why-temperature = ningún termómetro muestra la temperatura del gas
decay-why-coarse = la resolución del manómetro es insuficiente
decay-why-settling = el calor del llenado aún no se ha disipado
decay-why-short = la espera es demasiado corta

decay-note-late = La presión siguió al suministro hasta { $time }, más tarde de lo indicado: se juzga desde ahí.
decay-note-unstamped = Nadie marcó cuándo se cerró el suministro: tomado de la presión, { $time }.
decay-note-apart = El termómetro no sigue al gas: puede estar al sol o en otra pieza.
decay-note-held = La presión se mantiene como con el suministro abierto: cierre la válvula, retire el regulador y repita la prueba.
decay-note-vented = El gas se dejó salir a los { $time }: la prueba termina ahí.

# Mientras se registra una prueba de presión. Las frases parciales empiezan en minúscula.

decay-phase-waiting = esperando gas a presión
decay-phase-supply = con el suministro abierto
decay-phase-hold = prueba de presión
decay-phase-vented = gas liberado
decay-live-limit = pérdida de { $upper } como máximo (95 %), admitida { $allowed }
decay-live-share = pérdida del { $low } al { $high } % del gas por hora
decay-live-early = demasiado pronto para decir lo que se pierde
decay-live-pass = la pérdida está dentro del límite; una fuga menor de { $limit } no se vería
decay-live-fail = se pierde más gas del admitido

decay-step-pressurise = introducir nitrógeno por el regulador, por etapas
decay-step-bubbles = primero, a baja presión, repasar cada unión con burbujas
decay-step-shut = cerrar la válvula del suministro y descargar el regulador
decay-step-wait = dejar en reposo, sin tocar
decay-step-vent = liberar el gas al aire libre, por encima de 0 relativo

decay-advice-waiting = ¿Vacuómetro aislado con su válvula? Entonces nitrógeno por el regulador, con alivio: primero poco, burbujas en cada unión, y luego por etapas hasta la presión de prueba.
decay-advice-supply = Con el suministro abierto: por etapas hasta la presión de prueba, burbujas en cada unión por el camino; luego cerrar la válvula del suministro y poner la marca. La prueba cuenta desde ahí.
decay-advice-hold = Dejar en reposo: sin manos en los tubos, sin puerta, sin sol, sin ventilador. Primero se va el calor del llenado.
decay-advice-passed = La pérdida está dentro del límite. Detener para la hoja; liberar el gas al aire libre mientras esté por encima de 0 relativo, y luego evacuar.
decay-advice-failed = Se pierde más gas del admitido: repasar cada unión con burbujas mientras hay presión. Nunca soldar bajo presión.
decay-advice-not-proven = Esperar no basta para decidir: la revisión dice qué falta.
decay-advice-vented = El gas está fuera. Ahora evacuar; esta prueba muestra las uniones, no que el sistema esté seco.
decay-warn-supply = Nada muestra que el suministro esté cerrado: la presión no sigue la temperatura del gas. Cerrar su válvula, quitar el regulador y volver a marcar.
decay-warn-high = La presión supera la máxima que admite la placa: cerrar el suministro, apartarse y liberar gas despacio.
