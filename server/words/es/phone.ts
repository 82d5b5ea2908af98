// What is said of a phone without signal?

import { type Part, phrase } from '../phrase.ts'

export const phone = {
  onThisPhone: 'On this phone',
  whatWasEnteredWithout:
    'What was entered without a signal and is not on the server yet, in the order in which it is sent.',
  withoutScriptNothingIs:
    'Without script nothing is kept on this phone: a form that could not be sent is still in the browser’s window.',
  signInToSee: 'Sign in to see and send what is yours',
  nothingWaitsHere: 'Nothing waits here.',
  tryToSendNow: 'Try to send now',
  mendIt: 'Mend it',
  sendItAgain: 'Send it again',
  dropIt: 'Drop it',
  itIsTakenOff: (span: Part) => phrase`It is taken off this phone for good and recorded nowhere. ${span}`,
  yesDropIt: 'Yes, drop it',
  keepIt: 'Keep it',
}
