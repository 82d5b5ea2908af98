// What is said of moving data in and out?

export const moving = {
  noArchive: 'This is no archive of a company that Jointkeep wrote.',
  newerArchive: 'This archive was written by a newer program. Use that one, or a newer one, here.',
  breaksOff: 'The archive breaks off before its end: it was not written or not copied whole.',
  damaged: (name: string) => `The archive was damaged or changed: ${name} is not what it was.`,
  notInManifest: (name: string) => `The archive has something in it that its list does not name: ${name}.`,
  unknownTable: (table: string) =>
    `The archive has a table that this program does not know: ${table}. It was written by a newer one.`,
  unknownColumn: (table: string, column: string) =>
    `The archive has a column that this program does not know: ${table}.${column}. It was written by a newer one.`,
  brokenChain: (chain: string, number: number, what: string) =>
    `Nothing was taken: entry ${number} of chain ${chain} ${what}.`,
  notEmpty: 'There is a company on this server already. A company moves only to a server that is empty.',
}
