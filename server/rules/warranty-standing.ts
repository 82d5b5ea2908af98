// Is a unit in the maker's warranty, is it registered, and by when is a claim to be made? Only what the record says.

const DAY_MS = 86_400_000

export interface UnitPapers {
  id: string
  installedAt: number
  warrantyStartAt: number | null
  warrantyEndAt: number | null
  registeredWithMaker: boolean
}

export type WarrantyState = 'in' | 'over' | 'not-begun' | 'end-not-recorded' | 'not-recorded'

export interface WarrantyStanding {
  unitId: string
  state: WarrantyState
  /** The first day, where it is recorded. */
  startAt: number | null
  /** The last day, which counts whole. */
  endAt: number | null
  /** Whole days from the day asked about to the last one; 0 on it, negative after it; null where no end is recorded. */
  daysLeft: number | null
  /** False is not a no: nobody has recorded that it was registered. */
  registered: boolean
  /** The claim's own due date, where one is recorded; else the last day of a warranty that still runs. */
  claimBy: { at: number; from: 'claim' | 'warranty-end' } | null
}

const dayOf = (at: number) => Math.floor(at / DAY_MS)

/** `claimDueAt`: what the maker said of this claim; it outranks anything worked out. Days are those of UTC. */
export function warrantyStanding(unit: UnitPapers, at: number, claimDueAt: number | null): WarrantyStanding {
  const { warrantyStartAt: startAt, warrantyEndAt: endAt } = unit
  const daysLeft = endAt === null ? null : dayOf(endAt) - dayOf(at)
  const state: WarrantyState =
    startAt !== null && dayOf(at) < dayOf(startAt)
      ? 'not-begun'
      : daysLeft !== null
        ? daysLeft < 0
          ? 'over'
          : 'in'
        : startAt !== null
          ? 'end-not-recorded'
          : 'not-recorded'
  return {
    unitId: unit.id,
    state,
    startAt,
    endAt,
    daysLeft,
    registered: unit.registeredWithMaker,
    claimBy:
      claimDueAt !== null
        ? { at: claimDueAt, from: 'claim' }
        : state === 'in' && endAt !== null
          ? { at: endAt, from: 'warranty-end' }
          : null,
  }
}
