// What is said while a gauge’s log is read and taken?

export const gaugeLogs = {
  thereIsNothingIn: 'No hay nada en este archivo.',
  thisIsASpreadsheet: 'Esto es una hoja de cálculo o un archivo comprimido. Guárdelo como CSV y envíe eso.',
  thisIsNoText: 'Esto no es texto. Exporte el registro como CSV y envíe eso.',
  thereIsNothingBut: 'En este archivo solo hay espacios.',
  logsOfUpTo: (largestlog: number) =>
    `Se leen registros de hasta ${largestlog} MB. Exporte solo la parte de esta prueba, o menos lecturas.`,
  thereAreRowsIn: (rowsLength: number, mostrows: number) =>
    `Tiene ${rowsLength} filas; se leen hasta ${mostrows}. Exporte solo la parte de esta prueba, o menos lecturas.`,
  thereIsNoNumber: 'No hay ningún número. Un registro tiene en cada fila una hora y una presión.',
  thereIsOnlyOne: 'Solo hay una columna. Un registro tiene en cada fila una hora y una presión.',
  noRowWithA:
    'No se halló ninguna fila con una hora y una presión. Exporte el registro como CSV, una lectura por fila.',
  thePressure: 'la presión',
  theTemperature: 'la temperatura',
  isReadWithA: (example: string) => `“${example}” se lee con coma decimal. Si significa miles, cámbielo.`,
  isReadAsThousands: (example: string) => `“${example}” se lee como miles. Si tiene coma decimal, cámbielo.`,
  isReadWhichIs: (first: unknown, order: string) =>
    `“${first}” se lee ${order}, que queda más cerca de la prueba.`,
  theLogNamesNo: (what: string, usual: unknown) =>
    `El registro no nombra unidad para ${what}: se toma ${usual}. Compruébelo.`,
  column: (number: number, it: string) => `Columna ${number}${it}`,
  and: ' y ',
  couldBeTooCheck: (others: string, what: string) => `${others} también podría ser ${what}. Compruebe cuál.`,
  theClocksWentForward: 'Los relojes se adelantaron durante este registro; el suyo no.',
  theClocksWentForwardDuring: 'Los relojes se adelantaron durante este registro, y el suyo también.',
  theClocksWentBack: 'Los relojes se atrasaron durante este registro; el suyo no.',
  theClocksWentBackDuring: 'Los relojes se atrasaron durante este registro, y el suyo también.',
  noFiguresInIt: (cells: string) => `sin cifras: ${cells}`,
  noTimeInIt: 'sin hora',
  noTimeCanBe: (text: string) => `no se puede leer una hora en ${text}`,
  noPressureInIt: 'sin presión',
  gauge: 'manométrica',
  absolute: 'absoluta',
  noPressureCanBe: (it: string, text: string) => `no se puede leer una presión ${it} en ${text}`,
  noTemperatureInIt: 'sin temperatura',
  noTemperatureCanBe: (degrees: string) => `no se puede leer una temperatura en ${degrees}`,
  noColumnWithTimes: 'No se halló ninguna columna con horas. Diga cuál es.',
  noColumnWithPressures: 'No se halló ninguna columna con presiones. Diga cuál es.',
  oneColumnCantBe: 'Una columna no puede ser dos cosas. Elija otra para una de ellas.',
  theHeadingSaysWhich: (written: string) =>
    `El encabezado dice ${written}, que aquí no se lee. Exporte el registro en otra unidad.`,
  theHeadingSaysWhichIs: (written: string) =>
    `El encabezado dice ${written}, que es absoluta. Esta prueba toma la presión por encima de la del aire: elija otra columna, o la unidad si el encabezado está mal.`,
  theHeadingSaysWhichIsAbove: (written: string) =>
    `El encabezado dice ${written}, que es por encima de la presión del aire. Una evacuación toma presión absoluta: elija otra columna, o la unidad si el encabezado está mal.`,
  theLogHasIts: 'El registro tiene primero la fila más nueva; se lee desde el final.',
  itsTimesCountFrom: 'Sus tiempos cuentan desde que empezó, y no dice cuándo: compruebe abajo ese momento.',
  itsTimeDoesNot: 'su hora no sigue a las filas de alrededor',
  theSameMomentAs: (same: number) => `el mismo momento que la fila ${same}`,
  itsTimeHasNot: 'su hora aún no ha llegado',
  oneRowIs: 'Una fila queda',
  rowsAre: (settling: number) => `${settling} filas quedan`,
  leftOutTheGas: (it: string, settleS: number) =>
    `${it} fuera: el gas se asienta ${settleS} minutos después de retirar la fuente.`,
  readingsAreMoreThan: (phasedLength: number, every: string) =>
    `${phasedLength} lecturas son más de las que aprovecha un juicio. Se toma una de cada ${every}, y de cada fase la primera, la última, la más alta y la más baja; el archivo se guarda entero.`,
  withoutATemperatureBeside:
    'Sin una temperatura junto a cada presión, solo se toman la primera y la última lectura de la espera, con las temperaturas que usted dé.',
  inTheRecordAlready: (it: string) => `${it} ya en el registro.`,
  noRowOfIt: 'Tal como está no se puede leer ninguna fila. Vea abajo por qué, y cambie cómo se lee.',
  everyRowOfIt: 'Todas sus filas están ya en el registro.',
  noRowOfItCan: 'No se puede tomar ninguna fila. Vea abajo por qué, y cambie cómo se lee.',
  theLogEndsWhile:
    'El registro termina mientras el gas aún se asienta. Retire la fuente en un momento anterior, o registre más tiempo.',
  itHasNoTemperatures:
    'No tiene temperaturas, y sin ellas no se puede juzgar una prueba de presión. Elija una columna, o dé las del principio y el final de la espera.',
  itHasNoTwo: 'No tiene dos lecturas de la espera que vayan con las dos temperaturas.',
  theFileOfThis: 'El archivo de este registro',
}
