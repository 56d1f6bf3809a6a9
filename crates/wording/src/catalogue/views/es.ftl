# Español: lo que añaden las vistas de un registro.

## Pantalla

screen-invented = datos inventados
screen-loading = leyendo { $percent } %
screen-playing = reproduciendo { $at } de { $end }
screen-finished = registro terminado { $at } de { $end }
screen-recording = registrando { $at }
screen-ended = terminado { $at }
screen-hold = PRUEBA { $held } de { $needed }
screen-target = objetivo { $pressure }: { $words }
screen-target-label = obj.
screen-round = ciclo { $number }
screen-stall = ESTANCAMIENTO: { $kind } cerca de { $level } desde hace { $time }
screen-met = CRITERIOS CUMPLIDOS: { $answer }
screen-fails = NO SUPERADO: { $answer }
screen-not-proven = NO DEMOSTRADO: { $answer }
screen-check = COMPROBAR: { $warning }
screen-caution = Precaución: { $caution }
screen-nothing-stamped = Aún no hay marcas.
screen-gauge = Vacuómetro: { $state }
screen-last = última lectura hace { $age }
screen-reconnects = { $count ->
    [one] { $count } reconexión
   *[other] { $count } reconexiones
}
screen-unreadable = { $count ->
    [one] { $count } ilegible
   *[other] { $count } ilegibles
}
screen-lost = { $count ->
    [one] { $count } línea perdida
   *[other] { $count } líneas perdidas
}
screen-rows = { $rows } filas en el registro
screen-stands-still = EL REGISTRO ESTÁ PARADO desde hace { $time }: ¿responde el disco?
screen-disk-takes = Guardado: OK, { $rows } filas
screen-disk-trouble = Disco: { $trouble }
screen-disk-refuses = Disco, { $trouble }
screen-waiting-rows = { $rows } en curso
screen-free = { $size } libres
screen-comes-next = Lo que suele venir después
screen-gauge-and-disk = Vacuómetro y disco
screen-stamped = Marcas
screen-nothing-yet = nada aún
screen-happened = Lo que ha pasado
screen-back = Cualquier tecla vuelve atrás.
screen-decide = Deciden la normativa local, los profesionales autorizados y las instrucciones del fabricante.
screen-this-run = Este registro
screen-goes-on = Sin este terminal el registro sigue: dryhold show lo muestra, dryhold stop lo termina.
screen-opened-to-pump = válvula a bomba abierta
screen-take-back = retirar la última marca
screen-type-remark = escribir una nota
screen-this-page = esta página
screen-stop-asks = terminar (pregunta antes)
screen-remark = Nota:
screen-remark-keys = Intro la guarda, Esc la descarta
screen-keys = o abrir s cerrar p parar bomba { $manifold }n nitrógeno t reducir b/g lastre h calor u deshacer r nota i ayuda q fin
screen-key-manifold = m puente
screen-keys-pressure = f a presión e suministro cerrado v liberado u deshacer r nota i ayuda q fin
screen-keys-back = izda./dcha. paso Re/Av Pág salto Inicio/Fin principio/fin espacio reproducir i ayuda q salir
screen-key-page = c móvil
screen-key-leave = d salir
screen-how-to-leave = Al cerrar este terminal el registro sigue; dryhold show lo muestra de nuevo, dryhold stop lo termina.
screen-no-page = No hay página: --view-lan da una a los móviles.
screen-no-such-key = { $key } no pone ninguna marca.
screen-no-manifold = m solo se ofrece si el trabajo dice gauge_open_to_system = true.
screen-was-stamped = Marca puesta: { $mark }. u la retira.
screen-no-remark = Sin nota.
screen-remark-kept = Nota guardada.
screen-not-suspended = No se suspende: eso pararía el registro. Usar otro terminal.
screen-compare = El navegador avisa una vez. Mirar allí el certificado; seguir solo si su huella SHA-256 es
screen-page-at = Cualquier tecla vuelve atrás. La página está en
screen-no-signs = Este terminal no tiene signos para dibujar el código para la cámara.
screen-code-size = El código para la cámara ocupa { $columns } × { $rows }.
screen-look-on = Solo para mirar, sin poner marcas:
screen-takes = Todo junto ocupa { $columns } × { $rows }.

## Frases sueltas

spoken-more = Pasó más de lo que aún se sabe.
spoken-hold = Prueba de mantenimiento, { $clock }: { $answer }
spoken-pull-down = Evacuación, objetivo { $words }
spoken-ask = Una línea vacía dice cómo va todo.
typed-marks = Terminar con Ctrl-C. Para poner una marca, escribir su letra e Intro: { $marks }, u retira la última marca, o una nota.

## Teclas que podrían costar una prueba

question-shut-again = La válvula del lado de la bomba ya consta como cerrada a las { $at } y la prueba de vacío dura { $held }. ¿Empezar una prueba nueva?
question-undo-hold = ¿Retirar «{ $mark }» de { $at }? La prueba de vacío de { $held } se apoya en esa marca.
question-stop = ¿Terminar el registro?
question-stop-hold = ¿Terminar el registro? La prueba de vacío lleva { $held } de { $needed }.
question-answer-key = y sí, cualquier otra tecla no
question-answer-line = Escribir y e Intro para sí; cualquier otra cosa es no.
question-answered-no = No se ha cambiado nada.
screen-taking-back = Se retira: { $mark } ({ $at }).
screen-nothing-to-undo = No hay ninguna marca que retirar.

## Lo que pasa ahora con la lectura

trouble-word-no-reading = SIN LECTURA
trouble-word-lost = SIN SEÑAL
trouble-word-over = FUERA DE RANGO
trouble-word-fault = FALLO
trouble-word-unreadable = ILEGIBLE
trouble-no-reading = Sin lectura desde hace { $time }: revisar la alimentación y el cable del vacuómetro.
trouble-lost = Sin conexión con el vacuómetro desde hace { $time }: revisar cable y conector. El programa lo sigue intentando y el registro continúa.
trouble-over = Por encima del rango del vacuómetro desde hace { $time }. Es normal hasta que la bomba saca la mayor parte del aire.
trouble-over-hold = Por encima del rango del vacuómetro desde hace { $time }: el sistema se llena, o se aisló el vacuómetro.
trouble-fault = El vacuómetro indica un fallo desde hace { $time }: mirar su pantalla, su sensor y su cable.
trouble-unreadable = Desde hace { $time } el vacuómetro envía lo que su formato no explica: ¿es correcto --dialect? dryhold listen muestra lo que llega.
trouble-heard = Recibido: { $line }
trouble-hold = Prueba de vacío interrumpida desde hace { $time }: cuando vuelva a haber lectura, empezar la prueba de nuevo con s.
warn-hold-interrupted = La prueba de vacío estuvo interrumpida { $time } y no demuestra nada: empezar la prueba de nuevo con s.
advice-hold-again = Empezar la prueba de nuevo con s; las válvulas quedan como están.
