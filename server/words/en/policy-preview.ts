// What is said of what other criteria would change?

import { type Part, phrase } from '../phrase.ts'

const jobs = (count: number) => (count === 1 ? '1 job' : `${count} jobs`)

export const policyPreview = {
  wholeDays: 'Enter a whole number.',
  from1To3650: 'Use 1 to 3650 days.',
  seeWhatWouldChange: 'See what would change',
  whatItDoes:
    'Before you set them, you can see what they would have said of the jobs of the last 90 days. Nothing is kept of that.',
  whatWouldChange: 'What would change',
  ofTheJobs: (total: number, changed: number, since: Part) =>
    total === 0
      ? phrase`No job was submitted or signed off since ${since}, so there is nothing to compare.`
      : phrase`Of ${jobs(total)} submitted or signed off since ${since}, ${changed === 0 ? 'none' : String(changed)} would have been judged otherwise.`,
  ofTheseJobs: (first: number, last: number, total: number, changed: number, since: Part) =>
    phrase`Of ${jobs(total)} submitted or signed off since ${since}, the newest first, number ${String(first)} to ${String(last)} were judged; ${changed === 0 ? 'none' : String(changed)} of them otherwise.`,
  wouldBeHeld: (count: number) =>
    count === 0 ? 'No further job would have been held.' : `${jobs(count)} more would have been held.`,
  wouldBeReleased: (count: number) =>
    count === 0 ? 'None that was held would have passed.' : `${jobs(count)} held then would have passed.`,
  howItIsJudged:
    'Each job is judged twice for the moment of its last sign-off or submission, from all that is known of it today: by the criteria in force, and by these. What was signed stays as it was signed.',
  requirement: 'Requirement',
  moreHeld: 'Would be held',
  moreReleased: 'Would pass',
  otherwise: 'Changes otherwise',
  changes: (count: number) => (count === 1 ? '1 finding changes' : `${count} findings change`),
  wouldWait: 'would have been held',
  wouldPass: 'would have passed',
  nowThen: (before: string, after: string) => `Now: ${before}. By these criteria: ${after}`,
  openTheJob: 'Open the job',
  judgeTheNext: (left: number) => `Judge the next of the ${left} left`,
}
