// How much refrigerant is in the circuit now, by what was released, weighed in and taken out?

import { say } from '../words/say.ts'
import { inOrder } from './chronology.ts'
import type { Charge, Evacuation, System } from './dossier.ts'
import { kilograms } from './wording.ts'

export interface NetCharge {
  /** The factory's own charge, as far as it is in the circuit; null when it is not known. */
  factoryKg: number | null
  /** Weighed in since the circuit was last empty. */
  weighedInKg: number
  /** Taken out since the circuit was last empty, or since the record began. */
  takenOutKg: number
  /** What is in now; null when one of the masses is not known. */
  totalKg: number | null
  /** Where the count begins: an evacuation of the whole circuit, or the factory's charge. */
  countedFrom: 'factory-charge' | 'empty-circuit'
  /** Why the total is not known, where it is not. */
  unknown: string | null
  /** Charges that left the circuit, as far as is known, empty. */
  emptyingIds: string[]
}

/** After taking out, less than this share of what was in counts as empty (common practice, no source). */
const EMPTY_SHARE = 0.1

type Event = { dated: Charge; charge: Charge } | { dated: Evacuation; evacuation: Evacuation }

/**
 * Counts from the factory's charge, since an outdoor unit arrives with it; an evacuation of the whole circuit, or
 * one that follows a recovery, starts the count again from nothing. One factory charge counts per job, however
 * often its release was written down.
 */
export function netCharge(system: Pick<System, 'sheet' | 'charges' | 'evacuations'>): NetCharge {
  const sheetKg = system.sheet?.factoryChargeKg ?? null
  const count: NetCharge = {
    factoryKg: sheetKg,
    weighedInKg: 0,
    takenOutKg: 0,
    totalKg: null,
    countedFrom: 'factory-charge',
    unknown: null,
    emptyingIds: [],
  }
  let emptied = false
  const total = () =>
    count.factoryKg === null || count.unknown !== null
      ? null
      : Math.max(0, count.factoryKg + count.weighedInKg - count.takenOutKg)

  const events: Event[] = [
    ...system.charges.map((charge) => ({ dated: charge, charge })),
    ...system.evacuations.map((evacuation) => ({ dated: evacuation, evacuation })),
  ]
  const ordered = inOrder(events.map((event) => ({ ...event.dated, event })))
  for (const { event } of ordered) {
    if ('evacuation' in event) {
      if (!event.evacuation.throughOutdoorUnit && !emptied) continue
      emptied = false
      count.factoryKg = 0
      count.weighedInKg = 0
      count.takenOutKg = 0
      count.countedFrom = 'empty-circuit'
      count.unknown = null
      continue
    }
    const { charge } = event
    const factory = charge.direction === 'factory-released' || charge.source === 'factory'
    if (charge.direction === 'out') {
      const before = total()
      if (charge.massKg === null) count.unknown = say.rules.aMassTakenOut
      else count.takenOutKg += charge.massKg
      const after = total()
      // What can't be told apart from an empty circuit is treated as one.
      emptied = before === null || after === null || after <= EMPTY_SHARE * before
      if (emptied) count.emptyingIds.push(charge.id)
    } else if (factory) {
      count.factoryKg = charge.massKg ?? sheetKg
    } else if (charge.massKg === null) {
      count.unknown = say.rules.aMassLetIn
    } else {
      count.weighedInKg += charge.massKg
    }
  }
  count.totalKg = total()
  if (count.totalKg === null && count.unknown === null) count.unknown = say.rules.theFactoryChargeIs
  return count
}

/** The count in a sentence: "1.100 kg from the factory, 0.120 kg weighed in". */
export function netChargeInWords(count: NetCharge): string {
  const parts = [
    count.factoryKg ? say.rules.fromTheFactory(kilograms(count.factoryKg)) : '',
    count.weighedInKg > 0 ? say.rules.weighedIn(kilograms(count.weighedInKg)) : '',
    count.takenOutKg > 0 ? say.rules.takenOut(kilograms(count.takenOutKg)) : '',
  ]
  return parts.filter((part) => part !== '').join(', ') || say.rules.nothingWord
}
