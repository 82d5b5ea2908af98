// By which steps did subcooling, superheat and temperature split come about?

import type { WorkedProps, WorkedStep } from '../../views/parts/worked.tsx'
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
      says: 'The pressure of the liquid line says at which temperature its first bubble would form; how far the line is below that is the subcooling.',
      formula: 'subcooling = T_bubble(p_gauge + p_air) − T_liquid',
      numbers: `p = ${mpa(subcooling.absolutePressurePa)} MPa absolute: ${celsius(subcooling.saturationK)} °C − ${celsius(subcooling.temperatureK)} °C = ${exactly(subcooling.subcoolingK, 2)} K`,
    })
  }
  if (superheat) {
    steps.push({
      says: 'The pressure of the suction line says at which temperature its last drop boils; how far the line is above that is the superheat.',
      formula: 'superheat = T_suction − T_dew(p_gauge + p_air)',
      numbers: `p = ${mpa(superheat.absolutePressurePa)} MPa absolute: ${celsius(superheat.temperatureK)} °C − ${celsius(superheat.saturationK)} °C = ${exactly(superheat.superheatK, 2)} K`,
    })
  }
  if (splitK !== null && supplyK !== null && returnK !== null) {
    steps.push(
      running.mode === 'cooling'
        ? {
            says: 'What the indoor coil takes from the air.',
            formula: 'split = T_return − T_supply',
            numbers: `${celsius(returnK)} − ${celsius(supplyK)} = ${exactly(splitK, 2)} K`,
          }
        : {
            says: 'What the indoor coil gives to the air.',
            formula: 'split = T_supply − T_return',
            numbers: `${celsius(supplyK)} − ${celsius(returnK)} = ${exactly(splitK, 2)} K`,
          },
    )
  }
  return {
    steps,
    source:
      'saturation by our fits to published equations of state; ±3 °F and ±5 °F: California Residential Appendix RA3.2, ducted systems',
    validity:
      'After 15 minutes of steady running in the maker’s test mode. A variable-speed ductless unit has only its maker’s own targets.',
    methodHref: '/methods/running-check',
  }
}
