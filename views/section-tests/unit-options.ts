// Which units does a field offer, and how does the phone turn one into the other?

import { type QuantityKind, toSi, UNIT_LABELS, type UnitOf } from '../../server/trade/units.ts'
import type { UnitOption } from '../parts/field.tsx'

export function unitOptions<Kind extends QuantityKind>(
  kind: Kind,
  units: readonly UnitOf<Kind>[],
): UnitOption[] {
  return units.map((unit) => {
    const zero = toSi(kind, { value: 0, unit })
    return {
      value: unit,
      get label() {
        return UNIT_LABELS[unit]
      },
      factor: toSi(kind, { value: 1, unit }) - zero,
      offset: zero,
    }
  })
}

export const TEST_PRESSURE_UNITS = unitOptions('gauge-pressure', ['MPa', 'psi', 'bar', 'kPa'])
export const VACUUM_UNITS = unitOptions('absolute-pressure', ['micron', 'Pa', 'mbar', 'torr'])
export const TEMPERATURE_UNITS = unitOptions('temperature', ['degC', 'degF'])
export const MASS_UNITS = unitOptions('mass', ['g', 'kg', 'oz', 'lb'])
export const ELEVATION_UNITS = unitOptions('length', ['m', 'ft'])
