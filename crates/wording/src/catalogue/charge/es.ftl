# Lo que se dice de una carga: qué pesar, qué queda en las mangueras, el orden de trabajo.

charge-title = { $refrigerant }: { $charge } ± { $tolerance } según la placa, local a { $celsius } °C.
charge-tolerance-usual = No se indicó tolerancia: 2 %, al menos 1 g, es la práctica común. Prevalece lo que digan la placa o el fabricante.
charge-weigh-out = Sacar { $mass } de la botella: { $charge } para el sistema, { $left } para lo que queda en las mangueras ({ $share } % de la carga).
charge-weigh-out-alone = Sacar { $mass } de la botella.
charge-hose = Manguera { $number }: { $bore } mm × { $length } m, { $ml } mL de { $contents ->
    [liquid] líquido
   *[vapour] vapor
 }: { $mass }
charge-cylinder-line = Línea de la botella: { $ml } mL, { $mass }
charge-manifold = Puente de manómetros: { $ml } mL, { $mass }
charge-undrawn = Retiradas tal como están, las mangueras retienen { $left }: sacar { $mass }.
charge-drawn = Vaciadas por el lado de baja del sistema en marcha, a { $pressure }, las mangueras retienen { $left }: sacar { $mass }.
charge-drawn-assumed = No se indicó la presión del lado de baja: se toma la de { $refrigerant } a −25 °C (práctica común, sin fuente).
charge-uncertainty = Incertidumbre ± { $all } (95 %): mangueras ± { $hoses }, temperatura y presión de su contenido ± { $state }, escalones de la balanza ± { $scale }.
charge-uncertainty-no-scale = Incertidumbre ± { $all } (95 %): mangueras ± { $hoses }, temperatura y presión de su contenido ± { $state }. No se indicó el escalón de la balanza, y no se cuenta.
charge-forgotten = Si de la botella salieran solo { $charge }, al sistema le faltarían { $off } ({ $share } %), ± { $uncertainty }.
charge-in-system = De { $out } sacados, { $mass } están en el sistema, ± { $uncertainty } (95 %): { $off } respecto de la placa ({ $share } %).
charge-margin = Margen sobre la carga menor que admite la tolerancia: { $margin }.
charge-standing-short = El sistema tiene poca carga.
charge-standing-within = La carga está dentro de su tolerancia.
charge-standing-over = El sistema tiene demasiada carga: recuperar lo que sobra.
charge-standing-open = No se puede decir si la carga está dentro de su tolerancia: la incertidumbre es demasiado grande.
charge-state = A { $celsius } °C { $refrigerant } está a { $pressure }; un manómetro que cuenta desde el aire indica unos { $gauge }. Líquido { $liquid } g/L, vapor { $vapour } g/L.
charge-state-blend = A { $celsius } °C el líquido de { $refrigerant } hierve a { $pressure } (un manómetro que cuenta desde el aire indica unos { $gauge }) y su vapor condensa a { $dew }. Líquido { $liquid } g/L, vapor { $vapour } g/L.
charge-scale-fine = Balanza: escalones de { $step } son bastante finos para ± { $tolerance }.
charge-level = Cilindro de carga a { $pressure }: { $celsius } °C dentro, líquido { $liquid } g/L. Ajustar su escala por esta presión y dejar bajar el nivel { $ml } mL.
charge-level-vapour = Incluye el vapor que ocupa el lugar del líquido; con una escala solo para líquido faltaría { $share } % de la carga.
charge-dial-cold = Con la escala ajustada 10 K demasiado fría se carga { $share } % de menos.
charge-dial-warm = Con la escala ajustada 10 K demasiado caliente se carga { $share } % de más.
charge-fill = Llenar la botella de { $volume } L con { $mass } como máximo: 80 % de su volumen a 25 °C (práctica común, sin fuente). Prevalece el límite grabado en la botella.
charge-fill-warm = A 50 °C este líquido ocupa { $share } % de la botella.
charge-limit = { $standard } ({ $place ->
    [household] aparatos domésticos
   *[commercial] aparatos comerciales
 }) admite como máximo { $mass } de él en un circuito ({ $source ->
    [memory] cifra de memoria
   *[seen] cifra leída en su texto
 }); deciden las normas locales.
charge-source = Densidades y presiones: tablas hechas con CoolProp 8.0.0.

