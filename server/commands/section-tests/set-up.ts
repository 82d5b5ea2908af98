// What do the tests of a section share? Which sections they cover, with which instruments, and what they repeat.

import { z } from 'zod'
import { conflict, malformedField, missingField } from '../../refusals.ts'
import type { Coverage, Instrument } from '../../rules/dossier.ts'
import { findInstrumentBare } from '../../store/queries/instruments-used.ts'
import { listLineSets } from '../../store/queries/line-sets.ts'
import { listTestsInBrief } from '../../store/queries/section-tests.ts'
import { listPlacedJoints, listUnits } from '../../store/queries/systems.ts'
import type { Scope } from '../../store/store.ts'
import type { InstrumentKind, SectionTestKind } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { id, ownId, text } from '../fields.ts'
import { whoAndWhen } from '../provenance.ts'

const covered = z
  .strictObject({ lineSetId: id.optional(), unitId: id.optional(), jointId: id.optional() })
  .refine((one) => Object.values(one).filter((given) => given !== undefined).length === 1, {
    error: () => say.tests.nameOneLineSet,
  })

/** The fields that both kinds of test begin with. */
export const sectionTestFields = {
  id: ownId,
  systemId: id,
  jobId: id,
  covers: z
    .array(covered)
    .max(200)
    .optional()
    .meta({ description: 'The sections under test. Default: the whole system.' }),
  throughOutdoorUnit: z.boolean({ error: () => say.tests.answerYesOrNo }).optional(),
  gaugeInstrumentId: id,
  repeatOf: id.optional().meta({ description: 'An earlier test of the same system that this one repeats.' }),
  repeatCause: text(500).optional().meta({ description: 'What was wrong and was dealt with.' }),
  repeatNote: text(2000).optional(),
  ...whoAndWhen,
}

export async function coversOf(
  scope: Scope,
  systemId: string,
  given: z.output<typeof covered>[],
): Promise<Coverage[]> {
  if (given.length === 0) return []
  const known = {
    lineSetId: new Set((await listLineSets(scope, [systemId])).map((one) => one.id)),
    unitId: new Set((await listUnits(scope, [systemId])).map((one) => one.id)),
    jointId: new Set((await listPlacedJoints(scope, systemId)).map((one) => one.id)),
  }
  return given.map((one, index) => {
    for (const [field, kind, what] of fields()) {
      const named = one[field]
      if (named === undefined) continue
      if (!known[field].has(named)) throw missingField(`covers.${index}.${field}`, what)
      return { kind, id: named }
    }
    throw malformedField(`covers.${index}`, say.tests.nameOneLineSet)
  })
}

const fields = () =>
  [
    ['lineSetId', 'line-set', say.tests.thisLineSetOf],
    ['unitId', 'unit', say.tests.thisUnitOfThe],
    ['jointId', 'joint', say.tests.thisJointOfThe],
  ] as const

const kindWords = (): Partial<Record<InstrumentKind, string>> => ({
  'pressure-gauge': say.tests.aPressureGauge,
  'vacuum-gauge': say.tests.aVacuumGauge,
  thermometer: say.tests.aThermometer,
  scale: say.tests.aScale,
})

/** Refuses an instrument that is not there, and one that can't have measured this. */
export async function instrumentFor(
  scope: Scope,
  path: string,
  instrumentId: string,
  kinds: readonly InstrumentKind[],
): Promise<Instrument> {
  const instrument = await findInstrumentBare(scope, instrumentId)
  if (!instrument) throw missingField(path, say.tests.thisInstrument)
  if (!kinds.includes(instrument.kind)) {
    const wanted = kinds.map((kind) => kindWords()[kind] ?? kind).join(say.tests.or)
    throw malformedField(path, say.tests.cantMeasureThisChoose(instrument.name, wanted))
  }
  return instrument
}

/** A compound gauge on a vacuum is recorded and judged: it can't tell. */
export const GAUGES: Record<SectionTestKind, readonly InstrumentKind[]> = {
  pressure: ['pressure-gauge'],
  evacuation: ['vacuum-gauge', 'pressure-gauge'],
}

/** Refuses a repeat of something that is no test of this system. */
export async function assertRepeats(
  scope: Scope,
  systemId: string,
  kind: SectionTestKind,
  repeatOf: string | undefined,
): Promise<void> {
  if (repeatOf === undefined) return
  const tests = await listTestsInBrief(scope, systemId, kind)
  if (!tests.some((test) => test.id === repeatOf)) throw missingField('repeatOf', say.tests.theTestThatThis)
}

export function assertRunning(stored: { conclusion: unknown }): void {
  if (stored.conclusion !== null) throw conflict('test-concluded', say.tests.thisTestIsConcluded)
}
