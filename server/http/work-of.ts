// How does the work on a system stand, line by line, and where is each recorded?

import type { WorkLine } from '../../views/jobs/show.tsx'
import type { FindingOutcome } from '../../views/parts/mark.tsx'
import type { Dossier, System } from '../rules/dossier.ts'
import type { Finding } from '../rules/finding.ts'
import { moment } from '../rules/wording.ts'
import type { RequirementCode } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import { endingOf, endingWords } from './endings.ts'
import { stateOf } from './strip-of.ts'

export function workOf(system: System, dossier: Dossier, findings: readonly Finding[]): WorkLine[] {
  const { job } = dossier
  const isOpen = job.stage === 'open'
  const joints = system.joints.filter((joint) => joint.retiredAt === null)
  const done = joints.filter((joint) => ['done', 'factory'].includes(stateOf(joint, system, dossier).state))
  const link = (href: string, label: string) => ({ href, label })
  const begin = (href: string, label: string) => (isOpen ? [link(href, label)] : [])

  return [
    {
      id: 'joints',
      title: say.jobs.joints,
      outcome: joints.length === 0 ? 'open' : done.length === joints.length ? 'met' : 'open',
      words: say.jobs.ofDone(done.length, joints.length),
      links: [],
    },
    {
      id: 'pressure',
      title: say.jobs.pressureTest,
      ...standing('standing-pressure-held', say.jobs.notBegun),
      links: [
        ...system.pressureTests.map((test) =>
          link(
            `/pressure-tests/${test.id}`,
            `${endingWords(endingOf(test, system, dossier))}, ${moment(test.performedAt)}`,
          ),
        ),
        ...begin(`/systems/${system.id}/pressure-tests/new?jobId=${job.id}`, say.jobs.newPressureTest),
      ],
    },
    {
      id: 'evacuation',
      title: say.jobs.evacuation,
      ...standing('vacuum-held', say.jobs.notBegun),
      links: [
        ...system.evacuations.map((test) =>
          link(
            `/evacuations/${test.id}`,
            `${endingWords(endingOf(test, system, dossier))}, ${moment(test.performedAt)}`,
          ),
        ),
        ...begin(`/systems/${system.id}/evacuations/new?jobId=${job.id}`, say.jobs.newEvacuation),
      ],
    },
    {
      id: 'charge',
      title: say.jobs.charge,
      ...standing('charge-matches', say.jobs.notRecorded),
      links: [link(`/systems/${system.id}/charge?jobId=${job.id}`, say.jobs.charge)],
    },
    {
      id: 'running',
      title: say.jobs.runningCheck,
      ...standing('running-as-specified', say.jobs.notRecorded),
      links: [link(`/systems/${system.id}/running-checks?jobId=${job.id}`, say.jobs.runningCheck)],
    },
  ]

  /** The least good finding of a requirement on this system. */
  function standing(code: RequirementCode, none: string): { outcome: FindingOutcome; words: string } {
    const ids = new Set([
      system.id,
      ...system.lineSets.map((line) => line.id),
      ...system.units.map((unit) => unit.id),
      ...system.joints.map((joint) => joint.id),
    ])
    const about = findings.filter(
      ({ requirement, subject }) => requirement === code && (ids.has(subject.id) || subject.kind === 'job'),
    )
    const worst = LEAST_GOOD_FIRST.map((outcome) =>
      about.find((finding) => finding.outcome === outcome),
    ).find(Boolean)
    return worst ? { outcome: worst.outcome, words: worst.reason } : { outcome: 'open', words: none }
  }
}

const LEAST_GOOD_FIRST: FindingOutcome[] = [
  'failed',
  'open',
  'requested',
  'conceded',
  'met',
  'not-applicable',
]
