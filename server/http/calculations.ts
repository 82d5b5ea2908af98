// Calculators: the same arithmetic as the record uses, for figures that belong to no record.

import type { z } from 'zod'
import { CalculatorPage, CalculatorsPage } from '../../views/calculators/calculator.tsx'
import { theCalculators } from '../../views/calculators/fields.ts'
import { malformedField } from '../refusals.ts'
import { OutsideValidity } from '../trade/validity.ts'
import { type CalculatorDefinition, outsideInWords } from './calculator.ts'
import { callbackRate } from './calculators/callback-rate.ts'
import { charge } from './calculators/charge.ts'
import { fillPressure } from './calculators/fill-pressure.ts'
import { flare } from './calculators/flare.ts'
import { holdTime } from './calculators/hold-time.ts'
import { leakRate } from './calculators/leak-rate.ts'
import { pressureHold } from './calculators/pressure-hold.ts'
import { roomArea } from './calculators/room-area.ts'
import { runningCheck } from './calculators/running-check.ts'
import { saturation } from './calculators/saturation.ts'
import { torqueSetting } from './calculators/torque-setting.ts'
import { tubeVolume } from './calculators/tube-volume.ts'
import { units } from './calculators/units.ts'
import { vacuumDecay } from './calculators/vacuum-decay.ts'
import type { Resource } from './resource.ts'
import { shellOf } from './shell.ts'

export function calculationsResource(resource: Resource): void {
  resource.read({
    path: '/calculators',
    name: 'calculators',
    summary: 'The calculators.',
    capability: 'use-own',
    load: async () => null,
    page: (_, ask) => CalculatorsPage({ shell: shellOf(ask.actor, '/calculators') }),
  })

  const calculator = <Schema extends z.ZodType, Answer>(definition: CalculatorDefinition<Schema, Answer>) => {
    const { path, summary, input, json, explain, fields } = definition
    const compute = (given: z.output<Schema>): Answer => {
      try {
        return definition.compute(given)
      } catch (problem) {
        if (!(problem instanceof OutsideValidity)) throw problem
        const field = definition.fieldOf?.(problem, given)
        throw malformedField(field ?? '', outsideInWords(problem))
      }
    }
    resource.compute<Schema, Answer>({
      path: `/calculations/${path}`,
      name: path,
      summary,
      input,
      compute,
      json,
      page: {
        path: `/calculators/${path}`,
        ...(fields ? { input: fields } : {}),
        show: (form, answer, ask, refusal) =>
          CalculatorPage({
            shell: shellOf(ask.actor, '/calculators'),
            calculator: theCalculators()[path],
            path,
            form,
            answer: answer === null ? null : explain(answer),
            link: answer === null ? undefined : `/calculators/${path}?${new URLSearchParams(form.values)}`,
            refused: refusal?.errors.every((error) => error.path === '') ? refusal.message : undefined,
          }),
      },
    })
  }

  calculator(torqueSetting)
  calculator(flare)
  calculator(pressureHold)
  calculator(fillPressure)
  calculator(holdTime)
  calculator(leakRate)
  calculator(vacuumDecay)
  calculator(tubeVolume)
  calculator(charge)
  calculator(roomArea)
  calculator(saturation)
  calculator(runningCheck)
  calculator(units)
  calculator(callbackRate)
}
