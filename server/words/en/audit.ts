// What is said of audit?

import { type Part, phrase } from '../phrase.ts'

export const audit = {
  thisQuestionIsSettled: 'This question is settled. The manager can ask again.',
  useOneOf: (auditsubjectkinds: string) => `Use one of ${auditsubjectkinds}.`,
  sayWhatTheQuestion: 'Say what the question is about.',
  theEntryIsAbout: 'The entry is about something else.',
  thisJobIsBeing: 'This job is being worked on. It is audited once it is submitted.',
  acceptsIt: 'accepts it',
  aQuestionAboutThis: 'A question about this is not settled yet. Settle it first.',
  waitsForAnAnswer: 'Waits for an answer.',
  answeredWaitsForThe: 'Answered; waits for the manager.',
  settled: 'Settled.',
  answer: 'Answer',
  askedAgain: 'Asked again',
  settled2: 'Settled',
  question: 'Question',
  addToTheAnswer: 'Add to the answer',
  yourAnswer: 'Your answer',
  itStaysInThe: 'It stays in the record with the time.',
  sendTheAnswer: 'Send the answer',
  settledTheAnswerIs: 'Settled: the answer is enough',
  askOn: 'Ask on',
  whatElse: 'What else',
  ask: 'Ask',
  byThePhonesClock: (when: Part) => phrase`(by the phone's clock ${when})`,
  by: (what: string, who: string, when: Part, it: Part) => phrase`${what} by ${who}, ${when}${it}`,
}
