// What is said of the joints to look at first when a system came back?

import { type Part, phrase } from '../phrase.ts'

export const lookFirst = {
  title: 'Look here first',
  lead: 'By what the record holds against each joint; who made it is no reason. It is a place to begin, not a finding.',
  points: (points: number) => `${points} points`,
  howItIsRanked: 'How it is ranked',
  howInShort:
    'Each reason has its points, and they are added up. The points are ours, without a source; the page on histories in the documents lists them.',
  nothingAgainst: (tags: Part) => phrase`Nothing is held against ${tags}. They may leak all the same.`,
  nothingAtAll:
    'Nothing is held against any joint of this system: go by the detector, from the unit that is hardest to reach.',
  noJoints: 'No joint of this system is on record.',
  others: (count: number) =>
    count === 1 ? 'One more with less against it' : `${count} more with less against them`,
  history: 'History',
  leakFoundOpen: 'A leak was found at it, and nothing has been done to it since.',
  leakedBefore: (count: number) =>
    count === 1
      ? 'It leaked before: an earlier callback found it.'
      : `It leaked before: ${count} earlier callbacks found it.`,
  torqueBelow: (applied: string, range: string) => `Its nut was pulled to ${applied}, below ${range}.`,
  torqueAbove: (applied: string, range: string) => `Its nut was pulled to ${applied}, above ${range}.`,
  torqueNotProven: (applied: string, range: string) =>
    `Its nut was pulled to ${applied}, within ${range} but not by the wrench’s accuracy.`,
  torqueNearLow: (applied: string, range: string) =>
    `Its nut was pulled to ${applied}, near the lower edge of ${range}.`,
  torqueNearHigh: (applied: string, range: string) =>
    `Its nut was pulled to ${applied}, near the upper edge of ${range}.`,
  torqueNotKnown: 'What torque its nut got was not measured.',
  torqueOffFails: (wrench: string, real: string | null) =>
    `${wrench} was found off afterwards${real === null ? '' : `: it really applied ${real}`}, which is out of range.`,
  torqueOffDoubtful: (wrench: string, real: string | null) =>
    `${wrench} was found off afterwards${real === null ? '' : `: it really applied ${real}`}, which may be out of range.`,
  instrumentOff: (kind: string, name: string) =>
    `It was made with ${name} (${kind}), found out of tolerance.`,
  neverLeakChecked: 'It was never checked for leaks by itself.',
  leakCheckStale: (reason: string) => `Its leak check no longer counts. ${reason}`,
  leakCheckWeak: (seen: string | null) =>
    seen === null
      ? 'What its leak check could have seen is not known.'
      : `Its leak check sees leaks from ${seen} up, which is coarser than is asked for.`,
  noTest: 'No pressure test or evacuation that still counts covers it.',
  blindTests: (seen: string, minutes: number) =>
    `The best test that covers it, held ${minutes} minutes, could not have seen a leak below ${seen}.`,
  conceded: (requirement: string) => `Conceded: ${requirement}`,
  remade: (times: number) => (times === 1 ? 'It was made again once.' : `It was made again ${times} times.`),
  corrected: (count: number) =>
    count === 1 ? 'One entry of it was corrected.' : `${count} entries of it were corrected.`,
  groupFlagged: (dimension: string, group: string, events: number, expected: string) =>
    `Joints alike by ${dimension} (${group}) come back more often than chance: ${events} leaks where ${expected} were expected.`,
  notMade: 'It has no making on record.',
  leftOut: (reason: string) => `It was left out of the work: ${reason}`,
  notOurs: 'It was there before: who made it, and how, is not on record.',
  dimensions: {
    position: 'place',
    tubeOd: 'size',
    kind: 'kind',
    flareMethod: 'way of flaring',
    flaringTool: 'flaring tool',
    wrench: 'wrench',
    model: 'model',
    refrigerant: 'refrigerant',
  },
}
