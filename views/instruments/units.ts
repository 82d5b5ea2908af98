// In which units are an instrument's figures typed?

import type { InstrumentKind } from '../../server/vocabulary.ts'
import type { UnitOption } from '../parts/field.tsx'
import { unitOptions } from '../section-tests/unit-options.ts'

const TOOL = unitOptions('length', ['mm', 'in'])

export const FIGURE_UNITS: Record<InstrumentKind, UnitOption[]> = {
  'torque-wrench': unitOptions('torque', ['N.m', 'ft.lbf', 'in.lbf', 'kgf.cm']),
  'pressure-gauge': unitOptions('pressure', ['kPa', 'MPa', 'bar', 'psi', 'Pa']),
  'vacuum-gauge': unitOptions('pressure', ['micron', 'Pa', 'mbar', 'torr']),
  thermometer: unitOptions('temperature-difference', ['K', 'degF.diff']),
  scale: unitOptions('mass', ['g', 'kg', 'oz', 'lb']),
  'leak-detector': unitOptions('mass-rate', ['g/yr']),
  'flaring-tool': TOOL,
  'press-tool': TOOL,
  'tube-cutter': TOOL,
  'deburring-tool': TOOL,
}

/** Kinds that show a value, and so have an accuracy; the others form or cut. */
export const MEASURES: ReadonlySet<InstrumentKind> = new Set([
  'torque-wrench',
  'pressure-gauge',
  'vacuum-gauge',
  'thermometer',
  'scale',
  'leak-detector',
])
