// What is said of auditList?

export const auditList = {
  useWaitingAcceptedOr: 'Use waiting, accepted or sealed.',
  useRiskOrWaiting: 'Use risk or waiting.',
  useOneOf: (standsout: string) => `Use one of ${standsout}.`,
  use137: 'Use 1, 3, 7 or 30.',
  questionAnswered: 'question answered',
  questionsAnswered: 'questions answered',
  questionWaitsForThe: 'question waits for the crew',
  questionsWaitForThe: 'questions wait for the crew',
  concessionAskedFor: 'concession asked for',
  concessionsAskedFor: 'concessions asked for',
  correctionWaitsForYou: 'correction waits for you',
  correctionsWaitForYou: 'corrections wait for you',
  timeSentBackBefore: 'time sent back before',
  timesSentBackBefore: 'times sent back before',
}
