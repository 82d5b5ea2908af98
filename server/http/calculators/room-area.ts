// How large must an unventilated room be for a charge of a flammable refrigerant?

import { z } from 'zod'
import type { CurveProps } from '../../../views/parts/curve.tsx'
import { area, mass } from '../../commands/quantities.ts'
import { refrigerant } from '../../trade/refrigerants.ts'
import { largestCharge, minimumFloorArea } from '../../trade/room-area.ts'
import { type AreaUnit, fromSi, type MassUnit, UNIT_LABELS } from '../../trade/units.ts'
import { MOUNTINGS } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import { defineCalculator, figure, inOther, inUnit, refrigerantName } from '../calculator.ts'
import { quantityJson } from '../json.ts'
import { roomSteps } from '../worked-charge.ts'

export const roomArea = defineCalculator({
  path: 'room-area',
  summary: 'How large must an unventilated room be for a charge of a flammable refrigerant?',
  input: z.strictObject({
    refrigerant: refrigerantName,
    charge: mass({ min: 0.001 }),
    mounting: z.enum(MOUNTINGS, { error: () => say.calculators.useOneOf(MOUNTINGS.join(', ')) }),
    /** Of the room at hand, to be judged. */
    floorArea: area({ min: 0.1 }).optional(),
  }),
  compute: (input) => {
    const place = { refrigerant: input.refrigerant, mounting: input.mounting }
    const least = minimumFloorArea({ ...place, chargeKg: input.charge.si })
    const charges = [5, 10, 20, 40].map((floorAreaM2) => ({
      floorAreaM2,
      maximumChargeKg: largestCharge({ ...place, floorAreaM2 }).maximumChargeKg,
    }))
    const curve = Array.from({ length: 41 }, (_, index) => {
      const chargeKg =
        least.m1Kg +
        ((Math.min(least.m2Kg, Math.max(2 * input.charge.si, 2 * least.m1Kg)) - least.m1Kg) * index) / 40
      return {
        chargeKg,
        areaM2: minimumFloorArea({ ...place, chargeKg: chargeKg + 1e-6 }).minimumFloorAreaM2,
      }
    })
    return {
      least,
      charges,
      curve,
      chargeKg: input.charge.si,
      massUnit: input.charge.unit as MassUnit,
      roomM2: input.floorArea?.si ?? null,
      areaUnit: (input.floorArea?.unit ?? 'm2') as AreaUnit,
      a2l: refrigerant(input.refrigerant).safetyClass === 'A2L',
      refrigerant: input.refrigerant,
    }
  },
  fieldOf: ({ quantity }) => (quantity.startsWith('flammability limit') ? 'refrigerant' : undefined),
  json: ({ least, charges, roomM2 }) => ({
    minimumFloorArea: quantityJson('area', least.minimumFloorAreaM2, 'm2'),
    governs: least.governs,
    chargeLimits: {
      anyRoom: quantityJson('mass', least.m1Kg, 'kg'),
      thisMethod: quantityJson('mass', least.m2Kg, 'kg'),
      byFloorArea: charges.map((one) => ({
        floorArea: quantityJson('area', one.floorAreaM2, 'm2'),
        charge: quantityJson('mass', one.maximumChargeKg, 'kg'),
      })),
    },
    height: quantityJson('length', least.heightM, 'm'),
    lowerFlammabilityLimit: { value: least.lflKgPerM3, unit: 'kg/m3' },
    ...(roomM2 === null
      ? {}
      : { largeEnough: least.minimumFloorAreaM2 !== null && roomM2 >= least.minimumFloorAreaM2 - 1e-9 }),
    source: least.source,
  }),
  explain: (a) => {
    const { least, areaUnit, massUnit, roomM2 } = a
    const leastM2 = least.minimumFloorAreaM2
    const words =
      least.governs === 'no-limit'
        ? say.calculators.anyRoomWillDo
        : leastM2 === null
          ? say.calculators.noneThisChargeNeeds
          : inUnit('area', leastM2, areaUnit)
    const fits = leastM2 !== null && roomM2 !== null && roomM2 >= leastM2 - 1e-9
    return {
      judged:
        roomM2 === null || leastM2 === null || leastM2 === 0
          ? []
          : [
              {
                label: say.calculators.thisRoom,
                value: figure(fromSi('area', roomM2, areaUnit)),
                unit: UNIT_LABELS[areaUnit],
                at: fromSi('area', roomM2, areaUnit),
                low: Number(fromSi('area', leastM2, areaUnit).toPrecision(4)),
                verdict: fits ? say.calculators.largeEnough : say.calculators.tooSmallForThis,
                outcome: fits ? 'met' : 'failed',
                also: inOther('area', roomM2, areaUnit),
                source: least.source,
              },
            ],
      facts: [
        {
          label: say.calculators.floorAreaOfAt,
          value: words,
          note: leastM2 === null || leastM2 === 0 ? undefined : inOther('area', leastM2, areaUnit),
          main: true,
        },
        { label: say.calculators.anyRoomUpTo, value: inUnit('mass', least.m1Kg, massUnit) },
        { label: say.calculators.thisMethodUpTo, value: inUnit('mass', least.m2Kg, massUnit) },
        ...a.charges.map((one) => ({
          label: say.calculators.inUpTo(
            figure(fromSi('area', one.floorAreaM2, areaUnit), 3),
            UNIT_LABELS[areaUnit],
          ),
          value: inUnit('mass', one.maximumChargeKg, massUnit),
        })),
      ],
      plots: leastM2 === null ? [] : [plotOf(a)],
      worked: roomSteps({ ...least, chargeKg: a.chargeKg, a2l: a.a2l }),
    }
  },
})

