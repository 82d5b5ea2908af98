// What is said of passkeys: made, called something, taken away, and signed in with?

import { type Part, phrase } from '../phrase.ts'

export const passkeys = {
  passkeys: 'Passkeys',
  whatTheyAre:
    'A passkey is kept by your phone, your computer or a security key, and opens with its fingerprint reader, camera or PIN. It works on this site alone, so nobody can ask you for it elsewhere.',
  whatTheyDo:
    'It is your second step after the password. Most can also sign you in by themselves, without a password.',
  madeOn: (day: Part) => phrase`made ${day}`,
  lastUsedOn: (day: Part) => phrase`last used ${day}`,
  notUsedYet: 'not used yet',
  name: 'Name',
  nameHint: 'So that you know it from others, such as the phone it is on.',
  addOne: 'Add a passkey',
  change: (name: string) => `Change or remove ${name}`,
  rename: 'Change the name',
  remove: 'Remove this passkey',
  removeWhy: 'It opens nothing here any more. Delete it from your device or password keeper as well.',
  needsJavaScript:
    'A passkey needs JavaScript, which is off in this browser. An authenticator app does the same without.',
  needsJavaScriptToSignIn:
    'Signing in with a passkey needs JavaScript, which is off in this browser. A code works without: of your authenticator app, or a recovery code.',
  notInThisBrowser: 'This browser can’t make passkeys. An authenticator app does the same without.',
  notHere: (address: string) =>
    `There are no passkeys on this server: browsers make them only for an https address with a name, and this server’s is ${address}. Whoever runs it can change that.`,
  signIn: 'Sign in with a passkey',
  useOne: 'Use a passkey',
  orCode: 'Or with a code',
  recoveryCodeHint: 'One of your recovery codes.',
  noAnswer: 'Send what the browser answered, as it is.',
  questionOver: 'This took more than ten minutes, was done already, or was begun elsewhere. Begin again.',
  tooMany: (most: number) => `You have ${most} passkeys. Remove one that you don’t use first.`,
  thereAlready: 'This passkey is known here already.',
  notMade: 'What came back was not made for this site and this question. Begin again.',
  thisPasskey: 'This passkey',
  unknown: 'This passkey is not known here, or not any more. Sign in with your password.',
  refused: 'This passkey did not open. Try once more, or sign in another way.',
}
