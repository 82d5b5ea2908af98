// How are moments, people and quantities written in an answer?

import type { Provenance } from '../rules/dossier.ts'
import { fromSi, type QuantityKind, type UnitOf } from '../trade/units.ts'

export interface QuantityJson {
  value: number
  unit: string
}

/** A computed quantity in the unit asked for; null where there is none. */
export function quantityJson<Kind extends QuantityKind>(
  kind: Kind,
  si: number | null | undefined,
  unit: UnitOf<Kind>,
): QuantityJson | null {
  return si === null || si === undefined ? null : { value: fromSi(kind, si, unit), unit }
}

export const instant = (at: number): string => new Date(at).toISOString()
export const instantOrNull = (at: number | null): string | null => (at === null ? null : instant(at))

export const whoJson = (who: Provenance) => ({
  performedBy: who.performedBy,
  supervisedBy: who.supervisedBy,
  witnessedBy: who.witnessedBy,
  performedAt: instant(who.performedAt),
  recordedBy: who.recordedBy,
  recordedAt: instant(who.recordedAt),
  deviceAt: instantOrNull(who.deviceAt),
})
