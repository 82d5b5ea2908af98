// What is said of auditThreads?

export const auditThreads = {
  entry: (toUpperCase: string, words: string, number: number) => `${toUpperCase}${words}, asiento ${number}`,
  theJob: 'El trabajo',
  aSystem: 'Un sistema',
  joint: (tag: string) => `Unión ${tag}`,
  aJoint: 'Una unión',
  pressureTestOf: (performedAt: string) => `Prueba de presión del ${performedAt}`,
  aPressureTest: 'Una prueba de presión',
  evacuationOf: (performedAt: string) => `Evacuación del ${performedAt}`,
  anEvacuation: 'Una evacuación',
}
