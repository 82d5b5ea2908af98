// By which steps did a charge, a room or a running check come to its figure?

import type { WorkedProps, WorkedStep } from '../../views/parts/worked.tsx'
import type { RoomArea } from '../trade/room-area.ts'
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
    says: 'Each metre beyond what the factory charge already covers asks for more; a shorter line takes none away.',
    formula: 'm_add = adder · max(0, length − pre-charged length)',
    numbers: `m_add = ${wordOf(line.adderKgPerM)} g/m · max(0, ${figure(line.lengthM)} − ${figure(charge.prechargedM)}) m = ${wordOf(line.adderKgPerM * Math.max(0, line.lengthM - charge.prechargedM))} g`,
  }))
  if (charge.besidesKg) {
    steps.push({
      says: 'Indoor units and allowances, as the sheet states them.',
      numbers: `${wordOf(charge.besidesKg)} g`,
    })
  }
  steps.push({
    says: 'Together with what it came with.',
    formula: 'm = m_factory + m_add',
    numbers: `m = ${wordOf(charge.factoryKg)} + ${wordOf(charge.additionalKg)} = ${wordOf(charge.totalKg)} g`,
  })
  if (charge.co2e) {
    steps.push({
      says: 'As CO₂: times the warming potential over a hundred years.',
      formula: 'CO₂e = m · GWP',
      numbers: `CO₂e = ${exactly(charge.totalKg, 3)} kg · ${figure(charge.co2e.gwp)} = ${figure(charge.co2e.co2eKg)} kg (${charge.co2e.basis})`,
    })
  }
  return {
    steps,
    source:
      'the figures are those of your equipment’s manual: printed adders spread two to one, and none is built in; GWP: IPCC',
    validity:
      'Exact arithmetic. A factory charge that was opened, mixed or topped up before is not known by it.',
    methodHref: '/methods/charge',
  }
}

export function roomSteps(room: RoomArea & { chargeKg: number; a2l: boolean }): WorkedProps {
  const { lflKgPerM3: lfl, heightM, chargeKg } = room
  const steps: WorkedStep[] = [
    {
      says: 'Below the first limit no room is too small; above the second this method no longer serves.',
      formula: room.a2l ? 'm_1 = 6 · LFL,  m_2 = 52 · LFL' : 'm_1 = 4 · LFL,  m_2 = 26 · LFL',
      numbers: `m_1 = ${figure(room.m1Kg)} kg, m_2 = ${figure(room.m2Kg)} kg, with LFL = ${lfl} kg/m³`,
    },
    {
      says: 'The area over which the refrigerant spreads thinly enough, from the height it falls from.',
      formula: 'A = (m / (2.5 · LFL^{1.25} · h_0))^2',
      numbers: `A = (${figure(chargeKg)} / (2.5 · ${lfl}^{1.25} · ${heightM}))^2 = ${exactly(room.squareRootAreaM2, 2)} m²`,
    },
  ]
  if (room.capAreaM2 !== null) {
    steps.push({
      says: 'For mildly flammable refrigerants also at least this; the larger area counts.',
      formula: 'A ≥ m / (0.75 · LFL · h_0)',
      numbers: `A ≥ ${figure(chargeKg)} / (0.75 · ${lfl} · ${heightM}) = ${exactly(room.capAreaM2, 2)} m²`,
    })
  }
  return {
    steps,
    source: `${room.source}, as manuals print it (52 from memory)`,
    validity:
      'For a room without ventilation, counted with the whole circuit’s charge. Your equipment’s own table goes before it.',
    methodHref: '/methods/room-area',
  }
}
