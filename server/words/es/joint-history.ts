// What is said of jointHistory?

export const jointHistory = {
  line: (line: string) => `${line} line`,
  theConsole: 'the console',
  torqueAtTheNut: 'Torque at the nut',
  diameterOfTheFlare: 'Diameter of the flare',
  withinItsBand: 'Within its band',
  outsideItsBand: 'Outside its band',
  thereIsNoBand: 'There is no band for this size',
  theWrench: 'the wrench',
  withTheErrorTaken: (wrenchName: string, reason: string) =>
    `With the error taken out that ${wrenchName} was found to have: ${reason}`,
}
