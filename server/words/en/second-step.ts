// What is said of the second step of a sign-in?

import { type Part, phrase } from '../phrase.ts'

export const secondStep = {
  secondStep: 'Second step at sign-in',
  whatItIs:
    'Beside your password, a passkey, or a code that an authenticator app on your phone shows. Who learns your password alone then gets no further.',
  theLastOne:
    'A company of yours wants a second step, and this is your last. Add another first, then take this one away.',
  authenticatorApp: 'Authenticator app',
  setItUp: 'Set it up',
  begin: 'Set up an authenticator app',
  scanThis: 'Scan this with the authenticator app on your phone.',
  theQr: 'QR code for the authenticator app; the same stands below as text',
  onThisPhone: 'The app is on this device: open it',
  orType: 'Or type this key into it:',
  firstCode: 'Code that the app shows now',
  firstCodeHint: 'Six digits. They change every half minute.',
  useIt: 'Use it from now on',
  waitsHalfAnHour:
    'This waits half an hour. Once the code was right, every other browser you are signed in with is signed out.',
  inUseSince: (day: Part) => phrase`Your authenticator app is asked for at each sign-in, since ${day}.`,
  recoveryCodes: 'Recovery codes',
  codesLeft: (count: number) =>
    count === 0
      ? 'None is left. Make new ones, so that a lost phone does not shut you out.'
      : count === 1
        ? 'One is left. Each opens once, for when your phone is lost.'
        : `${count} are left. Each opens once, for when your phone is lost.`,
  makeNewCodes: 'Make ten new codes',
  takeItAway: 'Take the app away',
  takeItAwayWhy:
    'Its codes open nothing then. Without a passkey your password alone signs you in, and the recovery codes go too.',
  yourPasswordAgain: 'Your password, once more',
  notYourPassword: 'This is not your password.',
  keepThese: 'Write these down or print them now: they are shown only once. Keep them apart from your phone.',
  eachOpensOnce:
    'Each opens once, in place of a code of the app. Codes that you had before open nothing now.',
  keptThem: 'They are kept safe',
  code: 'Code',
  codeHint: 'Six digits from your authenticator app, or one of your recovery codes.',
  lostBoth:
    'Phone and recovery codes lost? An owner of your company can take the second step away; of the only owner, whoever runs this server.',
  beginWithPassword: 'Begin again with the password',
  enterTheCode: 'Enter the six digits, or a recovery code.',
  wrongCode: 'This code is wrong, or was used before. The app shows a new one every half minute.',
  wrongFirstCode:
    'This is not the code. Look at the app again; if it goes on, set the clock of your phone to network time.',
  stepOver: 'This sign-in took more than ten minutes, or was finished already. Sign in again.',
  tooManyCodes: 'Too many wrong codes. Wait a quarter of an hour, or until tomorrow if it goes on.',
  thereAlready: 'You use an authenticator app already. Take it away first, then set up another.',
  setUpFirst: 'Set up the second step first.',
  beginAgain: 'The key was not used within half an hour. Begin again.',
  unreadable:
    'This server can’t read your authenticator’s key any more. Use a recovery code, and tell whoever runs the server.',
  theyHaveOne: 'They have one.',
  theyHaveNone: 'They have none.',
  takeTheirsAway: 'Take their second step away',
  whenTheyLostIt:
    'For when phone and recovery codes are lost. Make sure that it is they who ask: afterwards their password alone signs them in. They are signed out, and it stands in the record.',
  wanted:
    'This company wants a second step of you before anything else. Set it up, then go on where you were.',
  theRule:
    'Who is asked for one and has none sets it up at the next page they open; nothing that they recorded is lost. Tokens of programs go on.',
  ofWhom: 'A second step is wanted of',
  ofNobody: 'nobody: it is everybody’s own choice',
  ofManagers: 'managers and owners',
  ofEverybody: 'everybody',
  chooseOfWhom: 'Choose nobody, managers or everybody.',
  setThis: 'Set this',
  whoHasNone: 'Who has none yet',
  allHaveOne: 'Everybody has one.',
  yoursFirst: 'Set up your own second step first: you would be the first to stand outside.',
  notYourOwn: 'This is your own. Take it away on your own page.',
  notYoursAlone:
    'Their second step guards more than this company, so it is not yours alone to take away. Whoever runs this server can.',
}
