// Does each finding name the facts that it rests on, and no others?

import { describe, expect, it } from 'vitest'
import { REQUIREMENTS } from '../../server/rules/index.ts'
import type { RequirementCode } from '../../server/vocabulary.ts'
import { aFinishedJob, aJob, aJobWithJointsMade, type JobBuilder } from '../support/dossiers.ts'

const pressed = () => aJob().withSystem().withLineSet({ jointKind: 'press' }).made().prepared()
const withPort = () =>
  aJobWithJointsMade()
    .withJoint({ kind: 'service-port', place: 'port' })
    .made()
    .pressureTested()
    .at('port')
    .closed()
const JOBS: [string, () => JobBuilder][] = [
  ['an empty job', () => aJob()],
  ['a system with nothing made', () => aJob().withSystem().withLineSet()],
  ['a finished job', aFinishedJob],
  ['joints made and nothing tested', aJobWithJointsMade],
  ['tests in the wrong order', () => aJobWithJointsMade().evacuated().pressureTested().charged().ran()],
  [
    'charged before the evacuation',
    () => aJobWithJointsMade().pressureTested().weighedIn(0.1).evacuated().charged(),
  ],
  [
    'charged after it ran',
    () => aJobWithJointsMade().pressureTested().evacuated().charged().ran().weighedIn(0.1),
  ],
  ['a port closed and checked', () => withPort().leakChecked()],
  ['a port closed and then used', () => withPort().leakChecked().weighedIn(0.05)],
  ['pressed and gauged', () => pressed().pressed().inspected()],
  ['pressed without a mark', () => pressed().pressed({ insertionMarked: false }).inspected()],
  ['pressed and not gauged', () => pressed().pressed()],
]

/** Every id that anything of the dossier bears. */
function idsOf(value: unknown, ids = new Set<string>()): Set<string> {
  if (typeof value !== 'object' || value === null) return ids
  const { id } = value as { id?: unknown }
  if (typeof id === 'string') ids.add(id)
  for (const inner of Object.values(value)) idsOf(inner, ids)
  return ids
}
const answersOf = (job: JobBuilder, code: RequirementCode) =>
  REQUIREMENTS.find((one) => one.code === code)?.check(job.build()) ?? []

describe('the evidence', () => {
  it.each(JOBS)('of %s is on record', (_, job) => {
    const dossier = job().build()
    const ids = idsOf(dossier)
    for (const requirement of REQUIREMENTS)
      for (const { evidence, subject, outcome } of requirement.check(dossier)) {
        for (const id of evidence) expect([...ids], `${requirement.code} of ${subject.name}`).toContain(id)
        if (outcome === 'not-applicable') expect(evidence).toEqual([])
      }
  })

  it('of a torque is the reading', () => {
    const job = aFinishedJob()
    const torques = job.dossier.systems.flatMap(({ joints }) =>
      joints.flatMap(({ makes }) => makes.flatMap(({ steps }) => steps)),
    )
    const answers = answersOf(job, 'joint-torque-in-range').filter(({ outcome }) => outcome === 'met')
    expect(answers.length).toBeGreaterThan(0)
    for (const { evidence } of answers) {
      expect(evidence).toHaveLength(1)
      expect(torques.find(({ id }) => id === evidence[0])?.kind).toBe('torque')
    }
  })

  it.each([
    ['pressed and gauged', 2],
    ['pressed and not gauged', 1],
  ])('of a press joint %s has %d steps', (name, steps) => {
    const job = JOBS.find(([of]) => of === name)?.[1]()
    if (!job) throw new Error('no such job')
    for (const { evidence } of answersOf(job, 'press-verified')) expect(evidence).toHaveLength(steps)
  })

  it.each(['tests in the wrong order', 'charged before the evacuation', 'charged after it ran'])(
    'of %s names both',
    (name) => {
      const job = JOBS.find(([of]) => of === name)?.[1]()
      if (!job) throw new Error('no such job')
      const wrong = answersOf(job, 'order-of-work').filter(({ outcome }) => outcome === 'failed')
      expect(wrong.length).toBeGreaterThan(0)
      for (const { evidence } of wrong) expect(new Set(evidence).size).toBe(2)
    },
  )

  it('of a port is its closing, with what came after or what checked it', () => {
    const of = (job: JobBuilder) => {
      const answers = answersOf(job, 'ports-and-caps-closed')
      expect(answers).toHaveLength(1)
      return answers[0]?.evidence ?? []
    }
    const [closing, check] = of(withPort().leakChecked())
    expect([closing, check]).not.toContain(undefined)
    const used = withPort().leakChecked().weighedIn(0.05)
    expect(of(used)).toEqual([closing, used.system.charges[0]?.id])
  })

  it('says by which rule it was decided, save where nothing was', () => {
    for (const requirement of REQUIREMENTS)
      for (const { decisionRule, outcome } of requirement.check(aFinishedJob().build()))
        expect(['simple', 'guarded', null]).toContain(
          outcome === 'not-applicable' ? (decisionRule ?? null) : (decisionRule ?? 'none'),
        )
  })
})
