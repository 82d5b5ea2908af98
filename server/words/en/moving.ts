// What is said of moving data in and out?

export const moving = {
  dataInAndOut: 'Data in and out',
  tablesOut: 'Tables out',
  tablesOutWhy:
    'Everything there is, as text that spreadsheets and other programs read. Moments are in UTC, quantities in SI; a torque also as it was typed.',
  csv: 'With commas',
  csvWithComma: 'With semicolons and decimal commas',
  tables: {
    jobs: { title: 'Jobs', holds: 'Where, what, how far, and the last certificate.' },
    joints: {
      title: 'Joints',
      holds:
        'Each with its current making, its tools and who made it, and its torque as judged by the criteria of now.',
    },
    torques: {
      title: 'Torques',
      holds: 'Every reading of every making, with range, uncertainty and verdict by the criteria of now.',
    },
    tests: { title: 'Tests', holds: 'Pressure tests and evacuations, with the verdict as it was given.' },
    instruments: {
      title: 'Instruments',
      holds: 'The register, with the last calibration and how often steps rest on each.',
    },
    callbacks: { title: 'Callbacks', holds: 'What came back, a row for each thing that was found.' },
  },
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
