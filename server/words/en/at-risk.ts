// What is said of joints that are like those that leaked, and of the jobs that look at them again?

import { type Part, phrase } from '../phrase.ts'

export const atRisk = {
  // Why a joint stands where it does.
  shares: (conditions: string) => `the same ${conditions}`,
  torqueNotRead: 'its torque was not read',
  torqueWithoutRange: (pulled: string) => `pulled to ${pulled}, and there is no range to compare with`,
  torqueOutside: (pulled: string, range: string) => `pulled to ${pulled}, outside ${range}`,
  torqueNearLimit: (pulled: string, range: string) => `pulled to ${pulled}, close to a limit of ${range}`,
  torqueInside: (pulled: string, range: string) => `pulled to ${pulled}, well within ${range}`,
  noLeakCheck: 'no leak check of its own',
  coarseLeakCheck: 'checked for leaks by bubbles, sound or eye',
  fineLeakCheck: 'checked for leaks with a detector or tracer',
  inServiceFor: (years: string) => `in service for ${years} years`,
  // The list.
  title: 'Joints most at risk',
  titleOf: (label: string) => `Most at risk: ${label}`,
  atRiskLink: 'The most at risk',
  leadGroup:
    'In service, made under the same conditions as those that leaked. Those to look at first stand first.',
  leadCallback: (cause: string, tag: string) =>
    `In service, and most like ${tag}, which leaked: ${cause}. Those to look at first stand first.`,
  sharedBy: (conditions: string) => `Alike is who shares the first of these: ${conditions}.`,
  allAgreeIn: (conditions: string) => `All of its joints that leaked agree in this: ${conditions}.`,
  neverByPerson: 'Who made a joint moves none up or down.',
  howRanked: 'How they are put in order',
  standsOut: (leaks: number, expected: string) =>
    `The group stands out: ${leaks} leaks, where ${expected} were to be expected.`,
  doesNotStandOut:
    'This group does not stand out: what differs is within chance. The list is for looking only; jobs are opened where the evidence holds.',
  nobody: 'No joint like that is in service',
  nobodyWhy: 'None is left in service, or nothing on record makes another one alike.',
  nothingChosen: 'Choose a group that stands out, or a closed callback.',
  noJointNamed: 'The callback names no joint of ours with a cause, so there is nothing to be like.',
  joint: 'Joint',
  where: 'Where',
  why: 'Why here',
  points: 'Points',
  followUp: 'Follow-up',
  inJob: 'in a job',
  lookedAt: 'looked at',
  notYet: 'none',
  tick: (tag: string) => `Tick ${tag}`,
  openForTicked: 'Open jobs for the ticked',
  mostAtRisk: 'How many, from the top',
  openForMost: 'Open jobs for so many',
  jobsWhy:
    'A job for each site, with the joints to look at again and why. A joint that has an open one gets no second.',
  asCsv: 'As a table (CSV)',
  joints: 'joints',
  ofAll: (count: number) => (count === 1 ? 'One joint.' : `${count} joints.`),
  cut: (count: number) => `Only the ${count} that were signed off last were looked at.`,
  openOnes: (count: number) =>
    count === 1 ? 'One of them is in an open follow-up job.' : `${count} of them are in open follow-up jobs.`,
  backToTheGroups: 'Back to the groups',
  theCallback: 'The callback',
  // The jobs.
  reference: 'Follow-up: joints at risk',
  lookAgain: 'To be looked at again',
  lookAgainWhy:
    'Check each for leaks with a detector and look at it. If a joint has to be made again, begin a making on its page: it keeps its history.',
  notLookedAtYet: 'Not looked at yet.',
  checkedHere: 'Checked for leaks on this job.',
  madeAgainHere: 'Made again on this job.',
  becauseGroup: (label: string, leaks: number, expected: string) =>
    `${label}: ${leaks} leaks on such joints, where ${expected} were to be expected.`,
  becauseCallback: (callback: Part, cause: string) =>
    phrase`${callback} found one like it leaking: ${cause}.`,
  aCallback: 'A callback',
  jobsFor: 'Look at joints like this one',
  // What is refused.
  notByPerson: 'Joints are not picked by who made them: look at what else they share.',
  oneOfBoth: 'Name a group by its key, or a callback: one of them.',
  chooseOne: 'Say how many from the top, or which joints: one of them.',
  thisGroup: 'This group',
  oneOfTheseJoints: 'One of these joints on the list',
  callbackIsOpen: 'This callback is still open: close it with its cause first.',
  groupNotFlagged: 'This group does not stand out, so no jobs are opened for it.',
  nothingToFollow: 'There is no joint in service to follow up.',
}