charge-warning = Atención: { $warning }
charge-warn-no-hoses = No se indicó ninguna manguera: no se cuenta lo que queda en ellas.
charge-warn-much = En las mangueras queda { $share } % de la carga. Aspirarlas por el lado de baja con el sistema en marcha, o usar otras más cortas y finas.
charge-warn-scale = Una balanza con escalones de { $step } es demasiado basta para ± { $tolerance }: su escalón debería ser como máximo un cuarto de la tolerancia (práctica común, sin fuente).
charge-warn-uncertain = Con estas mangueras y esta balanza la carga tiene una incertidumbre de ± { $uncertainty }, más que su tolerancia de ± { $tolerance }. Aspirar las mangueras por el lado de baja, o usar otras más cortas y una balanza más fina.
charge-warn-vapour = El vapor de { $refrigerant } tiene otra composición que su líquido: lo que retiene una manguera llena de vapor es una estimación.
charge-warn-cylinder-warm = La botella está a una presión que corresponde a { $celsius } °C, { $kelvin } K por encima del local. Está caliente, o contiene aire u otro gas, y entonces su escala engaña.
charge-warn-cylinder-cold = La botella está a una presión que corresponde a { $celsius } °C, { $kelvin } K por debajo del local. Está fría, o la presión se leyó en un manómetro que cuenta desde el aire: sumar la presión del aire, alrededor de 1 bar.
charge-warn-limit = La carga supera { $mass }, el límite de { $standard } para un refrigerante inflamable en { $place ->
    [household] aparatos domésticos
   *[commercial] aparatos comerciales
 } (de memoria): ¿está bien leída la placa? Deciden las normas locales.

charge-order = Orden de trabajo
charge-cautions = Precauciones
charge-expect = Lo que debe ocurrir: { $words }
charge-otherwise = Si no ocurre: { $words }
charge-caution = Precaución: { $words }
charge-step-prepare = Empezar solo cuando la prueba de mantenimiento esté superada. El compresor sigue apagado y el vacuómetro aislado. Poner la botella en la balanza de modo que salga líquido, dejar la manguera suelta y poner la balanza a cero.
charge-step-low-shut = Cerrar el lado de baja del puente de manómetros.
charge-step-low-shut-expect = El líquido entra solo en el lado de alta: en el de baja llega al compresor, que no puede comprimirlo.
charge-step-liquid = Compresor apagado. Abrir la botella, luego la válvula de carga y el lado de alta, y dejar entrar líquido hasta que hayan salido { $mass } de la botella.
charge-step-liquid-expect = El lado de alta sube hacia { $pressure }. El de baja lo sigue por el tubo capilar en unos minutos.
charge-step-liquid-wrong = El lado de baja se queda en vacío: no pasa nada. Un tubo quedó cerrado al soldar, o el filtro o el capilar está obstruido. Parar, recuperar la carga y abrirlo.
charge-step-shut = Cerrar la botella, luego la válvula de carga, luego el lado de alta. Esperar a que la balanza esté quieta y anotar lo que salió de la botella.
charge-step-start = Encender el compresor, ahora que hay refrigerante en ambos lados.
charge-step-start-expect = El lado de alta sube por encima de { $pressure }; el de baja cae y se estabiliza, en un congelador cerca de { $low } (−25 °C, práctica común).
charge-step-start-wrong = El lado de baja entra en vacío y se queda allí, y el de alta apenas sube: nada circula, un tubo quedó cerrado al soldar o está obstruido. Las dos presiones siguen iguales: el compresor no bombea. Apagarlo.
charge-step-start-vacuum = Este lado de baja trabaja por debajo de la presión del aire exterior: lo que no es estanco, también una manguera, aspira aire.
charge-step-draw = Con la botella y la válvula del lado de alta del aparato cerradas, abrir la válvula de carga y luego, poco a poco, el lado de baja del puente: el compresor en marcha vacía las mangueras.
charge-step-draw-expect = El lado de baja sube mientras se vacían las mangueras y vuelve a donde estaba. Entonces cerrar el lado de baja.
charge-step-draw-not = Aquí se planea sin este paso: las mangueras retienen { $left } al retirarlas, que hay que recuperar.
charge-step-pinch = Pinzar los tubos de proceso, cortarlos, cerrar sus extremos (sin llama si el refrigerante es inflamable) y buscar fugas en cada unión.

charge-caution-locked = No dejar nunca líquido encerrado entre dos válvulas cerradas: al calentarse revienta una manguera. Dejarle salida al sistema o a una botella de recuperación.
charge-caution-slug = Abrir el lado de baja poco a poco: el líquido que llega a un compresor en marcha lo rompe.
charge-caution-fill = No llenar nunca una botella por encima del límite grabado en ella: llena de líquido revienta al calentarse.
charge-caution-warm = Calentar una botella con agua a 40 °C como máximo (práctica común, sin fuente), nunca con llama ni pistola de aire caliente.
charge-caution-code = Las instrucciones del fabricante, la práctica autorizada y las normas locales deciden qué refrigerante entra, cuánto y quién lo hace.
