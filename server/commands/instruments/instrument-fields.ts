// Which figures does an instrument have, apart from its kind, name and serial?

import { z } from 'zod'
import { malformedField } from '../../refusals.ts'
import type { InstrumentRow } from '../../store/queries/instruments.ts'
import type { InstrumentKind } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { type Figure, figure, figureSi } from './instrument-figures.ts'

export const accuracyPercent = z
  .number({ error: () => say.instruments.enterANumber })
  .gt(0, { error: () => say.instruments.enterANumberAbove })
  .max(50, { error: () => say.instruments.atMost50 })
  .meta({ description: 'Of full scale where that is given, else of the reading.' })

export const intervalDays = z
  .number({ error: () => say.instruments.enterANumberOf })
  .int({ error: () => say.instruments.enterWholeDays })
  .min(1, { error: () => say.instruments.atLeastOneDay })
  .max(3650, { error: () => say.instruments.atMostTenYears })

export const instrumentFigures = {
  accuracyPercent: accuracyPercent.nullable().optional(),
  accuracyAbsolute: figure.nullable().optional(),
  resolution: figure.nullable().optional(),
  repeatability: figure.nullable().optional(),
  fullScale: figure.nullable().optional(),
  calibrationIntervalDays: intervalDays
    .nullable()
    .optional()
    .meta({ description: 'Default: what the policy says for its kind.' }),
  compound: z
    .boolean()
    .optional()
    .meta({ description: 'A gauge for both pressure and vacuum; it can’t show a deep vacuum.' }),
}
type Given = z.output<z.ZodObject<typeof instrumentFigures>>

type Figures = Pick<
  InstrumentRow,
  | 'accuracyPercent'
  | 'accuracyAbsolute'
  | 'resolution'
  | 'repeatability'
  | 'fullScale'
  | 'calibrationIntervalDays'
  | 'compound'
>

/** The figures after these were given; what was not given stays. */
export function figuresAfter(kind: InstrumentKind, given: Given, before: Figures): Figures {
  const si = (name: 'accuracyAbsolute' | 'resolution' | 'repeatability' | 'fullScale') => {
    const value: Figure | null | undefined = given[name]
    if (value === undefined) return before[name]
    return value === null ? null : figureSi(kind, name, value)
  }
  // One of the two says how accurate it is; giving the other replaces it.
  if (given.accuracyPercent != null && given.accuracyAbsolute != null)
    throw malformedField('accuracyAbsolute', say.instruments.giveTheAccuracyIn)
  const percent = given.accuracyPercent === undefined ? before.accuracyPercent : given.accuracyPercent
  return {
    accuracyPercent: given.accuracyAbsolute == null ? percent : null,
    accuracyAbsolute: given.accuracyPercent == null ? si('accuracyAbsolute') : null,
    resolution: si('resolution'),
    repeatability: si('repeatability'),
    fullScale: si('fullScale'),
    calibrationIntervalDays:
      given.calibrationIntervalDays === undefined
        ? before.calibrationIntervalDays
        : given.calibrationIntervalDays,
    compound: given.compound ?? before.compound,
  }
}

export const NO_FIGURES: Figures = {
  accuracyPercent: null,
  accuracyAbsolute: null,
  resolution: null,
  repeatability: null,
  fullScale: null,
  calibrationIntervalDays: null,
  compound: false,
}

/** An instrument as the chain carries it. */
export const instrumentBody = (row: InstrumentRow): Record<string, unknown> => ({
  kind: row.kind,
  name: row.name,
  serial: row.serial,
  active: row.active,
  accuracyPercent: row.accuracyPercent,
  accuracyAbsolute: row.accuracyAbsolute,
  resolution: row.resolution,
  repeatability: row.repeatability,
  fullScale: row.fullScale,
  calibrationIntervalDays: row.calibrationIntervalDays,
  compound: row.compound,
})