function plotOf(a: {
  curve: readonly { chargeKg: number; areaM2: number | null }[]
  chargeKg: number
  least: { minimumFloorAreaM2: number | null; m1Kg: number }
  roomM2: number | null
  areaUnit: AreaUnit
  massUnit: MassUnit
  refrigerant: string
}): CurveProps {
  const x = (kg: number) => fromSi('mass', kg, a.massUnit)
  const y = (areaM2: number) => fromSi('area', areaM2, a.areaUnit)
  const drawn = a.curve.flatMap((one) =>
    one.areaM2 === null ? [] : [{ x: x(one.chargeKg), y: y(one.areaM2) }],
  )
  return {
    id: 'plot-room',
    title: say.calculators.roomAskedForBy(a.refrigerant),
    desc: say.calculators.leastFloorAreaAgainst,
    x: {
      label: say.calculators.charge2(UNIT_LABELS[a.massUnit]),
      fromZero: true,
      domain: [0, Math.max(...drawn.map((one) => one.x), x(a.chargeKg) * 1.05)],
    },
    y: { label: say.calculators.floorArea(UNIT_LABELS[a.areaUnit]), fromZero: true },
    readings: [{ x: x(a.chargeKg), y: y(a.least.minimumFloorAreaM2 ?? 0) }],
    readingsLabel: say.calculators.thisCharge,
    fitted: {
      label: say.calculators.floorAreaOfAtLeast,
      points: [{ x: 0, y: 0 }, { x: x(a.least.m1Kg), y: 0 }, ...drawn],
    },
    criteria:
      a.roomM2 === null ? [] : [{ value: y(a.roomM2), label: say.calculators.thisRoom2, kind: 'target' }],
    table: {
      title: say.calculators.tableOfTheCurve,
      columns: [say.calculators.charge, say.calculators.floorAreaOfAt],
      rows: a.curve
        .filter((_, index) => index % 5 === 0)
        .map((one) => [
          inUnit('mass', one.chargeKg, a.massUnit),
          one.areaM2 === null ? say.calculators.anotherMethod : inUnit('area', one.areaM2, a.areaUnit),
        ]),
    },
  }
}
