# Español: lo que añaden las vistas de un registro.

## Pantalla

screen-invented = datos inventados
screen-loading = leyendo { $percent } %
screen-playing = reproduciendo { $at } de { $end }
screen-finished = registro terminado { $at } de { $end }
screen-recording = registrando { $at }
screen-ended = terminado { $at }
screen-hold = RETENCIÓN { $held } de { $needed }
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
screen-disk-takes = El disco acepta filas: { $rows }
screen-disk-trouble = Disco: { $trouble }
screen-disk-refuses = Disco, { $trouble }
screen-waiting-rows = { $rows } aún sin asegurar
screen-free = { $size } libres
screen-comes-next = Lo que suele venir después
screen-gauge-and-disk = Vacuómetro y disco
screen-stamped = Marcas
screen-nothing-yet = nada aún
screen-happened = Lo que ha pasado
screen-back = Cualquier tecla vuelve atrás.
screen-decide = Deciden la normativa local, los profesionales autorizados y las instrucciones del fabricante.
screen-this-run = Este registro
screen-goes-on = Sin este terminal el registro sigue; para pararlo entonces: kill -INT { $process }
screen-opened-to-pump = válvula a bomba abierta
screen-manifold-shut = puente cerrado
screen-take-back = retirar la última marca
screen-type-remark = escribir una nota
screen-this-page = esta página
screen-stop-asks = terminar (pregunta antes)
screen-remark = Nota:
screen-remark-keys = Intro la guarda, Esc la descarta
screen-ask-stop = ¿Terminar el registro? y termina, otra tecla sigue
screen-keys = o abrir s cerrar p parar bomba m puente n nitrógeno t reducir b lastre h calor u deshacer r nota i ayuda q fin
screen-keys-back = izda./dcha. paso Re/Av Pág salto Inicio/Fin principio/fin espacio reproducir i ayuda q salir
screen-key-page = c móvil
screen-no-page = No hay página: --view-lan da una a los móviles.
screen-no-such-key = { $key } no pone ninguna marca.
screen-was-stamped = Marca puesta: { $mark }. u la retira.
screen-still-records = El registro sigue.
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
spoken-hold = Retención, { $clock }: { $answer }
spoken-pull-down = Evacuación, objetivo { $words }
spoken-ask = Una línea vacía dice cómo va todo.
typed-marks = Terminar con Ctrl-C. Para poner una marca, escribir su letra e Intro: s válvula de bomba cerrada, p bomba parada, m puente cerrado, o válvula abierta, n vacío roto con nitrógeno, t flujo reducido, b lastre, h calor, u retira la última marca, o una nota.
