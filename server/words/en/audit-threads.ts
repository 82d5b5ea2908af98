// What is said of auditThreads?

export const auditThreads = {
  entry: (toUpperCase: string, words: string, number: number) => `${toUpperCase}${words}, entry ${number}`,
  theJob: 'The job',
  aSystem: 'A system',
  joint: (tag: string) => `Joint ${tag}`,
  aJoint: 'A joint',
  pressureTestOf: (performedAt: string) => `Pressure test of ${performedAt}`,
  aPressureTest: 'A pressure test',
  evacuationOf: (performedAt: string) => `Evacuation of ${performedAt}`,
  anEvacuation: 'An evacuation',
}
