// What comes out of these figures, without a record of them?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Caution } from '../parts/caution.tsx'
import { Curve, type CurveProps } from '../parts/curve.tsx'
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
import { JudgedNumber, type JudgedNumberProps } from '../parts/judged-number.tsx'
import { type FindingOutcome, OutcomeMark } from '../parts/mark.tsx'
import { Worked, type WorkedProps } from '../parts/worked.tsx'
import { MomentField } from '../section-tests/set-up-fields.tsx'
import { AdapterSketch, type AdapterSketchProps } from './adapter-sketch.tsx'
import { type Calculator, type CalculatorField, theCalculators, theGroups } from './fields.ts'

/** An answer in words, and how it came about. */
export interface Explained {
  verdict?: { words: string; outcome: FindingOutcome; reasons: readonly string[] } | undefined
  facts: readonly {
    label: string
    value: string
    note?: string | undefined
    /** What was asked for. */
    main?: boolean | undefined
  }[]
  judged?: readonly JudgedNumberProps[] | undefined
  table?: { caption: string; columns: readonly string[]; rows: readonly (readonly string[])[] } | undefined
  plots?: readonly CurveProps[] | undefined
  adapter?: AdapterSketchProps | undefined
  worked: WorkedProps
}

export function CalculatorsPage(props: { shell: Shell }): JSX.Element {
  return (
    <Layout {...props.shell} title={say.calculators.calculators} width="narrow">
      <h1>{say.calculators.calculators}</h1>
      <p class="lead">{say.calculators.nothingYouEnterHere}</p>
      {theGroups().map((group) => (
        <section key={group.title} class="sheet">
          <h2>{group.title}</h2>
          <dl class="facts">
            {group.paths.map((path) => (
              <div key={path}>
                <dt>
                  <a href={`/calculators/${path}`}>{theCalculators()[path].title}</a>
                </dt>
                <dd>{theCalculators()[path].lead}</dd>
              </div>
            ))}
          </dl>
        </section>
      ))}
      <p>
        <a href="/methods">{say.calculators.whatEachMethodAssumes}</a>
      </p>
    </Layout>
  )
}

export interface CalculatorPageProps {
  shell: Shell
  path: string
  calculator: Calculator
  form: FormState
  answer: Explained | null
  /** The address of this page with the figures in it. */
  link?: string | undefined
  refused?: string | undefined
}

export function CalculatorPage(props: CalculatorPageProps): JSX.Element {
  const { calculator, path, form, answer, link } = props
  return (
    <Layout
      {...props.shell}
      title={calculator.title}
      width="narrow"
      flash={props.refused === undefined ? undefined : <Flash kind="refused">{props.refused}</Flash>}
    >
      <h1>{calculator.title}</h1>
      <p class="lead">{calculator.lead}</p>
      {answer === null ? null : <Answer answer={answer} link={link} />}
      <section class="sheet" aria-label={say.calculators.figures}>
        <form method="get" action={`/calculators/${path}#answer`}>
          <OtherErrors
            form={props.refused === undefined ? form : { ...form, errors: [] }}
            fields={calculator.fields.map(nameOf)}
          />
          {calculator.fields.map((field) => (
            <Field key={field.name} field={field} form={form} />
          ))}
          <Button>{say.calculators.workItOut}</Button>
        </form>
      </section>
      {calculator.cautions.map((caution, index) => (
        <Caution key={caution.text} harm={caution.harm} comesFirst={index === calculator.cautions.length - 1}>
          {caution.text}
        </Caution>
      ))}
      {answer === null ? <p class="hint">{calculator.formula}</p> : null}
      <p>
        <a href="/calculators">{say.calculators.allCalculators}</a>
      </p>
    </Layout>
  )
}

function Answer(props: { answer: Explained; link?: string | undefined }): JSX.Element {
  const { verdict, facts, judged, table, plots, adapter, worked } = props.answer
  return (
    <>
      <section class="sheet" id="answer" aria-label={say.calculators.answer}>
        {verdict === undefined ? null : (
          <>
            <p class="why judged-words">
              <OutcomeMark outcome={verdict.outcome} /> <b>{verdict.words}</b>
            </p>
            {verdict.reasons.length === 0 ? null : (
              <ul>
                {verdict.reasons.map((reason) => (
                  <li key={reason}>{reason}</li>
                ))}
              </ul>
            )}
          </>
        )}
        {(judged ?? []).map((one) => (
          <JudgedNumber key={one.label} {...one} />
        ))}
        {facts.length === 0 ? null : (
          <Facts
            facts={facts.map((fact) => ({
              label: fact.label,
              value: fact.main === true ? <b class="main-figure">{fact.value}</b> : fact.value,
              note: fact.note,
            }))}
          />
        )}
        {table === undefined ? null : (
          <section class="table-scroll" tabindex={0} aria-label={table.caption}>
            <table>
              <thead>
                <tr>
                  {table.columns.map((column) => (
                    <th key={column} scope="col">
                      {column}
                    </th>
                  ))}
                </tr>
              </thead>
              <tbody>
                {table.rows.map((row) => (
                  <tr key={row.join(' ')}>
                    {row.map((cell, index) => (
                      <td key={table.columns[index] ?? index}>{cell}</td>
                    ))}
                  </tr>
                ))}
              </tbody>
            </table>
          </section>
        )}
        {adapter === undefined ? null : <AdapterSketch {...adapter} />}
        {(plots ?? []).map((plot) => (
          <Curve key={plot.id} {...plot} />
        ))}
        {props.link === undefined ? null : (
          <p>
            <a href={props.link}>{say.calculators.linkToThis}</a>{' '}
            <span class="soft">{say.calculators.withTheFiguresIn}</span>
          </p>
        )}
      </section>
      <section class="sheet" aria-labelledby="worked-title">
        <h2 id="worked-title">{say.calculators.howThisIsWorked}</h2>
        <Worked {...worked} />
      </section>
    </>
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
    case 'text':
      return (
        <TextField
          name={field.name}
          label={field.label}
          hint={field.hint}
          required={field.required}
          form={form}
        />
      )
    case 'decay-readings':
      return (
        <>
          <AreaField
            name={field.name}
            label={say.calculators.readingsAfterItWas}
            hint={say.calculators.oneALineThe}
            rows={field.rows}
            required
            form={form}
          />
          <SelectField
            name="readingsUnit"
            label={say.calculators.pressuresIn}
            options={field.units}
            value={field.unit}
            form={form}
            beside
          />
        </>
      )
  }
}
