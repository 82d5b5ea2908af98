// What is said while a gauge’s log is read and taken?

export const gaugeLogs = {
  thereIsNothingIn: 'There is nothing in this file.',
  thisIsASpreadsheet: 'This is a spreadsheet or an archive. Save it as CSV, then send that.',
  thisIsNoText: 'This is no text. Export the log as CSV, then send that.',
  thereIsNothingBut: 'There is nothing but blanks in this file.',
  logsOfUpTo: (largestlog: number) =>
    `Logs of up to ${largestlog} MB are read. Export only the part of this test, or fewer readings.`,
  thereAreRowsIn: (rowsLength: number, mostrows: number) =>
    `There are ${rowsLength} rows in it; up to ${mostrows} are read. Export only the part of this test, or fewer readings.`,
  thereIsNoNumber: 'There is no number in it. A log has a time and a pressure in each row.',
  thereIsOnlyOne: 'There is only one column in it. A log has a time and a pressure in each row.',
  noRowWithA: 'No row with a time and a pressure was found in it. Export the log as CSV, one reading a row.',
  thePressure: 'the pressure',
  theTemperature: 'the temperature',
  isReadWithA: (example: string) =>
    `“${example}” is read with a decimal comma. If it means thousands, change that.`,
  isReadAsThousands: (example: string) =>
    `“${example}” is read as thousands. If it has a decimal comma, change that.`,
  isReadWhichIs: (first: unknown, order: string) =>
    `“${first}” is read ${order}, which is nearer to the test.`,
  theLogNamesNo: (what: string, usual: unknown) =>
    `The log names no unit for ${what}: ${usual} is taken. Check it.`,
  column: (number: number, it: string) => `Column ${number}${it}`,
  and: ' and ',
  couldBeTooCheck: (others: string, what: string) => `${others} could be ${what} too. Check which.`,
  theClocksWentForward: 'The clocks went forward during this log; its own clock did not.',
  theClocksWentForwardDuring: 'The clocks went forward during this log, and its own clock with them.',
  theClocksWentBack: 'The clocks went back during this log; its own clock did not.',
  theClocksWentBackDuring: 'The clocks went back during this log, and its own clock with them.',
  noFiguresInIt: (cells: string) => `no figures in it: ${cells}`,
  noTimeInIt: 'no time in it',
  noTimeCanBe: (text: string) => `no time can be read in ${text}`,
  noPressureInIt: 'no pressure in it',
  gauge: 'gauge',
  absolute: 'absolute',
  noPressureCanBe: (it: string, text: string) => `no ${it} pressure can be read in ${text}`,
  noTemperatureInIt: 'no temperature in it',
  noTemperatureCanBe: (degrees: string) => `no temperature can be read in ${degrees}`,
  noColumnWithTimes: 'No column with times was found. Say which it is.',
  noColumnWithPressures: 'No column with pressures was found. Say which it is.',
  oneColumnCantBe: 'One column can’t be two things. Choose another one for one of them.',
  theHeadingSaysWhich: (written: string) =>
    `The heading says ${written}, which is not read here. Export the log in another unit.`,
  theHeadingSaysWhichIs: (written: string) =>
    `The heading says ${written}, which is absolute. This test takes the pressure above the air’s: choose another column, or the unit if the heading is wrong.`,
  theHeadingSaysWhichIsAbove: (written: string) =>
    `The heading says ${written}, which is above the air’s pressure. An evacuation takes absolute pressure: choose another column, or the unit if the heading is wrong.`,
  theLogHasIts: 'The log has its newest row first; it is read from the end.',
  itsTimesCountFrom: 'Its times count from when it began, which it does not say: check that moment below.',
  itsTimeDoesNot: 'its time does not follow on the rows around it',
  theSameMomentAs: (same: number) => `the same moment as row ${same}`,
  itsTimeHasNot: 'its time has not come yet',
  oneRowIs: 'One row is',
  rowsAre: (settling: number) => `${settling} rows are`,
  leftOutTheGas: (it: string, settleS: number) =>
    `${it} left out: the gas settles for ${settleS} minutes after the source is taken off.`,
  readingsAreMoreThan: (phasedLength: number, every: string) =>
    `${phasedLength} readings are more than a judgement gains from. Every ${every} is taken, and of each phase the first, the last, the highest and the lowest; the file itself is kept whole.`,
  withoutATemperatureBeside:
    'Without a temperature beside each pressure, only the first and the last reading of the hold are taken, with the temperatures that you give.',
  inTheRecordAlready: (it: string) => `${it} in the record already.`,
  noRowOfIt: 'No row of it can be read as it stands. See why below, and change how it is read.',
  everyRowOfIt: 'Every row of it is in the record already.',
  noRowOfItCan: 'No row of it can be taken. See why below, and change how it is read.',
  theLogEndsWhile:
    'The log ends while the gas still settles. Take the source off at an earlier moment, or log for longer.',
  itHasNoTemperatures:
    'It has no temperatures, and without them a pressure test can’t be judged. Choose a column, or give those at the start and at the end of the hold.',
  itHasNoTwo: 'It has no two readings of the hold to go with the two temperatures.',
  theFileOfThis: 'The file of this log',
}
