# Una carga que se pesa: español.

weighed-of = Cargado: { $charged }; placa { $nameplate } ± { $tolerance }.
weighed-alone = Cargado: { $charged }; la carga de la placa no está indicada.
weighed-unknown = Cargado: no se conoce por la báscula.
weighed-typed = Cargado: { $charged }, escrito a mano; ninguna báscula lo muestra.
weighed-typed-of = Cargado: { $charged } de { $nameplate }, escrito a mano; ninguna báscula lo muestra.
weighed-as-typed = { $mass } (escrito a mano)
weighed-left = Quedó en las mangueras: { $mass }, descontado.
weighed-left-not-given = No se indicó lo que guardan las mangueras; cuenta como cargado.
weighed-acts = Orden del trabajo: { $acts }.
weighed-covers = El ± abarca escalones, dispersión y fluencia de la báscula (95 %), no su calibración.
weighed-plus-minus = { $value } ± { $off } g

act-weigh-in-begins = empieza el pesaje
act-cylinder-shut = válvula del cilindro cerrada
act-charging-valve-shut = válvula de carga cerrada
act-high-side-shut = válvula del lado de alta cerrada
act-compressor-on = compresor en marcha
act-weigh-in-ends = termina el pesaje

weighed-note-touched-back = La báscula se movió { $by } a los { $at } y volvió: se tocó el cilindro.
weighed-note-touched = La báscula se movió { $by } a los { $at } y no se vio que volviera: se tocó el cilindro, o algo se apoya en él. La báscula no dice lo que se cargó.
weighed-note-zero = La báscula bajó { $by } a los { $at }: se puso a cero, o se levantó el cilindro. La báscula no dice lo que se cargó.
weighed-note-not-heard = No se oyó la báscula de { $from } a { $to }.
weighed-note-drifts = La báscula deriva hacia arriba { $by } en un minuto: aléjela de corrientes de aire y vibraciones.
weighed-note-too-much = { $by } más que la carga de la placa, fuera de la tolerancia.
weighed-note-too-little = { $by } menos que la carga de la placa, fuera de la tolerancia.
weighed-note-before = La báscula no estaba quieta antes de abrir el cilindro.
weighed-note-after = La báscula no estaba quieta al final.
weighed-note-no-hold = El pesaje empezó sin una prueba de mantenimiento superada.

weighed-live-phase = pesaje
weighed-live-to-go = por cargar, de { $target }
weighed-live-over = demasiado: cierre el cilindro
weighed-live-out = salió del cilindro
weighed-live-done = pesaje terminado
weighed-scale = báscula

weighed-next-settle = No abra el cilindro antes de que la báscula esté quieta.
weighed-next-fill = Cargue líquido solo por el lado de alta, con el lado de baja cerrado y el compresor parado, como dice el fabricante; cierre el cilindro cuando no quede nada por cargar.
weighed-next-shut = Cierre ahora el cilindro, después la válvula de carga y después el lado de alta.
weighed-next-charging-valve = Cierre la válvula de carga y después el lado de alta.
weighed-next-high-side = Cierre la válvula del lado de alta.
weighed-next-compressor = Ponga en marcha el compresor y aspire por el lado de baja lo que queda en las mangueras.
weighed-next-end = Termine el pesaje cuando la báscula esté quieta.
weighed-next-done = El pesaje ha terminado. Compruebe las presiones; después pince, corte y cierre el tubo.

question-weighed-no-hold = Ninguna prueba de mantenimiento está superada. ¿Empezar el pesaje de todos modos?
