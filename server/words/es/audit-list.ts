// What is said of auditList?

export const auditList = {
  useWaitingAcceptedOr: 'Use waiting, accepted o sealed.',
  useRiskOrWaiting: 'Use risk o waiting.',
  useOneOf: (standsout: string) => `Use uno de ${standsout}.`,
  use137: 'Use 1, 3, 7 o 30.',
  questionAnswered: 'pregunta respondida',
  questionsAnswered: 'preguntas respondidas',
  questionWaitsForThe: 'pregunta espera a la cuadrilla',
  questionsWaitForThe: 'preguntas esperan a la cuadrilla',
  concessionAskedFor: 'concesión pedida',
  concessionsAskedFor: 'concesiones pedidas',
  correctionWaitsForYou: 'corrección le espera a usted',
  correctionsWaitForYou: 'correcciones le esperan a usted',
  timeSentBackBefore: 'vez devuelto antes',
  timesSentBackBefore: 'veces devuelto antes',
}
