// How much gas does a length of tube hold?

import { z } from 'zod'
import { length } from '../../commands/quantities.ts'
import { boreM, findTube, volumePerMetreM3 } from '../../trade/tube.ts'
import { OutsideValidity } from '../../trade/validity.ts'
import { say } from '../../words/say.ts'
import { defineCalculator, exactly, inOther, inUnit } from '../calculator.ts'
import { quantityJson } from '../json.ts'

const tubeOd = () => length({ min: 0.004, max: 0.08 })

export const tubeVolume = defineCalculator({
  path: 'tube-volume',
  summary: 'How much do a liquid and a gas line of this length hold?',
  input: z.strictObject({
    liquidOd: tubeOd(),
    gasOd: tubeOd().optional(),
    tubeWall: length({ min: 0.0003, max: 0.005 }).optional(),
    length: length({ min: 0.01 }),
  }),
  compute: (input) => {
    const tubes = [input.liquidOd, ...(input.gasOd ? [input.gasOd] : [])].map((od) => {
      const wallM = input.tubeWall?.si
      const tube = wallM === undefined ? findTube(od.si) : { odM: od.si, wallM, name: '' }
      if (!tube)
        throw new OutsideValidity(say.calculators.tubeOuterDiameter2, od.si, {
          unit: 'm',
          because: say.calculators.notAListedSize,
        })
      return { odM: tube.odM, wallM: tube.wallM, boreM: boreM(tube), perMetreM3: volumePerMetreM3(tube) }
    })
    const lengthM = input.length.si
    return { tubes, lengthM, volumeM3: tubes.reduce((sum, tube) => sum + tube.perMetreM3 * lengthM, 0) }
  },
  fieldOf: ({ quantity, value }, input) =>
    quantity === 'tube wall' ? 'tubeWall' : value === input.liquidOd.si ? 'liquidOd' : 'gasOd',
  json: (a) => ({
    volume: quantityJson('volume', a.volumeM3, 'L'),
    perMetre: a.tubes.map((tube) => quantityJson('volume', tube.perMetreM3, 'mL')),
  }),
  explain: (a) => ({
    facts: [
      {
        label: say.calculators.holds,
        value: inUnit('volume', a.volumeM3, 'L'),
        note: inOther('volume', a.volumeM3, 'L'),
        main: true,
      },
      ...a.tubes.map((tube) => ({
        label: say.calculators.aMetreOfMm(exactly(tube.odM * 1000, 2)),
        value: say.calculators.ml(exactly(tube.perMetreM3 * 1e6, 1)),
        note: say.calculators.wallMm(exactly(tube.wallM * 1000, 2)),
      })),
    ],
    worked: {
      steps: a.tubes.map((tube, index) => ({
        says: say.calculators.boreIsOuterDiameter(
          index === 0 ? say.calculators.theLiquidLine : say.calculators.theGasLine,
        ),
        formula: say.calculators.v4D2,
        numbers: `V = π/4 · (${exactly(tube.odM * 1000, 2)} − 2 · ${exactly(tube.wallM * 1000, 3)})^2 mm² · ${exactly(a.lengthM, 2)} m = ${exactly(tube.perMetreM3 * a.lengthM * 1000, 3)} L`,
      })),
      source: say.calculators.astmB280ByA,
      validity: say.calculators.nominalSizesTheWalls,
      methodHref: '/methods/tube',
    },
  }),
})
