// What would come of each row of this table, and shall it be brought in?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { formatNumber } from '../../server/trade/units.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { AreaField, FileField, type FormState, OtherErrors, SelectField } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'

export type ImportKind = 'sites' | 'instruments' | 'equipment-sheets'

export interface ImportPreview {
  sha256: string
  columns: readonly { number: number; heading: string; example: string }[]
  chosen: Readonly<Record<string, number>>
  decimal: string
  dateOrder: string
  rows: readonly {
    line: number
    state: 'new' | 'there' | 'wrong'
    cells: readonly string[]
    errors: readonly { field: string; column: number; message: string }[]
  }[]
  lacking: readonly string[]
}

export interface ImportPageProps {
  shell: Shell
  kind: ImportKind
  fields: readonly { code: string; required: boolean }[]
  preview: ImportPreview | null
  /** Of the table that was just brought in. */
  added: number | null
  form: FormState
  refused?: string | undefined
}

const page = (kind: ImportKind) => `/imports/${kind}`
const nameOf = (code: string) => say.moving.fields[code as keyof typeof say.moving.fields] ?? code

export function ImportPage(props: ImportPageProps): JSX.Element {
  const { kind, preview, added } = props
  const flash =
    props.refused !== undefined ? (
      <Flash kind="refused">{props.refused}</Flash>
    ) : added === null ? undefined : (
      <Flash kind="done" lead={say.moving.broughtIn}>
        {say.moving.rowsAdded(added)}
      </Flash>
    )
  return (
    <Layout {...props.shell} title={say.moving.imports[kind].title} flash={flash}>
      <h1>{say.moving.imports[kind].title}</h1>
      <p class="lead">
        {say.moving.imports[kind].adds} <a href="/moving-data">{say.moving.dataInAndOut}</a>
      </p>
      {preview === null ? <Choose {...props} /> : <Preview {...props} preview={preview} />}
    </Layout>
  )
}

function Choose(props: ImportPageProps): JSX.Element {
  const { kind, form } = props
  const wasPasted = (form.values.text ?? '') !== ''
  return (
    <div class="two">
      <section class="sheet">
        <p class="why">{say.moving.seenFirst}</p>
        {wasPasted ? null : <OtherErrors form={form} fields={['table']} />}
        {/* The browser itself sends it: a boosted form would leave the file behind. */}
        <form method="post" action={page(kind)} encType="multipart/form-data" hx-boost="false">
          <input type="hidden" name="dryRun?" value="yes" />
          <FileField
            name="table"
            label={say.moving.tablesFile}
            hint={say.moving.tablesFileHint}
            accept=".csv,.txt,.tsv,text/csv,text/plain,text/tab-separated-values"
            form={form}
            required
          />
          <Button>{say.moving.readTheFile}</Button>
        </form>
        <details open={wasPasted}>
          <summary>
            <span>{say.moving.pasteInstead}</span>
          </summary>
          <form method="post" action={page(kind)}>
            {wasPasted ? <OtherErrors form={form} fields={['text']} /> : null}
            <input type="hidden" name="dryRun?" value="yes" />
            <AreaField
              name="text"
              label={say.moving.theRows}
              hint={say.moving.theRowsHint}
              rows={8}
              form={form}
              required
            />
            <Button kind="other">{say.moving.readWhatIsPasted}</Button>
          </form>
        </details>
      </section>
      <section class="sheet" aria-labelledby="understood">
        <h2 id="understood">{say.moving.columnsUnderstood}</h2>
        <p class="why">{say.moving.columnsUnderstoodWhy}</p>
        <ul>
          {props.fields.map(({ code, required }) => (
            <li key={code}>
              {nameOf(code)}
              {required ? <span class="soft"> {say.moving.needed}</span> : null}
            </li>
          ))}
        </ul>
      </section>
    </div>
  )
}

/** More than these tell nothing new. */
const SHOWN = { wrong: 100, new: 20, there: 5 }

type Shown = ImportPageProps & { preview: ImportPreview }

