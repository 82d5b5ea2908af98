// Sets a new system up as an earlier one is: its sheet, its pairs of tubes, its tools. Nothing that was measured, answered or read off a plate.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { malformedField, missingField, Refusal } from '../../refusals.ts'
import { listActiveInstruments } from '../../store/queries/instruments.ts'
import type { LineSetRow } from '../../store/queries/line-sets.ts'
import { loadSystem, type WholeSystem } from '../../store/queries/systems.ts'
import { LINE_SET_JOINT_KINDS } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { type Context, defineCommand } from '../command.ts'
import { id, ownId, text } from '../fields.ts'
import { findOpenJob } from '../jobs/job-turns.ts'
import { addLineSet } from './add-line-set.ts'
import { addSystem } from './add-system.ts'
import { addUnit } from './add-unit.ts'
import { lineSetText, tubing } from './line-set-fields.ts'
import { tagPrefix } from './tag-prefix.ts'

export const copySetUp = defineCommand({
  name: 'copy-set-up',
  summary:
    'Add a system set up as an earlier one: sheet, sizes and layout of its line sets, tools. What differs is said anew.',
  capability: 'set-up-system',
  input: z.strictObject({
    id: ownId,
    jobId: id,
    fromSystemId: id,
    name: text(120),
    outdoorSerial: text(120)
      .optional()
      .meta({ description: 'With it the outdoor unit is made, of the same model.' }),
    tagPrefix: tagPrefix.optional(),
    branchUnits: z
      .array(z.strictObject({ fromUnitId: id, serial: text(120).optional() }))
      .max(50)
      .optional()
      .meta({ description: 'The branch units that are there too, each with its own serial.' }),
    lineSets: z
      .array(
        z.strictObject({
          id: ownId,
          fromLineSetId: id,
          name: text(120),
          length: lineSetText.length.optional().meta({
            description: 'Of this one. A line set without a length is not laid.',
          }),
          tubing: tubing.default('new'),
          indoorSerial: text(120).optional(),
        }),
      )
      .max(50)
      .optional(),
    tools: z
      .array(id)
      .max(50)
      .optional()
      .meta({ description: 'Instruments that are taken along: they stand first on this job.' }),
  }),
  async handle(scope, input, context): Promise<WholeSystem> {
    const { db, t, companyId } = scope
    const job = await findOpenJob(scope, input.jobId)
    const earlier = await loadSystem(scope, input.fromSystemId).catch((problem) => {
      throw problem instanceof Refusal && problem.kind === 'missing'
        ? missingField('fromSystemId', say.systems.thisSystem)
        : problem
    })
    const there = standingUnits(earlier)
    const outdoor = there.findLast((unit) => unit.role === 'outdoor')
    if (input.outdoorSerial !== undefined && !outdoor)
      throw malformedField('outdoorSerial', say.systems.theEarlierSystemHas)
    const tools = await toolsIn(input.tools ?? [])

    const { system } = await addSystem.handle(
      scope,
      {
        id: input.id,
        jobId: job.id,
        name: input.name,
        refrigerant: earlier.system.refrigerant,
        equipmentSheetId: earlier.system.equipmentSheetId ?? undefined,
        outdoorModel: input.outdoorSerial === undefined ? undefined : outdoor?.model,
        outdoorSerial: input.outdoorSerial,
        tagPrefix: input.tagPrefix,
      },
      context,
    )
    /** Branch units: of the earlier system, and what stands for each here. */
    const branches = new Map<string, string>()
    for (const [index, { fromUnitId, serial }] of (input.branchUnits ?? []).entries()) {
      const unit = there.find((one) => one.id === fromUnitId && one.role === 'branch')
      if (!unit) throw missingField(`branchUnits.${index}.fromUnitId`, say.systems.thisBranchUnit)
      if (serial === undefined) continue
      const added = await addUnit.handle(
        scope,
        { systemId: system.id, role: 'branch', name: unit.name, model: unit.model, serial },
        context,
      )
      branches.set(unit.id, added.id)
    }
    const laid: { from: string; to: string }[] = []
    for (const [index, line] of (input.lineSets ?? []).entries()) {
      const path = `lineSets.${index}`
      const from = earlier.lineSets.find((one) => one.id === line.fromLineSetId)
      if (!from) throw missingField(`${path}.fromLineSetId`, say.systems.thisLineSet)
      if (line.length === undefined) continue
      const start = there.find((unit) => unit.id === from.fromUnitId)
      const end = there.find((unit) => unit.id === from.toUnitId)
      for (const unit of [start, end])
        if (unit?.role === 'branch' && !branches.has(unit.id))
          throw malformedField(`${path}.length`, say.systems.itRunsAtThe(unit.name))
      const laying = addLineSet.input.parse({
        id: line.id,
        systemId: system.id,
        jobId: job.id,
        name: line.name,
        ...(start?.role === 'branch' ? { fromUnitId: branches.get(start.id) } : {}),
        ...(end?.role === 'branch' ? { toUnitId: branches.get(end.id) } : {}),
        ...(end?.role === 'indoor' && line.indoorSerial !== undefined
          ? { indoorModel: end.model, indoorSerial: line.indoorSerial }
          : {}),
        liquidOd: from.typed.liquidOd ?? { value: from.liquidOdM, unit: 'm' },
        gasOd: from.typed.gasOd ?? { value: from.gasOdM, unit: 'm' },
        length: { value: line.length.value, unit: line.length.unit },
        tubing: line.tubing,
        jointKind: kindOf(from),
        jointOrigin: originOf(from, earlier),
      })
      const { lineSet } = await addLineSet.handle(scope, laying, context)
      laid.push({ from: from.id, to: lineSet.id })
    }
    if (tools.length > 0)
      await db
        .update(t.jobs)
        .set({ tools: [...new Set([...tools, ...(job.tools ?? [])])] })
        .where(and(eq(t.jobs.companyId, companyId), eq(t.jobs.id, job.id)))
    record(context)
    return loadSystem(scope, system.id)

    async function toolsIn(wanted: readonly string[]): Promise<string[]> {
      if (wanted.length === 0) return []
      const active = new Set((await listActiveInstruments(scope)).map((row) => row.id))
      const unknown = wanted.findIndex((one) => !active.has(one))
      if (unknown >= 0) throw missingField(`tools.${unknown}`, say.systems.thisInstrument)
      return [...wanted]
    }

    function record(at: Context) {
      at.record({
        chainId: system.id,
        kind: 'set-up-copied',
        subjectId: system.id,
        jobId: job.id,
        body: { from: earlier.system.id, lineSets: laid, tools },
      })
    }
  },
})

/** A line set is named by its unit of today: what replaced another keeps its connections. */
export const standingUnits = ({ units }: WholeSystem) => units.filter((unit) => unit.removedAt === null)

const kindOf = ({ jointKind }: LineSetRow) =>
  LINE_SET_JOINT_KINDS.find((kind) => kind === jointKind) ?? 'flare'

/** Ends that come from a factory do so on each set; what was there before, was there alone. */
const originOf = (lineSet: LineSetRow, { joints }: WholeSystem) => {
  const ends = joints.filter(
    (joint) => joint.lineSetId === lineSet.id && /^(outdoor|indoor)-(liquid|gas)$/.test(joint.place),
  )
  return ends.length > 0 && ends.every((joint) => joint.origin === 'factory') ? 'factory' : 'field'
}
