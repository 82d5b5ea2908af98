// What does the page that checks without a connection say? Whole sentences with blanks, handed to it as data.

import { JOINT_KIND_WORDS } from '../rules/wording.ts'
import {
  JOB_KIND_WORDS,
  LEAK_METHOD_WORDS,
  PRESSURE_VERDICT_WORDS,
  TORQUE_VERDICT_WORDS,
  VACUUM_VERDICT_WORDS,
} from './words.ts'

/** By verdict: what it is, why, and what to do with it. */
const OUTCOMES = {
  genuine: {
    lead: 'Genuine.',
    words: 'What it says is what was signed, to the last character, and the key is one that this page knows.',
    next: 'Below is what was signed. Compare the key with the fingerprint that the company or its server publishes, and the figures with the paper and the equipment in front of you.',
  },
  altered: {
    lead: 'Altered.',
    words:
      'This is not what was signed: something in it was changed, or the signature is not by the key that it names.',
    next: 'Do not rely on it. Ask the company named on the paper for the certificate again.',
  },
  unknownKey: {
    lead: 'Signed with a key that this page does not know.',
    words:
      'So nobody can say here who signed it. It may be false, come from another server, or be newer than this page.',
    next: 'Fetch this page anew from the server named on the paper, or add the keys that it publishes, below. Add keys only from where you trust them.',
  },
  afterRetirement: {
    lead: 'Do not rely on it.',
    words:
      'It bears a date after {since}, the day on which the key that signed it was put away. Nothing honest was signed with that key afterwards.',
    next: 'Ask the company named on the paper.',
  },
  swapped: {
    lead: 'The copy inside is not the one that the paper names.',
    words:
      'The paper is for {printed}; the copy in the file is for {inside}, or for another version of it. Somebody put them together.',
    next: 'Do not rely on this file. Ask the company for the certificate again, or check the code on the paper at the address printed beside it.',
  },
  severalCopies: {
    lead: 'There is more than one signed copy in this file.',
    words: 'A certificate has exactly one; this file was changed after it was made.',
    next: 'Do not rely on it. Ask the company for the certificate again.',
  },
  noCopyInside: {
    lead: 'There is no signed copy in this file.',
    words:
      'It may be a scan, a print to a file, or a PDF that another program saved again and lost the attachment of.',
    next: 'Ask for the file as the company has it, or check the code on the paper at the address printed beside it.',
  },
  unreadablePdf: {
    lead: 'This PDF cannot be read.',
    words: 'It is broken, encrypted, or built in a way that this page does not know.',
    next: 'If your PDF viewer shows an attachment named certificate-….json, save that and choose it here.',
  },
  unreadable: {
    lead: 'This is no signed copy of a certificate.',
    words: 'It must be the PDF as the company has it, or the whole file certificate-….json, unchanged.',
    next: 'Choose another file.',
  },
  laterFormat: {
    lead: 'This certificate is of a later format.',
    words: 'The signature is right, but this page is too old to understand what was signed.',
    next: 'Fetch this page anew from the server named on the paper.',
  },
  oldBrowser: {
    lead: 'This browser cannot check signatures of this kind (Ed25519).',
    words: 'It is older than 2025, or it opens files in a way that forbids it.',
    next: 'Open this page in another browser, or check the code on the paper at the address printed beside it.',
  },
} as const

