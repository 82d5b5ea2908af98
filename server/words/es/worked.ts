// How is a computation told step by step?

export const worked = {
  eachMetreBeyondWhat:
    'Cada metro más allá de lo que ya cubre la carga de fábrica pide más; una línea más corta no quita nada.',
  mAddAdderMax: 'm_add = suplemento · max(0, longitud − longitud precargada)',
  indoorUnitsAndAllowances: 'Unidades interiores y suplementos, como los indica la ficha.',
  togetherWithWhatIt: 'Junto con lo que traía.',
  asCoTimesThe: 'Como CO₂: por el potencial de calentamiento a cien años.',
  theFiguresAreThose:
    'los valores son los del manual de su equipo: los suplementos impresos varían dos a uno, y de serie no hay ninguno; PCA: IPCC',
  exactArithmeticAFactory:
    'Aritmética exacta. No sabe de una carga de fábrica abierta, mezclada o completada antes.',
  belowTheFirstLimit:
    'Por debajo del primer límite ningún local es demasiado pequeño; por encima del segundo este método ya no sirve.',
  m1KgM: (m1Kg: string, m2Kg: string, lfl: number) =>
    `m_1 = ${m1Kg} kg, m_2 = ${m2Kg} kg, con LFL = ${lfl} kg/m³`,
  theAreaOverWhich:
    'La superficie en que el refrigerante se reparte lo bastante diluido, desde la altura a la que sale.',
  forMildlyFlammableRefrigerants:
    'Para refrigerantes ligeramente inflamables también al menos esto; cuenta la superficie mayor.',
  asManualsPrintIt: (source: string) => `${source}, como lo imprimen los manuales (52 de memoria)`,
  forARoomWithout:
    'Para un local sin ventilación, contado con la carga del circuito entero. La tabla del propio equipo va por delante.',
  cos: (wrenchLengthM: string, offsetM: string, angleDegrees: string) =>
    `(${wrenchLengthM} + ${offsetM} · cos ${angleDegrees}°)`,
  theMiddleOfThe: 'El centro del rango deja igual margen a ambos lados.',
  theAdapterMakesThe:
    'El adaptador alarga o acorta la palanca: L de cuadrado a empuñadura, E de cuadrado a tuerca, a el ángulo entre ambos (longitudes en mm).',
  withoutAnAdapterThe: 'Sin adaptador el ajuste es el par mismo.',
  whatTheNutGot: 'Lo que recibió la tuerca, según lo que mostró la llave.',
  theWrenchsErrorLies:
    'El error de la llave está en cualquier punto dentro de su exactitud indicada, con igual probabilidad.',
  uBetweenAnd: (
    accuracyPercent: string,
    appliedNm: string,
    share: string,
    label: string,
    appliedNm2: string,
    appliedNm3: string,
    label2: string,
  ) =>
    `U = ${accuracyPercent} % · ${appliedNm} = ${share} ${label}: entre ${appliedNm2} y ${appliedNm3} ${label2}`,
  thePartOfThat: 'La parte de ese intervalo que cae dentro del rango. Habla del par, no de la unión.',
  pMinHighM: 'P = (min(high, M_nut + U) − max(low, M_nut − U)) / (2 · U), nunca menos que nada',
  pTheWrenchIs: (probabilityInRange: string) => `P = ${probabilityInRange}: se toma la llave como sin error`,
  byTheSimpleRule:
    'Por la regla simple se acepta una lectura en el rango; por la de margen debe caber todo su error.',
  simpleToGuardedTo: (lowNm: string, highNm: string, lowNm2: string, highNm2: string, label: string) =>
    `simple de ${lowNm} a ${highNm}; con margen de ${lowNm2} a ${highNm2} ${label}`,
  usArmyTm9:
    'US Army TM 9-254 y formación aeronáutica de la US Navy (adaptador); JCGM 106:2012 (probabilidad)',
  holdsWhileYouPull:
    'Vale tirando en la marca de la empuñadura, con un adaptador más corto que la llave si va vuelto.',
  gasesFollowAbsolutePressure:
    'Los gases siguen la presión absoluta y la temperatura absoluta: se suma la presión del aire, y 273.15.',
  aTightSystemKeeps:
    'Un sistema estanco conserva su densidad. Z dice cuánto se aparta el nitrógeno de un gas ideal.',
  p2MpaOn: (
    startPa: string,
    expectedPa: string,
    temperatureK: string,
    startPa2: string,
    temperatureK2: string,
    expectedPa2: string,
    inUnit: string,
  ) =>
    `p_2 = ${startPa} · (${expectedPa} · ${temperatureK}) / (${startPa2} · ${temperatureK2}) = ${expectedPa2} MPa, en el manómetro ${inUnit}`,
  aTightSystemKeepsIts: 'Un sistema estanco conserva su densidad; este gas cuenta como ideal.',
  p2MpaOnThe: (
    startPa: string,
    temperatureK: string,
    temperatureK2: string,
    expectedPa: string,
    inUnit: string,
  ) => `p_2 = ${startPa} · ${temperatureK} / ${temperatureK2} = ${expectedPa} MPa, en el manómetro ${inUnit}`,
  aStraightLineThrough:
    'Una recta por todas las lecturas de la espera, cada una llevada a la última temperatura, dice cuánto se movió la presión más allá de eso.',
  changeSlopeOfThe: 'cambio = pendiente de la recta · tiempo de espera',
  whatWasReadLess: 'Lo leído, menos lo que era de esperar.',
  howSureThatIs: (following: string) =>
    `Cómo de seguro es: g y t son lo que puede desviarse una lectura de manómetro y termómetro, s la subida por kelvin, r = ${following} la parte en que el gas puede ir por detrás del termómetro.`,
  uFromTheLines: 'U del error propio de la recta y s · r · |T_2 − T_1|',
  uFromTheFull: 'U de las exactitudes completas de ambos instrumentos y s · r · |T_2 − T_1|',
  andTheGaugesOwn: (roundingPa: string) => ` y el paso propio del manómetro (${roundingPa} kPa)`,
  itFallsWhenEven: (it: string) =>
    `Cae cuando ni U${it} puede explicar el cambio; aguanta cuando el cambio con U queda dentro de τ por ambos lados; si no, nadie puede decirlo.`,
  fallsChangeURounding: 'cae: cambio + U + redondeo < 0; aguanta: |cambio| + U ≤ τ',
  fallsChangeU0: 'cae: cambio + U < 0; aguanta: |cambio| + U ≤ τ',
  rounding: ' + redondeo',
  timesTheVolumeAnd:
    'Por el volumen y entre el tiempo de espera, eso es una fuga; menos que nada si la presión subió.',
  aLargerLeakThan: 'Una fuga mayor que esta no se habría llamado estanca (97.5 %).',
  qSeenVMin: 'q_seen = V · min(τ, 2 · U + redondeo) / t',
  nitrogenByOurFit:
    'nitrógeno por nuestro ajuste a Span et al., J. Phys. Chem. Ref. Data 29 (2000) 1361; r, τ y un cuarto de la exactitud para g: práctica común, sin fuente',
  idealGasRAnd: 'gas ideal; r, τ y un cuarto de la exactitud para g: práctica común, sin fuente',
  from30To70: 'De −30 a 70 °C, hasta 6 MPa absolutos; la presión esperada es exacta a 0.006 %.',
  asInServiceAt: (refrigerant: string) =>
    `Como ${refrigerant} en servicio, a su presión de ebullición a 25 °C: una fuga lleva más cuanto mayor la presión y más fino el gas (MPa, µPa·s). Una estimación.`,
  mGMol31: (
    leakPaM3PerS: string,
    service: string,
    test: string,
    molarMass: string,
    servicetemperaturek: string,
    kgPerYear: string,
  ) =>
    `m = ${leakPaM3PerS} · [${service}] / [${test}] · ${molarMass} g/mol · 31\u00a0536\u00a0000 / (8.3145 · ${servicetemperaturek}) = ${kgPerYear} g/año`,
  itExplainsMostWith: ': es la que más explica con menos (menor AICc), así que se toma',
  aiccLargerBy: (aiccDifference: string) => `: AICc mayor en ${aiccDifference}`,
  theCurveByLeast: (kindName: string, it: string) => `La curva ${kindName}, por mínimos cuadrados${it}.`,
  tInMinutes: ', t en minutos',
  aAtLeastAt: (low: string, high: string) => `a al menos ${low}, como mucho ${high} (95 %)`,
  levelP0B: (estimate: string, label: string) => `nivel p_0 + b = ${estimate} ${label}`,
  whatThePressureDoes: (horizonS: string) =>
    `Lo que la presión no pasa hasta los ${horizonS} min, sea cual sea la curva verdadera (95 %), frente al límite.`,
  tightPUpperLimit: 'estanco: p_upper < límite',
  pUpperLimit: (horizonUpperPa: string, label: string, limitPaValue: string, label2: string) =>
    `p_upper = ${horizonUpperPa} ${label}; límite = ${limitPaValue} ${label2}`,
  ice: 'hielo',
  water: 'agua',
  moistureCantRiseAbove: (it: string) =>
    `La humedad no puede pasar de la presión de vapor de ${it} en la parte más caliente.`,
  theSteadyClimbTimes: 'La subida continua por el volumen es una fuga.',
  fewerThanThreeReadings: 'Menos de tres lecturas tras el aislamiento: nada que ajustar.',
  aiccHurvichTsai1989:
    'AICc: Hurvich y Tsai 1989, de memoria; agua: IAPWS; horizonte de 60 min: práctica común, sin fuente',
  allFourCurvesNeed:
    'Las cuatro curvas necesitan siete lecturas. Distingue ante todo seco de húmedo; las fugas lentas necesitan el control unión por unión.',
  thePressureOfThe:
    'La presión de la línea de líquido dice a qué temperatura se formaría su primera burbuja; cuánto está la línea por debajo es el subenfriamiento.',
  subcoolingTBubbleP: 'subenfriamiento = T_bubble(p_gauge + p_air) − T_liquid',
  pMpaAbsoluteC: (
    absolutePressurePa: string,
    saturationK: string,
    temperatureK: string,
    subcoolingK: string,
  ) => `p = ${absolutePressurePa} MPa absolutos: ${saturationK} °C − ${temperatureK} °C = ${subcoolingK} K`,
  thePressureOfTheSuction:
    'La presión de la línea de aspiración dice a qué temperatura hierve su última gota; cuánto está la línea por encima es el recalentamiento.',
  superheatTSuctionT: 'recalentamiento = T_suction − T_dew(p_gauge + p_air)',
  whatTheIndoorCoil: 'Lo que la batería interior toma del aire.',
  splitTReturnT: 'salto = T_return − T_supply',
  whatTheIndoorCoilGives: 'Lo que la batería interior da al aire.',
  splitTSupplyT: 'salto = T_supply − T_return',
  saturationByOurFits:
    'saturación por nuestros ajustes a ecuaciones de estado publicadas; ±3 °F y ±5 °F: California Residential Appendix RA3.2, sistemas con conductos',
  after15MinutesOf:
    'Tras 15 minutos de marcha estable en el modo de prueba del fabricante. Una unidad sin conductos de velocidad variable solo tiene los objetivos de su fabricante.',
  levelShape: 'nivelada',
  straightShape: 'recta',
  flatteningShape: 'que se aplana',
  flatteningWithClimb: 'que se aplana, con subida',
}
