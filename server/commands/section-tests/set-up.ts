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
import { id, ownId, text } from '../fields.ts'
import { whoAndWhen } from '../provenance.ts'

const covered = z
  .strictObject({ lineSetId: id.optional(), unitId: id.optional(), jointId: id.optional() })
  .refine((one) => Object.values(one).filter((given) => given !== undefined).length === 1, {
    error: 'Name one line set, one unit or one joint.',
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
  throughOutdoorUnit: z.boolean('Answer yes or no.').optional(),
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
    throw malformedField(`covers.${index}`, 'Name one line set, one unit or one joint.')
  })
}

const fields = () =>
  [
    ['lineSetId', 'line-set', 'This line set of the system'],
    ['unitId', 'unit', 'This unit of the system'],
    ['jointId', 'joint', 'This joint of the system'],
  ] as const

const KIND_WORDS: Partial<Record<InstrumentKind, string>> = {
  'pressure-gauge': 'a pressure gauge',
  'vacuum-gauge': 'a vacuum gauge',
  thermometer: 'a thermometer',
  scale: 'a scale',
}

/** Refuses an instrument that is not there, and one that can't have measured this. */
export async function instrumentFor(
  scope: Scope,
  path: string,
  instrumentId: string,
  kinds: readonly InstrumentKind[],
): Promise<Instrument> {
  const instrument = await findInstrumentBare(scope, instrumentId)
  if (!instrument) throw missingField(path, 'This instrument')
  if (!kinds.includes(instrument.kind)) {
    const wanted = kinds.map((kind) => KIND_WORDS[kind] ?? kind).join(' or ')
    throw malformedField(path, `${instrument.name} can't measure this: choose ${wanted}.`)
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
  if (!tests.some((test) => test.id === repeatOf))
    throw missingField('repeatOf', 'The test that this one repeats')
}

export function assertRunning(stored: { conclusion: unknown }): void {
  if (stored.conclusion !== null)
    throw conflict('test-concluded', 'This test is concluded. Start another one to go on testing.')
}
