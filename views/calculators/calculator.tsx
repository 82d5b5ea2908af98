// What comes out of these figures, without a record of them?

import type { ComponentChildren, JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { formatNumber, formatQuantity, fromSi, UNIT_LABELS, type Unit } from '../../server/trade/units.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Facts } from '../parts/facts.tsx'
import {
  AreaField,
  type FormState,
  OtherErrors,
  QuantityField,
  SelectField,
  TextField,
} from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import { MomentField } from '../section-tests/set-up-fields.tsx'
import { CALCULATORS, type Calculator, type CalculatorField, type CalculatorPath } from './fields.ts'

export function CalculatorsPage(props: { shell: Shell }): JSX.Element {
  return (
    <Layout {...props.shell} title="Calculators" width="narrow">
      <h1>Calculators</h1>
      <p class="lead">Nothing you enter here goes into a record.</p>
      <dl class="facts">
        {Object.entries(CALCULATORS).map(([path, calculator]) => (
          <div key={path}>
            <dt>
              <a href={`/calculators/${path}`}>{calculator.title}</a>
            </dt>
            <dd>{calculator.lead}</dd>
          </div>
        ))}
      </dl>
    </Layout>
  )
}

export interface CalculatorPageProps {
  shell: Shell
  path: CalculatorPath
  calculator: Calculator
  form: FormState
  /** As the JSON face answers it. */
  answer: Record<string, unknown> | null
  refused?: string | undefined
}

export function CalculatorPage(props: CalculatorPageProps): JSX.Element {
  const { calculator, path, form, answer } = props
  return (
    <Layout
      {...props.shell}
      title={calculator.title}
      width="narrow"
      flash={props.refused === undefined ? undefined : <Flash kind="refused">{props.refused}</Flash>}
    >
      <h1>{calculator.title}</h1>
      <p class="lead">{calculator.lead}</p>
      {answer === null ? null : (
        <section class="sheet" id="answer" aria-label="Answer">
          <Answer path={path} answer={answer} />
        </section>
      )}
      <section class="sheet" aria-label="Figures">
        <form method="post" action={`/calculators/${path}`}>
          <OtherErrors
            form={props.refused === undefined ? form : { ...form, errors: [] }}
            fields={calculator.fields.map(nameOf)}
          />
          {calculator.fields.map((field) => (
            <Field key={field.name} field={field} form={form} />
          ))}
          <Button>Work it out</Button>
        </form>
      </section>
      <p class="hint">{calculator.formula}</p>
      <p>
        <a href="/calculators">All calculators</a>
      </p>
    </Layout>
  )
}

const nameOf = (field: CalculatorField): string =>
  field.ask === 'number' ? `${field.name}#` : field.ask === 'moment' ? `${field.name}@` : field.name

function Field({ field, form }: { field: CalculatorField; form: FormState }): JSX.Element {
  switch (field.ask) {
    case 'quantity':
      return (
        <QuantityField
          name={field.name}
          label={field.label}
          hint={field.hint}
          quantity={field.quantity}
          units={field.units}
          unit={field.unit}
          required={field.required}
          form={form}
        />
      )
    case 'choice':
      return (
        <SelectField
          name={field.name}
          label={field.label}
          hint={field.hint}
          options={field.options}
          value={field.value}
          choose={field.choose}
          required={field.required}
          form={form}
        />
      )
    case 'moment':
      return <MomentField name={`${field.name}@`} label={field.label} hint={field.hint ?? ''} form={form} />
    case 'number':
      return (
        <TextField
          name={`${field.name}#`}
          label={field.label}
          hint={field.hint}
          inputmode="decimal"
          required={field.required}
          form={form}
        />
      )
    case 'decay-readings':
      return (
        <>
          <AreaField
            name={field.name}
            label="Readings after it was isolated"
            hint="One a line: the minute, a blank, the pressure. Seven or more tell the curves apart."
            rows={field.rows}
            required
            form={form}
          />
          <SelectField
            name="readingsUnit"
            label="Pressures in"
            options={field.units}
            value={field.unit}
            form={form}
            beside
          />
        </>
      )
  }
}

interface Said {
  value: number
  unit: string
}

const isQuantity = (value: unknown): value is Said =>
  typeof value === 'object' && value !== null && 'value' in value && 'unit' in value

const words = (value: unknown): string => {
  if (!isQuantity(value)) return 'not known'
  if (value.unit === 'Pa.m3/s') return `${formatNumber(value.value)} Pa·m³/s`
  if (value.unit === 'kg/m3') return `${formatNumber(value.value)} kg/m³`
  return value.unit in UNIT_LABELS
    ? formatQuantity(value.value, value.unit as Unit)
    : `${formatNumber(value.value)} ${value.unit}`
}

/** The value in a second unit, after the first. */
const also = (
  value: unknown,
  kind: 'mass' | 'area' | 'temperature',
  unit: 'oz' | 'sq.ft' | 'degC' | 'degF',
) => (isQuantity(value) ? formatQuantity(fromSi(kind, value.value, unit as never), unit) : '')

function Answer(props: { path: CalculatorPath; answer: Record<string, unknown> }): JSX.Element {
  const { answer } = props
  const facts = (list: { label: string; value: ComponentChildren; note?: ComponentChildren }[]) => (
    <Facts facts={list} />
  )
  const part = (name: string) => (answer[name] ?? {}) as Record<string, unknown>
  switch (props.path) {
    case 'torque-setting':
      return facts([
        { label: 'Set the wrench to', value: <b>{words(answer.setting)}</b> },
        { label: 'So that the nut gets', value: words(answer.target) },
        {
          label: 'Accepted at the nut',
          value: `${words(part('acceptance').low)} to ${words(part('acceptance').high)}`,
        },
      ])
    case 'pressure-hold':
      return (
        <>
          <Verdict answer={answer} />
          {facts([
            { label: 'Expected at the end', value: words(answer.expectedGaugePressure) },
            {
              label: 'Change beyond temperature',
              value: words(answer.change),
              note: `± ${words(answer.changeUncertainty)}`,
            },
            { label: 'Leak, test gas', value: words(answer.leakRate) },
            {
              label: 'Smallest leak it could have seen',
              value: words(answer.smallestSeenRefrigerantPerYear),
              note: 'of refrigerant in service, an estimate',
            },
          ])}
        </>
      )
    case 'hold-time': {
      const minutes = Number(answer.minutes)
      return facts([
        {
          label: 'Hold for',
          value: (
            <b>
              {minutes < 120
                ? `${formatNumber(Math.ceil(minutes))} min`
                : `${formatNumber(Math.ceil(minutes / 6) / 10)} h`}
            </b>
          ),
          note: 'an estimate, with the uncertainty as it stands',
        },
        { label: 'Change that must show', value: words(answer.largestUnseenFall) },
        { label: 'Uncertainty of the change', value: words(answer.changeUncertainty) },
      ])
    }
    case 'vacuum-decay': {
      const curve = part('curve')
      return (
        <>
          <Verdict answer={answer} />
          {facts([
            { label: 'Rise', value: words(answer.riseInHold) },
            {
              label: 'Curve',
              value: typeof curve.kind === 'string' ? curve.kind : 'too few readings',
              note: isQuantity(curve.plateau) ? `levels off at ${words(curve.plateau)}` : undefined,
            },
            { label: 'Steady climb, each minute', value: words(curve.risePerMinute) },
            { label: 'Water at the warmest part', value: words(answer.waterVapourPressure) },
            ...(typeof answer.minutesToDecide === 'number'
              ? [{ label: 'Minutes still needed', value: formatNumber(answer.minutesToDecide) }]
              : []),
          ])}
        </>
      )
    }
    case 'charge': {
      const co2e = part('co2e')
      return facts([
        {
          label: 'To add',
          value: <b>{words(answer.additional)}</b>,
          note: also(answer.additional, 'mass', 'oz'),
        },
        { label: 'In all', value: words(answer.total), note: also(answer.total, 'mass', 'oz') },
        {
          label: 'For the climate as much as',
          value: isQuantity(co2e) ? `${words(co2e)} of CO₂` : 'not known',
          note: isQuantity(co2e) ? String((co2e as Said & { basis?: string }).basis ?? '') : undefined,
        },
      ])
    }
    case 'room-area': {
      const limits = part('chargeLimits')
      const byArea = (limits.byFloorArea ?? []) as { floorArea: Said; charge: Said }[]
      return (
        <>
          {facts([
            {
              label: 'Floor area of at least',
              value: (
                <b>
                  {answer.governs === 'no-limit'
                    ? 'any room will do'
                    : isQuantity(answer.minimumFloorArea)
                      ? words(answer.minimumFloorArea)
                      : 'none: this charge needs another method'}
                </b>
              ),
              note:
                answer.governs === 'no-limit' ? undefined : also(answer.minimumFloorArea, 'area', 'sq.ft'),
            },
            { label: 'Any room, up to', value: words(limits.anyRoom) },
            { label: 'This method, up to', value: words(limits.thisMethod) },
            ...byArea.map((one) => ({
              label: `In ${words(one.floorArea)}, up to`,
              value: words(one.charge),
            })),
          ])}
          <p class="hint">{String(answer.source ?? '')}</p>
        </>
      )
    }
    case 'saturation':
      return (
        <>
          {facts(
            (['bubble', 'dew'] as const).map((line) => {
              const point = part(line)
              const label = line === 'bubble' ? 'Bubble point' : 'Dew point'
              return isQuantity(point.temperature)
                ? {
                    label,
                    value: <b>{also(point.temperature, 'temperature', 'degC')}</b>,
                    note: also(point.temperature, 'temperature', 'degF'),
                  }
                : {
                    label,
                    value: <b>{pressureWords(point.gaugePressure)} gauge</b>,
                    note: `${pressureWords(point.absolutePressure)} absolute`,
                  }
            }),
          )}
          <p class="hint">{String(answer.source ?? '')}</p>
        </>
      )
  }
}

const pressureWords = (value: unknown): string =>
  isQuantity(value)
    ? `${formatQuantity(fromSi('pressure', value.value, 'MPa'), 'MPa')} (${formatQuantity(fromSi('pressure', value.value, 'psi'), 'psi')})`
    : 'not known'

const VERDICTS: Record<string, string> = {
  holds: 'Holds.',
  falls: 'Falls.',
  'cannot-tell': 'Cannot tell.',
  void: 'Void.',
  tight: 'Tight.',
  moisture: 'Moisture, or gas leaving the oil.',
  leak: 'Leak.',
}

function Verdict({ answer }: { answer: Record<string, unknown> }): JSX.Element {
  const reasons = (answer.reasons ?? []) as { code: string; text: string }[]
  return (
    <>
      <p class="why">
        <b>{VERDICTS[String(answer.verdict)] ?? String(answer.verdict)}</b>
      </p>
      {reasons.length === 0 ? null : (
        <ul>
          {reasons.map((reason) => (
            <li key={reason.code}>{reason.text}</li>
          ))}
        </ul>
      )}
    </>
  )
}
