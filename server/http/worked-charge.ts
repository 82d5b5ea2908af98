// By which steps did a charge, a room or a running check come to its figure?

import type { WorkedProps, WorkedStep } from '../../views/parts/worked.tsx'
import type { RoomArea } from '../trade/room-area.ts'
import { say } from '../words/say.ts'
import { exactly, figure } from './calculator.ts'

export function chargeSteps(charge: {
  /** None where the sheet gives a mass for the whole. */
  lines: readonly { lengthM: number; adderKgPerM: number }[]
  prechargedM: number
  factoryKg: number
  /** Masses beside the lines: indoor units, an allowance. */
  besidesKg?: number | undefined
  additionalKg: number
  totalKg: number
  co2e: { co2eKg: number; gwp: number; basis: string } | null
  /** A mass in grams. */
  wordOf(kg: number): string
}): WorkedProps {
  const { wordOf } = charge
  const steps: WorkedStep[] = charge.lines.map((line) => ({
    says: say.worked.eachMetreBeyondWhat,
    formula: say.worked.mAddAdderMax,
    numbers: `m_add = ${wordOf(line.adderKgPerM)} g/m · max(0, ${figure(line.lengthM)} − ${figure(charge.prechargedM)}) m = ${wordOf(line.adderKgPerM * Math.max(0, line.lengthM - charge.prechargedM))} g`,
  }))
  if (charge.besidesKg) {
    steps.push({
      says: say.worked.indoorUnitsAndAllowances,
      numbers: `${wordOf(charge.besidesKg)} g`,
    })
  }
  steps.push({
    says: say.worked.togetherWithWhatIt,
    formula: 'm = m_factory + m_add',
    numbers: `m = ${wordOf(charge.factoryKg)} + ${wordOf(charge.additionalKg)} = ${wordOf(charge.totalKg)} g`,
  })
  if (charge.co2e) {
    steps.push({
      says: say.worked.asCoTimesThe,
      formula: 'CO₂e = m · GWP',
      numbers: `CO₂e = ${exactly(charge.totalKg, 3)} kg · ${figure(charge.co2e.gwp)} = ${figure(charge.co2e.co2eKg)} kg (${charge.co2e.basis})`,
    })
  }
  return {
    steps,
    source: say.worked.theFiguresAreThose,
    validity: say.worked.exactArithmeticAFactory,
    methodHref: '/methods/charge',
  }
}

export function roomSteps(room: RoomArea & { chargeKg: number; a2l: boolean }): WorkedProps {
  const { lflKgPerM3: lfl, heightM, chargeKg } = room
  const steps: WorkedStep[] = [
    {
      says: say.worked.belowTheFirstLimit,
      formula: room.a2l ? 'm_1 = 6 · LFL,  m_2 = 52 · LFL' : 'm_1 = 4 · LFL,  m_2 = 26 · LFL',
      numbers: say.worked.m1KgM(figure(room.m1Kg), figure(room.m2Kg), lfl),
    },
    {
      says: say.worked.theAreaOverWhich,
      formula: 'A = (m / (2.5 · LFL^{1.25} · h_0))^2',
      numbers: `A = (${figure(chargeKg)} / (2.5 · ${lfl}^{1.25} · ${heightM}))^2 = ${exactly(room.squareRootAreaM2, 2)} m²`,
    },
  ]
  if (room.capAreaM2 !== null) {
    steps.push({
      says: say.worked.forMildlyFlammableRefrigerants,
      formula: 'A ≥ m / (0.75 · LFL · h_0)',
      numbers: `A ≥ ${figure(chargeKg)} / (0.75 · ${lfl} · ${heightM}) = ${exactly(room.capAreaM2, 2)} m²`,
    })
  }
  return {
    steps,
    source: say.worked.asManualsPrintIt(room.source),
    validity: say.worked.forARoomWithout,
    methodHref: '/methods/room-area',
  }
}
