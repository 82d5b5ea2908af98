// Changes an instrument's name, figures or interval, or takes it out of use; what it measured before stays.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { findInstrument, type KeptInstrument } from '../../store/queries/instruments.ts'
import { defineCommand } from '../command.ts'
import { id, text } from '../fields.ts'
import { figuresAfter, instrumentBody, instrumentFigures } from './instrument-fields.ts'
import { figuresTyped } from './instrument-figures.ts'

export const changeInstrument = defineCommand({
  name: 'change-instrument',
  summary: 'Change an instrument’s name, figures or interval, or take it out of use.',
  capability: 'keep-instruments',
  input: z.strictObject({
    instrumentId: id,
    name: text(120).optional(),
    active: z.boolean().optional().meta({ description: 'False takes it out of use.' }),
    ...instrumentFigures,
  }),
  async handle(scope, input, context): Promise<KeptInstrument> {
    const { db, t, companyId } = scope
    const { calibrations: _calibrations, ...before } = await findInstrument(scope, input.instrumentId)
    const { accuracyAbsolute, resolution, repeatability, fullScale } = input
    const given = { accuracyAbsolute, resolution, repeatability, fullScale }
    const typed = Object.fromEntries(
      Object.entries(before.typed).filter(([path]) => given[path as keyof typeof given] === undefined),
    )
    const after = {
      ...before,
      name: input.name ?? before.name,
      active: input.active ?? before.active,
      ...figuresAfter(before.kind, input, before),
      typed: { ...typed, ...figuresTyped(given) },
    }
    if (after.accuracyAbsolute === null) delete after.typed.accuracyAbsolute
    const { companyId: _company, id: instrumentId, kind: _kind, createdAt: _created, ...columns } = after
    await db
      .update(t.instruments)
      .set(columns)
      .where(and(eq(t.instruments.companyId, companyId), eq(t.instruments.id, instrumentId)))
    context.record({
      chainId: companyId,
      kind: 'instrument-changed',
      subjectId: instrumentId,
      body: instrumentBody(after),
    })
    return findInstrument(scope, instrumentId)
  },
})
