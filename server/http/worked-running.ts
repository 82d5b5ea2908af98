// By which steps did subcooling, superheat and temperature split come about?

import type { WorkedProps, WorkedStep } from '../../views/parts/worked.tsx'
import { say } from '../words/say.ts'
import { exactly } from './calculator.ts'

interface LineState {
  absolutePressurePa: number
  temperatureK: number
  saturationK: number
}

export function runningSteps(running: {
  airPa: number
  mode: 'cooling' | 'heating'
  subcooling: (LineState & { subcoolingK: number }) | null
  superheat: (LineState & { superheatK: number }) | null
  splitK: number | null
  supplyK: number | null
  returnK: number | null
}): WorkedProps {
  const celsius = (temperatureK: number) => exactly(temperatureK - 273.15, 2)
  const mpa = (pressurePa: number) => exactly(pressurePa / 1e6, 4)
  const { subcooling, superheat, splitK, supplyK, returnK } = running
  const steps: WorkedStep[] = []
  if (subcooling) {
    steps.push({
      says: say.worked.thePressureOfThe,
      formula: say.worked.subcoolingTBubbleP,
      numbers: say.worked.pMpaAbsoluteC(
        mpa(subcooling.absolutePressurePa),
        celsius(subcooling.saturationK),
        celsius(subcooling.temperatureK),
        exactly(subcooling.subcoolingK, 2),
      ),
    })
  }
  if (superheat) {
    steps.push({
      says: say.worked.thePressureOfTheSuction,
      formula: say.worked.superheatTSuctionT,
      numbers: say.worked.pMpaAbsoluteC(
        mpa(superheat.absolutePressurePa),
        celsius(superheat.temperatureK),
        celsius(superheat.saturationK),
        exactly(superheat.superheatK, 2),
      ),
    })
  }
  if (splitK !== null && supplyK !== null && returnK !== null) {
    steps.push(
      running.mode === 'cooling'
        ? {
            says: say.worked.whatTheIndoorCoil,
            formula: say.worked.splitTReturnT,
            numbers: `${celsius(returnK)} − ${celsius(supplyK)} = ${exactly(splitK, 2)} K`,
          }
        : {
            says: say.worked.whatTheIndoorCoilGives,
            formula: say.worked.splitTSupplyT,
            numbers: `${celsius(supplyK)} − ${celsius(returnK)} = ${exactly(splitK, 2)} K`,
          },
    )
  }
  return {
    steps,
    source: say.worked.saturationByOurFits,
    validity: say.worked.after15MinutesOf,
    methodHref: '/methods/running-check',
  }
}