export const OFFLINE_WORDS = {
  title: 'Check a certificate without a connection',
  lead: 'This page works by itself: switch the network off if you like. What you choose stays on this device; the page’s own policy forbids it to connect to anything.',
  madeBy:
    'Made on {day} by {server}. Keep it as a file; fetch it anew when a certificate is newer than this page.',
  needsScript: 'This page needs JavaScript, since no server does the checking.',
  choose: 'Certificate: the PDF, or its signed copy',
  chooseHint:
    'The PDF as the company has it, or the file certificate-….json. You can also drop it anywhere on this page.',
  pasteTitle: 'Or paste the signed copy',
  paste: 'Signed copy',
  pasteDo: 'Check it',
  pastedName: 'the pasted text',
  keysTitle: 'Keys that this page knows',
  keysLead:
    'Compare them with what the company or its server publishes: anybody can make a page like this one with a key of their own.',
  addKeys: 'Add keys from a file',
  addKeysHint:
    'The file jointkeep-keys.json that a server publishes. They are known to this page until you close it.',
  noKeys: 'Nothing new in it: no key of this kind, or all are known.',
  oneKeyAdded: 'Added {count} key.',
  keysAdded: 'Added {count} keys.',
  keyCameWith: 'Came with this page.',
  keyAdded: 'Added by you.',
  keyUntil: 'Put away {day}.',
  working: 'Checking …',
  verdictOn: 'Verdict on {name}',
  outcomes: OUTCOMES,
  keyItNames: 'Key that it names',
  signedWith: 'Signed with',
  keyPutAway: 'Key put away',
  compareKey: 'The signature is only worth as much as the key: compare all of the fingerprint.',
  belongs: {
    printed:
      'This copy is the one that the paper names: code and hash on the printed pages, and in the file’s properties, are those of the copy. The pages themselves are not signed, so compare their figures with those below.',
    named:
      'The file’s properties name this copy. Its pages could not be read here and are not signed: compare code, hash and figures with those below.',
    unnamed:
      'This file does not say which copy belongs into it, as papers printed before this was added. Compare code and figures on the pages with those below.',
  },
  cannotKnowTitle: 'What this page cannot know',
  cannotKnow:
    'Whether the certificate still holds. The job may have been opened again since (superseded), or an instrument used for it found out of tolerance (under recall). Only the server that issued it can say:',
  whatItSays: 'What it says',
  compare:
    'In the words of this page, from what was signed. No customer, street or name of a person is part of it.',
  code: 'Code',
  revision: 'revision {count}',
  company: 'Company',
  town: 'Town',
  work: 'Work',
  signedOff: 'Signed off',
  ownWork: 'by somebody who also did or recorded some of the work',
  issued: 'Issued',
  unit: '{model}, serial {serial}',
  roles: { outdoor: 'Outdoor unit', indoor: 'Indoor unit', branch: 'Branch unit' },
  wholeSystem: 'the whole system',
  pressureTest: 'Pressure test of {of}, {day}',
  evacuation: 'Evacuation of {of}, {day}',
  notConcluded: 'not concluded',
  fromTo: '{from} to {to}',
  downTo: 'down to {lowest}, rose by {rise}',
  held: 'held {held} of {asked} asked for',
  minutes: '{count} min',
  leak: 'smallest leak it could see: about {amount} of refrigerant a year (an estimate)',
  charge: 'Charge',
  notRecorded: 'not recorded',
  running: 'Running check',
  jointsOf: 'Joints of {system}',
  jointHeads: [
    'Tag',
    'Place',
    'Kind',
    'Tube',
    'Torque at the nut',
    'Range',
    'Verdict',
    'Inspection, leak check',
  ],
  end: '{end} end, {line}',
  ends: { outdoor: 'outdoor', indoor: 'indoor' },
  lines: { liquid: 'liquid', gas: 'gas' },
  kinds: JOINT_KIND_WORDS,
  origins: { field: 'field', factory: 'factory', existing: 'existing' },
  making: 'making {count}',
  leftOut: 'left out: {reason}',
  inspections: { accepted: 'flare accepted', rejected: 'flare rejected' },
  brazed: { with: 'brazed under nitrogen', without: 'brazed without nitrogen' },
  pressed: { marked: 'pressed, marked', notMarked: 'pressed, not marked' },
  leakMethods: LEAK_METHOD_WORDS,
  leakResults: { found: 'leak found', 'none-found': 'none found' },
  verdicts: {
    torque: TORQUE_VERDICT_WORDS,
    pressure: PRESSURE_VERDICT_WORDS,
    vacuum: VACUUM_VERDICT_WORDS,
  },
  jobs: JOB_KIND_WORDS,
  repeatedTitle: 'Tested more than once',
  repeats: {
    pressure: 'Pressure tests: {count} were made ({verdicts}). Dealt with in between: {causes}.',
    vacuum: 'Evacuations: {count} were made ({verdicts}). Dealt with in between: {causes}.',
  },
  askedTitle: 'What was asked, and the answer',
  answers: { met: 'met ({count})', conceded: 'conceded ({count})', notMet: 'not met ({count})' },
  concessionsTitle: 'Concessions',
  concession: '{title} ({subject}): released on {day}. Reason: {reason}',
  looserTitle: 'Criteria looser than the built-in ones',
  none: 'None.',
  statementsTitle: 'What it is, and what it is not',
  digestsTitle: 'To compare with the paper',
  copyHash: 'Signed copy, SHA-256',
  keyFingerprint: 'Signing key, fingerprint',
  head: 'Record {chain}, entry {count}',
  decimal: '.',
} as const

export type OfflineWords = typeof OFFLINE_WORDS
