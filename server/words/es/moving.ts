// What is said of moving data in and out?

export const moving = {
  dataInAndOut: 'Entrada y salida de datos',
  tablesOut: 'Sacar tablas',
  tablesOutWhy:
    'Todo lo que hay, como texto que leen las hojas de cálculo y otros programas. Los momentos van en UTC y las cantidades en SI; el par, además, tal como se escribió.',
  csv: 'Con comas',
  csvWithComma: 'Con punto y coma y coma decimal',
  tables: {
    jobs: { title: 'Trabajos', holds: 'Dónde, qué, hasta dónde y el último certificado.' },
    joints: {
      title: 'Uniones',
      holds:
        'Cada una con su ejecución actual, sus herramientas y quién la hizo, y su par juzgado con los criterios de ahora.',
    },
    torques: {
      title: 'Pares de apriete',
      holds:
        'Cada lectura de cada ejecución, con intervalo, incertidumbre y veredicto según los criterios de ahora.',
    },
    tests: { title: 'Pruebas', holds: 'Pruebas de presión y vacíos, con el veredicto que se dio entonces.' },
    instruments: {
      title: 'Instrumentos',
      holds: 'El registro, con la última calibración y cuántos pasos se apoyan en cada uno.',
    },
    callbacks: { title: 'Reclamaciones', holds: 'Lo que volvió, con una fila por cada cosa hallada.' },
  },
  noArchive: 'Este archivo no es el de una empresa escrito por Jointkeep.',
  newerArchive:
    'Este archivo lo escribió un programa más nuevo. Use aquí ese mismo programa o uno posterior.',
  breaksOff: 'El archivo se corta antes de su final: no se escribió o no se copió entero.',
  damaged: (name: string) => `El archivo está dañado o fue modificado: ${name} ya no es lo que era.`,
  notInManifest: (name: string) => `El archivo contiene algo que su lista no nombra: ${name}.`,
  unknownTable: (table: string) =>
    `El archivo tiene una tabla que este programa no conoce: ${table}. Lo escribió uno más nuevo.`,
  unknownColumn: (table: string, column: string) =>
    `El archivo tiene una columna que este programa no conoce: ${table}.${column}. Lo escribió uno más nuevo.`,
  brokenChain: (chain: string, number: number, what: string) =>
    `No se tomó nada: la anotación ${number} de la cadena ${chain} ${what}.`,
  notEmpty: 'En este servidor ya hay una empresa. Una empresa solo se traslada a un servidor vacío.',
}
