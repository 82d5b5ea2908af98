// Which instruments did a test rest on? The ones it began with, and those its readings name.

import type { Evacuation, PressureTest } from '../../rules/dossier.ts'

export function instrumentsOf(test: PressureTest | Evacuation): Set<string> {
  const ids = new Set([test.gaugeInstrumentId])
  if ('medium' in test) {
    if (test.thermometerInstrumentId !== null) ids.add(test.thermometerInstrumentId)
    for (const { thermometerInstrumentId } of test.readings)
      if (thermometerInstrumentId !== null) ids.add(thermometerInstrumentId)
  }
  for (const { instrumentId } of test.readings) if (instrumentId !== null) ids.add(instrumentId)
  return ids
}
