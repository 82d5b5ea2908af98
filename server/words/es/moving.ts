// What is said of moving data in and out?

export const moving = {
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
