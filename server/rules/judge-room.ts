// Is a room large enough for the circuit's flammable refrigerant, by the method that is named for it?

import { refrigerant } from '../trade/refrigerants.ts'
import { largestCharge, minimumFloorArea } from '../trade/room-area.ts'
import type { RefrigerantName } from '../vocabulary.ts'
import { say } from '../words/say.ts'
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

const annexGg = () => say.rules.iec60335240Annex

export function judgeRoom(name: RefrigerantName, chargeKg: number, room: Room | null): RoomJudgement {
  const judgement: RoomJudgement = {
    verdict: 'unknown',
    minimumFloorAreaM2: null,
    largestChargeKg: null,
    lflKgPerM3: refrigerant(name).lflKgPerM3,
    source: annexGg(),
    reason: '',
  }
  if (room !== null && room.method !== 'unventilated') {
    const named = [room.document, room.page].every((part) => (part ?? '').trim() !== '')
    const source = named ? say.rules.page(room.document, room.page) : say.rules.noDocumentNamed
    const method = room.method === 'sheet-table' ? say.rules.theMakersTable : say.rules.ventilationOrALeak
    return named
      ? { ...judgement, verdict: 'fits', source, reason: say.rules.by(method, source) }
      : { ...judgement, source, reason: say.rules.theMethodIsWithout(method) }
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
        reason: say.rules.ofIsAtMost(kilograms(chargeKg), name, kilograms(m1Kg)),
      }
    }
    if (room === null) return { ...judgement, source, reason: say.rules.theRoomIsNot }
    const place = {
      refrigerant: name,
      mounting: room.mounting ?? undefined,
      releaseHeightM: room.releaseHeightM ?? undefined,
    }
    if (place.mounting === undefined && place.releaseHeightM === undefined) {
      return { ...judgement, source, reason: say.rules.neitherMountingNorRelease }
    }
    const least = minimumFloorArea({ ...place, chargeKg })
    const most = largestCharge({ ...place, floorAreaM2: room.floorAreaM2 })
    const known = { ...judgement, source: least.source, largestChargeKg: most.maximumChargeKg }
    if (least.minimumFloorAreaM2 === null) {
      return {
        ...known,
        verdict: 'beyond-method',
        reason: say.rules.ofIsMoreThan(kilograms(chargeKg), name, kilograms(least.m2Kg)),
      }
    }
    const area = quantity(room.floorAreaM2, 'm2')
    const needed = quantity(least.minimumFloorAreaM2, 'm2')
    const fits = room.floorAreaM2 >= least.minimumFloorAreaM2 - 1e-9
    const how = room.measured ? '' : say.rules.theAreaWasNot
    return {
      ...known,
      verdict: fits ? 'fits' : 'too-small',
      minimumFloorAreaM2: least.minimumFloorAreaM2,
      reason: say.rules.isForOfWhich(
        area,
        fits ? say.rules.enough : say.rules.tooSmall,
        kilograms(chargeKg),
        name,
        needed,
        how,
      ),
    }
  } catch (problem) {
    const because = problem instanceof Error ? problem.message : String(problem)
    return { ...judgement, reason: say.rules.theRoomCantBe(because) }
  }
}
