// What is said of systemHistory?

export const systemHistory = {
  writeItAs2026: 'Write it as 2026-03-04.',
  thereIsNoSuch: 'There is no such day.',
  useOneOf: (topics: string) => `Use one of ${topics}.`,
  thePressureTest: 'the pressure test',
  theEvacuation: 'the evacuation',
  theCallback: 'the callback',
  the: (kind: string) => `the ${kind}`,
  the2: (kind: string, reference: string) => `the ${kind}, ${reference}`,
}
