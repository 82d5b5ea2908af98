// How are the readings of a test told one by one, and corrected on the test's page?

import { type ComponentChildren, h } from 'preact'
import type { RecordedFact } from '../../views/corrections/form.tsx'
import { Button } from '../../views/parts/button.tsx'
import type { FormState, Option } from '../../views/parts/field.tsx'
import { OtherErrors } from '../../views/parts/field.tsx'
import {
  PressureReadingFields,
  pressureStageOptions,
  VacuumReadingFields,
  vacuumPhaseOptions,
} from '../../views/section-tests/reading-fields.tsx'
import type { ReadingRow } from '../store/queries/corrections.ts'
import type { StoredEvacuation, StoredPressureTest } from '../store/queries/section-tests.ts'
import type { AsTyped } from '../store/rows.ts'
import {
  formatQuantity,
  fromKelvins,
  fromPascals,
  type PressureUnit,
  type TemperatureUnit,
  UNIT_LABELS,
} from '../trade/units.ts'
import type { PressureStage, SectionTestKind, VacuumPhase } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import { recordedFacts, typedValues } from './recorded-facts.ts'
import type { Ask } from './resource.ts'
import { orNull, unitTyped } from './section-tests.ts'

/** What a reading says, whichever version of it. */
type Reading = Pick<
  ReadingRow,
  'id' | 'at' | 'phase' | 'pressurePa' | 'temperatureK' | 'instrumentId' | 'thermometerInstrumentId' | 'typed'
>

interface Choices {
  unit: PressureUnit
  temperatureUnit: TemperatureUnit
  gauges: readonly Option[]
  thermometers?: readonly Option[]
}

const PRESSURE_FIELD: Record<SectionTestKind, string> = {
  pressure: 'gaugePressure',
  evacuation: 'absolutePressure',
}
const phases = () => [...pressureStageOptions(), ...vacuumPhaseOptions()]

/** "Holding, 4.16 MPa, 20 °C" */
export function readingWords(kind: SectionTestKind, reading: Reading): string {
  const pressure = asTyped(reading.typed, PRESSURE_FIELD[kind]) ?? inPascals(reading.pressurePa)
  const temperature =
    asTyped(reading.typed, 'temperature') ??
    (reading.temperatureK === null
      ? null
      : orNull(() => formatQuantity(fromKelvins(reading.temperatureK ?? 0, 'degC'), 'degC')))
  const phase = phases().find(({ value }) => value === reading.phase)?.label ?? reading.phase
  return [phase, pressure, temperature].filter((part) => part !== null).join(', ')
}

const inPascals = (pressurePa: number) => formatQuantity(fromPascals(pressurePa, 'kPa'), 'kPa')

function asTyped(typed: AsTyped, field: string): string | null {
  const said = typed[field]
  return said ? `${said.value} ${UNIT_LABELS[said.unit as PressureUnit] ?? said.unit}` : null
}

export async function recordedReadings(
  ask: Ask,
  kind: SectionTestKind,
  stored: StoredPressureTest | StoredEvacuation,
  choices: Choices,
  came: FormState | undefined,
): Promise<RecordedFact[]> {
  const { test, readingsTyped } = stored
  const page = kind === 'pressure' ? 'pressure-test' : 'evacuation'
  return recordedFacts<Reading>(ask, {
    table: 'sectionReadings',
    facts: test.readings.map((reading) => ({
      jobId: test.jobId,
      fact: {
        id: reading.id,
        at: reading.at,
        phase: 'stage' in reading ? reading.stage : reading.phase,
        pressurePa: 'gaugePressurePa' in reading ? reading.gaugePressurePa : reading.absolutePressurePa,
        temperatureK: reading.temperatureK,
        instrumentId: reading.instrumentId,
        thermometerInstrumentId:
          'thermometerInstrumentId' in reading ? reading.thermometerInstrumentId : null,
        typed: readingsTyped[reading.id] ?? {},
      },
    })),
    subjectId: test.id,
    words: (reading) => readingWords(kind, reading),
    at: (reading) => reading.at,
    address: `/${page}s/${test.id}`,
    page: `${page}:${test.id}`,
    values: (reading) => ({
      [kind === 'pressure' ? 'stage' : 'phase']: reading.phase,
      ...typedValues(PRESSURE_FIELD[kind], reading.typed[PRESSURE_FIELD[kind]]),
      ...typedValues('temperature', reading.typed.temperature),
      instrumentId: reading.instrumentId,
      thermometerInstrumentId: reading.thermometerInstrumentId,
    }),
    fields: (form, reading) => fields(kind, form, reading, choices),
    came,
  })
}

function fields(
  kind: SectionTestKind,
  form: FormState,
  reading: Reading,
  { thermometers, ...choices }: Choices,
): ComponentChildren {
  const common = {
    form,
    ...choices,
    unit: unitTyped<PressureUnit>(reading.typed, PRESSURE_FIELD[kind]) ?? choices.unit,
    temperatureUnit: unitTyped<TemperatureUnit>(reading.typed, 'temperature') ?? choices.temperatureUnit,
    readAt: reading.at,
  }
  const names = [
    'stage',
    'phase',
    PRESSURE_FIELD[kind],
    'temperature',
    'at@',
    'instrumentId',
    'thermometerInstrumentId',
  ]
  return [
    h(OtherErrors, { form, fields: names }),
    kind === 'pressure'
      ? h(PressureReadingFields, {
          ...common,
          stage: reading.phase as PressureStage,
          thermometers: thermometers ?? [],
        })
      : h(VacuumReadingFields, { ...common, phase: reading.phase as VacuumPhase }),
    h(Button, { children: say.corrections.recordTheCorrection }),
  ]
}
