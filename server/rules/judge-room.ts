// Is a room large enough for the circuit's flammable refrigerant, by the method that is named for it?

import { refrigerant } from '../trade/refrigerants.ts'
import { largestCharge, minimumFloorArea } from '../trade/room-area.ts'
import type { RefrigerantName } from '../vocabulary.ts'
import type { Room } from './dossier.ts'
import { kilograms, quantity } from './wording.ts'

export interface RoomJudgement {
  /** `unknown`: what the method needs is missing. `beyond-method`: the charge is too large for it in any room. */
  verdict: 'fits' | 'too-small' | 'beyond-method' | 'unknown'
  minimumFloorAreaM2: number | null
  largestChargeKg: number | null
  lflKgPerM3: number | null
  source: string
  reason: string
}

const ANNEX_GG = 'IEC 60335-2-40 Annex GG'

export function judgeRoom(name: RefrigerantName, chargeKg: number, room: Room | null): RoomJudgement {
  const judgement: RoomJudgement = {
    verdict: 'unknown',
    minimumFloorAreaM2: null,
    largestChargeKg: null,
    lflKgPerM3: refrigerant(name).lflKgPerM3,
    source: ANNEX_GG,
    reason: '',
  }
  if (room !== null && room.method !== 'unventilated') {
    const named = [room.document, room.page].every((part) => (part ?? '').trim() !== '')
    const source = named ? `${room.document}, page ${room.page}` : 'no document named'
    const method = room.method === 'sheet-table' ? "the maker's table" : 'ventilation or a leak detector'
    return named
      ? { ...judgement, verdict: 'fits', source, reason: `By ${method}: ${source}.` }
      : { ...judgement, source, reason: `The method is ${method}, without document and page.` }
  }
  try {
    // Up to m₁ no room is too small, so the mounting does not matter and need not be known.
    const { m1Kg, source } = minimumFloorArea({ refrigerant: name, chargeKg, mounting: 'floor' })
    if (chargeKg <= m1Kg + 1e-9) {
      return {
        ...judgement,
        verdict: 'fits',
        minimumFloorAreaM2: 0,
        source,
        reason: `${kilograms(chargeKg)} of ${name} is at most ${kilograms(m1Kg)}, for which no room is too small.`,
      }
    }
    if (room === null) return { ...judgement, source, reason: 'The room is not described.' }
    const place = {
      refrigerant: name,
      mounting: room.mounting ?? undefined,
      releaseHeightM: room.releaseHeightM ?? undefined,
    }
    if (place.mounting === undefined && place.releaseHeightM === undefined) {
      return { ...judgement, source, reason: 'Neither mounting nor release height is stated.' }
    }
    const least = minimumFloorArea({ ...place, chargeKg })
    const most = largestCharge({ ...place, floorAreaM2: room.floorAreaM2 })
    const known = { ...judgement, source: least.source, largestChargeKg: most.maximumChargeKg }
    if (least.minimumFloorAreaM2 === null) {
      return {
        ...known,
        verdict: 'beyond-method',
        reason: `${kilograms(chargeKg)} of ${name} is more than an unventilated room may hold at all (${kilograms(least.m2Kg)}).`,
      }
    }
    const area = quantity(room.floorAreaM2, 'm2')
    const needed = quantity(least.minimumFloorAreaM2, 'm2')
    const fits = room.floorAreaM2 >= least.minimumFloorAreaM2 - 1e-9
    const how = room.measured ? '' : ' The area was not measured on site.'
    return {
      ...known,
      verdict: fits ? 'fits' : 'too-small',
      minimumFloorAreaM2: least.minimumFloorAreaM2,
      reason: `${area} is ${fits ? 'enough' : 'too small'} for ${kilograms(chargeKg)} of ${name}, which needs ${needed}.${how}`,
    }
  } catch (problem) {
    const because = problem instanceof Error ? problem.message : String(problem)
    return { ...judgement, reason: `The room can't be judged: ${because}.` }
  }
}
