// What is said of systemHistory?

export const systemHistory = {
  writeItAs2026: 'Escríbalo como 2026-03-04.',
  thereIsNoSuch: 'Ese día no existe.',
  useOneOf: (topics: string) => `Use uno de ${topics}.`,
  thePressureTest: 'la prueba de presión',
  theEvacuation: 'la evacuación',
  theCallback: 'la reclamación',
  the: (kind: string) => `${kind}`,
  the2: (kind: string, reference: string) => `${kind}, ${reference}`,
}