function Preview(props: Shown): JSX.Element {
  const { preview, kind } = props
  const of = (state: 'new' | 'there' | 'wrong') => preview.rows.filter((row) => row.state === state)
  const [fresh, there, wrong] = [of('new'), of('there'), of('wrong')]
  const mayAdd = wrong.length === 0 && preview.lacking.length === 0 && fresh.length > 0
  return (
    <>
      <section class="sheet">
        <h2 data-goes-on>{say.moving.asItIsRead}</h2>
        <p>
          <b>{say.moving.rowsWouldBeAdded(fresh.length, preview.rows.length)}</b>{' '}
          {there.length === 0 ? null : say.moving.rowsAreThere(there.length)}
        </p>
        {preview.lacking.length === 0 ? null : (
          <p class="message" role="alert">
            {say.moving.lacksColumns(preview.lacking.map(nameOf).join(', '))}
          </p>
        )}
        {wrong.length === 0 ? null : (
          <p class="message" role="alert">
            {say.moving.rowsAreWrong(wrong.length)}
          </p>
        )}
        <Rows
          preview={preview}
          rows={[
            ...wrong.slice(0, SHOWN.wrong),
            ...fresh.slice(0, SHOWN.new),
            ...there.slice(0, SHOWN.there),
          ]}
        />
      </section>
      {mayAdd ? (
        <section class="sheet">
          <form method="post" action={page(kind)}>
            <input type="hidden" name="table" value={preview.sha256} />
            <input type="hidden" name="dryRun?" value="no" />
            <input type="hidden" name="decimal" value={preview.decimal} />
            <input type="hidden" name="dateOrder" value={preview.dateOrder} />
            {props.fields.map(({ code }) => (
              <input
                key={code}
                type="hidden"
                name={`columns.${code}`}
                value={String(preview.chosen[code] ?? 0)}
              />
            ))}
            <Button>{say.moving.addThese(fresh.length)}</Button>
            <p class="while-sent" role="status">
              {say.moving.beingAdded(fresh.length)}
            </p>
          </form>
          <p class="hint">{say.moving.allOrNone}</p>
        </section>
      ) : null}
      <How {...props} />
      <p>
        <a href={page(kind)}>{say.moving.chooseAnother}</a>
      </p>
    </>
  )
}

const stateWords = () => ({
  new: say.moving.isNew,
  there: say.moving.isThere,
  wrong: say.moving.isWrong,
})

function Rows({
  preview,
  rows,
}: {
  preview: ImportPreview
  rows: ImportPreview['rows']
}): JSX.Element | null {
  if (rows.length === 0) return null
  const columns = preview.columns.filter(({ number }) => Object.values(preview.chosen).includes(number))
  const words = stateWords()
  return (
    <section class="table-scroll" tabindex={0} aria-label={say.moving.theRows}>
      <table>
        <thead>
          <tr>
            <th scope="col">{say.moving.row}</th>
            <th scope="col">{say.moving.whatComesOfIt}</th>
            {columns.map(({ number, heading }) => (
              <th scope="col" key={number}>
                {heading}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.line}>
              <th scope="row">{formatNumber(row.line)}</th>
              <td>
                {words[row.state]}
                {row.errors.length === 0 ? null : (
                  <ul class="row-faults">
                    {row.errors.map(({ field, message }) => (
                      <li key={`${field} ${message}`}>
                        <b>{nameOf(field)}:</b> {message}
                      </li>
                    ))}
                  </ul>
                )}
              </td>
              {columns.map(({ number }) => (
                <td
                  key={number}
                  class={row.errors.some(({ column }) => column === number) ? 'cell-wrong' : undefined}
                >
                  {row.cells[number - 1]}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

function How(props: Shown): JSX.Element {
  const { preview, kind } = props
  const form: FormState = {
    values: {
      decimal: preview.decimal,
      dateOrder: preview.dateOrder,
      ...Object.fromEntries(
        props.fields.map(({ code }) => [`columns.${code}`, String(preview.chosen[code] ?? 0)]),
      ),
    },
    errors: props.form.errors.filter(({ path }) => !path.startsWith('rows.')),
    scope: 'how',
  }
  const columns = [
    { value: '0', label: say.moving.noColumn },
    ...preview.columns.map(({ number, heading, example }) => ({
      value: String(number),
      label: `${number}: ${[heading, example]
        .filter((text) => text !== '')
        .join(' · ')
        .slice(0, 48)}`,
    })),
  ]
  return (
    <section class="sheet">
      <details open={preview.lacking.length > 0}>
        <summary>
          <span>{say.moving.howItIsRead}</span>
        </summary>
        <OtherErrors form={form} fields={Object.keys(form.values)} />
        <form method="get" action={page(kind)} data-reread>
          <input type="hidden" name="table" value={preview.sha256} />
          {props.fields.map(({ code, required }) => (
            <SelectField
              key={code}
              name={`columns.${code}`}
              label={required ? `${nameOf(code)} (${say.moving.needed})` : nameOf(code)}
              options={columns}
              form={form}
            />
          ))}
          <SelectField
            name="decimal"
            label={say.moving.decimalMark}
            options={[
              { value: 'point', label: say.moving.aPoint },
              { value: 'comma', label: say.moving.aComma },
            ]}
            form={form}
          />
          <SelectField
            name="dateOrder"
            label={say.moving.daysAreWritten}
            options={[
              { value: 'day-first', label: say.moving.dayFirst },
              { value: 'month-first', label: say.moving.monthFirst },
              { value: 'year-first', label: say.moving.yearFirst },
            ]}
            form={form}
          />
          <Button kind="other">{say.moving.readItSo}</Button>
        </form>
      </details>
    </section>
  )
}
