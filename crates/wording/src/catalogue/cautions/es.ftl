# What can hurt, where the act happens: Spanish.

caution-flammable = { $refrigerant } es inflamable (grupo de seguridad { $group }): ni llama, ni chispa, ni soldadura mientras pueda quedar algo. Interruptor de la bomba, enchufe, portátil, cargador y pistola de calor pueden encenderlo: conectar la bomba en un enchufe alejado; ventilar; descarga al exterior.
caution-flammable-brief = { $refrigerant } arde: ni llama, ni chispa; conectar la bomba en un enchufe alejado; descarga al exterior.
caution-not-known = Refrigerante no conocido aquí: tratarlo como inflamable hasta que la placa diga otra cosa: ni llama, ni chispa; conectar la bomba en un enchufe alejado; ventilar; descarga al exterior.
caution-not-known-brief = Refrigerante no conocido: tratarlo como inflamable; ni llama, ni chispa; conectar la bomba en un enchufe alejado.
caution-open-flammable = Antes de cortar o soldar en un sistema con refrigerante inflamable: recuperar, evacuar, barrer con nitrógeno seco, evacuar y barrer otra vez, y comprobar el aire con un detector de gas.
caution-cut-out = Retirar compresores y filtros secadores con cortatubos, nunca desoldándolos: el aceite y el refrigerante que contienen arden.
caution-heat = Calentar suavemente, nunca con soplete: el forro de plástico y la espuma aguantan unos 50 °C como máximo.
caution-earth = Conectar a tierra botella, mangueras y aparato antes de cargar: una chispa puede encender el gas.
caution-nitrogen = Nitrógeno seco solo a través de un regulador y con válvula de alivio después; nunca oxígeno, nunca aire.
caution-test-pressure = Presión de prueba: como máximo el valor del lado de baja de la placa; con el compresor en el circuito como máximo 150 psi (10,3 bar) manométricos, salvo que la placa diga otra cosa.
caution-braze-pressure = Nunca soldar un tubo a presión: dejar pasar nitrógeno con el otro extremo abierto.
caution-break-limit = Dejar entrar nitrógeno hasta algo por encima de 0 de presión manométrica, no más de lo que diga el fabricante, y purgar solo desde encima de 0: desde abajo entra aire.
caution-pressure = { $refrigerant } está a { $bar } bar a 20 °C: cerrar la válvula del vacuómetro antes de dejar entrar nada y usar mangueras aptas para esa presión.
caution-compressor = Nunca dar corriente al compresor con el sistema en vacío.
caution-unplug = Desenchufar el aparato: un termostato o un temporizador de desescarche puede arrancar el compresor por sí solo.
caution-capacitors = Descargar los condensadores eléctricos antes de tocar partes eléctricas.
caution-toxic = { $refrigerant } es tóxico (grupo de seguridad { $group }): ventilar, tener a mano protección respiratoria y salir del local si se huele.
caution-ventilate = Ventilar: el refrigerante y el nitrógeno desplazan el aire que se respira.
caution-protection = Proteger ojos y manos: el refrigerante líquido congela la piel y los ojos.
caution-pinch-off = Estrangulado: aplastar dos veces el tubo de proceso, cortar por fuera, buscar fugas; cerrar el extremo sin presión, y sin llama si el refrigerante es inflamable.
caution-recover = Antes de abrir, recuperar el refrigerante como manda la ley; no ventearlo.
caution-gauge-off = Cerrar la válvula del vacuómetro antes de meter presión, nitrógeno o refrigerante.
caution-r744 = R-744: cargar solo vapor hasta superar el punto triple (5,2 bar absolutos): por debajo el líquido se vuelve hielo seco y tapona los tubos.
caution-open-slowly = Abrir despacio la válvula hacia la bomba: una aspiración brusca arrastra aceite del compresor.
caution-ballast = Cerrar otra vez el lastre de gas antes de la evacuación final: abierto, la bomba no baja lo suficiente.
