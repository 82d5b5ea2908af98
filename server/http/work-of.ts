// How does the work on a system stand, line by line, and where is each recorded?

import type { WorkLine } from '../../views/jobs/show.tsx'
import type { FindingOutcome } from '../../views/parts/mark.tsx'
import type { Dossier, System } from '../rules/dossier.ts'
import type { Finding } from '../rules/finding.ts'
import { moment } from '../rules/wording.ts'
import type { RequirementCode } from '../vocabulary.ts'
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
      title: 'Joints',
      outcome: joints.length === 0 ? 'open' : done.length === joints.length ? 'met' : 'open',
      words: `${done.length} of ${joints.length} done`,
      links: [],
    },
    {
      id: 'pressure',
      title: 'Pressure test',
      ...standing('standing-pressure-held', 'not begun'),
      links: [
        ...system.pressureTests.map((test) =>
          link(
            `/pressure-tests/${test.id}`,
            `${endingWords(endingOf(test, system, dossier))}, ${moment(test.performedAt)}`,
          ),
        ),
        ...begin(`/systems/${system.id}/pressure-tests/new?jobId=${job.id}`, 'New pressure test'),
      ],
    },
    {
      id: 'evacuation',
      title: 'Evacuation',
      ...standing('vacuum-held', 'not begun'),
      links: [
        ...system.evacuations.map((test) =>
          link(
            `/evacuations/${test.id}`,
            `${endingWords(endingOf(test, system, dossier))}, ${moment(test.performedAt)}`,
          ),
        ),
        ...begin(`/systems/${system.id}/evacuations/new?jobId=${job.id}`, 'New evacuation'),
      ],
    },
    {
      id: 'charge',
      title: 'Charge',
      ...standing('charge-matches', 'not recorded'),
      links: [link(`/systems/${system.id}/charge?jobId=${job.id}`, 'Charge')],
    },
    {
      id: 'running',
      title: 'Running check',
      ...standing('running-as-specified', 'not recorded'),
      links: [link(`/systems/${system.id}/running-checks?jobId=${job.id}`, 'Running check')],
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
