// Keeps an instrument: what measures or forms, with its serial and how far it may be off.

import { z } from 'zod'
import { conflict } from '../../refusals.ts'
import {
  findInstrument,
  type InstrumentRow,
  isSerialTaken,
  type KeptInstrument,
} from '../../store/queries/instruments.ts'
import { instrumentFoundBy, keepFindable } from '../../store/search-terms.ts'
import { say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { ownId, text } from '../fields.ts'
import { figuresAfter, instrumentBody, instrumentFigures, NO_FIGURES } from './instrument-fields.ts'
import { figuresTyped, instrumentKind } from './instrument-figures.ts'

export const addInstrument = defineCommand({
  name: 'add-instrument',
  summary: 'Add an instrument: a torque wrench, a gauge, a thermometer, a scale, a detector, a forming tool.',
  capability: 'keep-instruments',
  input: z.strictObject({
    id: ownId,
    kind: instrumentKind,
    name: text(120),
    serial: text(120),
    ...instrumentFigures,
  }),
  async handle(scope, input, context): Promise<KeptInstrument> {
    const { db, t, companyId } = scope
    const serialLower = input.serial.toLowerCase()
    if (await isSerialTaken(scope, input.kind, serialLower)) {
      const message = say.instruments.anotherInstrumentOfThis
      throw conflict('serial-taken', message, [{ path: 'serial', message }])
    }
    const { accuracyAbsolute, resolution, repeatability, fullScale } = input
    const row: InstrumentRow = {
      companyId,
      id: input.id ?? context.newId(),
      kind: input.kind,
      name: input.name,
      serial: input.serial,
      serialLower,
      ...figuresAfter(input.kind, input, NO_FIGURES),
      typed: figuresTyped({ accuracyAbsolute, resolution, repeatability, fullScale }),
      active: true,
      createdAt: context.now,
    }
    await db.insert(t.instruments).values(row)
    await keepFindable(scope, [instrumentFoundBy(row)])
    context.record({
      chainId: companyId,
      kind: 'instrument-added',
      subjectId: row.id,
      body: instrumentBody(row),
    })
    return findInstrument(scope, row.id)
  },
})
