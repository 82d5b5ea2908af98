// What comes along from an earlier system, and what has to be said anew?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { InstrumentKind } from '../../server/vocabulary.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { Facts } from '../parts/facts.tsx'
import { type FormState, OtherErrors, QuantityField, SelectField, TextField } from '../parts/field.tsx'
import { ELEVATION_UNITS } from '../section-tests/unit-options.ts'

export interface ChooseSetUpProps {
  shell: Shell
  jobId: string
  q: string
  systems: readonly {
    systemId: string
    name: string
    refrigerant: string
    address: string
    lineSets: number
  }[]
}

export function ChooseSetUpPage({ shell, jobId, q, systems }: ChooseSetUpProps): JSX.Element {
  const path = `/jobs/${jobId}/systems/copy`
  return (
    <Layout {...shell} title="Set up as an earlier system" width="narrow">
      <h1>Set up as an earlier system</h1>
      <p class="why">
        Its equipment sheet, the sizes and layout of its line sets and its tools come along. What was measured
        or answered there stays there. You see everything before you take it.
      </p>
      <form method="get" action={path} class="look-through">
        <TextField
          name="q"
          label="Customer, address or town"
          type="search"
          value={q}
          maxlength={120}
          autocomplete="off"
        />
        <button type="submit">Look</button>
      </form>
      {systems.length === 0 ? (
        <Empty title={q === '' ? 'No earlier system yet' : 'None found'}>
          <a href={`/jobs/${jobId}/systems/new`}>Enter the system</a> from its plate and its manual.
        </Empty>
      ) : (
        <ul class="rows">
          {systems.map((system) => (
            <li key={system.systemId}>
              <a class="row" href={`${path}?from=${system.systemId}`}>
                <b>{system.name}</b>
                <span>
                  {system.address} · {system.refrigerant} · {system.lineSets} line{' '}
                  {system.lineSets === 1 ? 'set' : 'sets'}
                </span>
              </a>
            </li>
          ))}
        </ul>
      )}
    </Layout>
  )
}

export interface CopySetUpProps {
  shell: Shell
  jobId: string
  /** Where the new one is, in one line. */
  site: string
  freshId: string
  earlier: { id: string; name: string; address: string; refrigerant: string }
  sheet: { id: string; name: string } | null
  outdoorModel: string | null
  branches: readonly { id: string; name: string; model: string }[]
  lineSets: readonly {
    id: string
    freshId: string
    name: string
    words: string
    indoorModel: string | null
  }[]
  tools: readonly { id: string; kind: InstrumentKind; name: string; serial: string; confirmed: boolean }[]
  form?: FormState | undefined
}

export function CopySetUpPage(props: CopySetUpProps): JSX.Element {
  const { form, earlier, sheet, outdoorModel } = props
  const lines = props.lineSets.flatMap((_, index) =>
    ['fromLineSetId', 'name', 'length', 'tubing', 'indoorSerial'].map((name) => `lineSets.${index}.${name}`),
  )
  const branches = props.branches.map((_, index) => `branchUnits.${index}.serial`)
  return (
    <Layout {...props.shell} title={`Set up as ${earlier.name}`} width="narrow">
      <h1>Set up as {earlier.name}</h1>
      <p class="lead">
        For {props.site}. As <a href={`/systems/${earlier.id}`}>{earlier.name}</a> at {earlier.address}.
      </p>
      <Facts
        facts={[
          { label: 'Refrigerant', value: earlier.refrigerant },
          {
            label: 'Equipment sheet',
            value:
              sheet === null ? (
                <span class="soft">none: built-in figures are used</span>
              ) : (
                <a href={`/equipment-sheets/${sheet.id}`}>{sheet.name}</a>
              ),
          },
          { label: 'Outdoor model', value: outdoorModel ?? <span class="soft">not entered there</span> },
        ]}
      />
      <form method="post" action={`/jobs/${props.jobId}/systems/copy`}>
        <input type="hidden" name="id" value={props.freshId} />
        <input type="hidden" name="fromSystemId" value={earlier.id} />
        <OtherErrors form={form} fields={['name', 'outdoorSerial', ...lines, ...branches]} />
        <TextField
          name="name"
          label="Name here"
          required
          maxlength={120}
          autocomplete="off"
          autofocus
          form={form}
        />
        {outdoorModel === null ? null : (
          <TextField
            name="outdoorSerial"
            label={`Serial of the outdoor unit ${outdoorModel}`}
            hint="Left out, the unit is entered later: another model may stand here."
            required={false}
            maxlength={120}
            autocomplete="off"
            form={form}
          />
        )}
        {props.branches.map((unit, index) => (
          <div key={unit.id}>
            <input type="hidden" name={`branchUnits.${index}.fromUnitId`} value={unit.id} />
            <TextField
              name={`branchUnits.${index}.serial`}
              label={`Serial of the branch unit ${unit.name}, ${unit.model}`}
              required={false}
              maxlength={120}
              autocomplete="off"
              form={form}
            />
          </div>
        ))}
        {props.lineSets.map((line, index) => (
          <fieldset key={line.id} class="sheet">
            <legend class="vh">Line set {line.name}</legend>
            <h2>{line.name}</h2>
            <p class="why">{line.words}</p>
            <input
              type="hidden"
              name={`lineSets.${index}.id`}
              value={form?.values[`lineSets.${index}.id`] ?? line.freshId}
            />
            <input type="hidden" name={`lineSets.${index}.fromLineSetId`} value={line.id} />
            <TextField
              name={`lineSets.${index}.name`}
              label="Room or zone"
              required
              maxlength={120}
              autocomplete="off"
              value={line.name}
              form={form}
            />
            <QuantityField
              name={`lineSets.${index}.length`}
              label="Length here, one way"
              hint="Left empty, this line set is not laid here."
              quantity="length"
              units={ELEVATION_UNITS}
              unit="m"
              form={form}
            />
            <SelectField
              name={`lineSets.${index}.tubing`}
              label="Tubing"
              beside
              options={[
                { value: 'new', label: 'new' },
                { value: 'reused', label: 'reused' },
              ]}
              value="new"
              form={form}
            />
            {line.indoorModel === null ? null : (
              <TextField
                name={`lineSets.${index}.indoorSerial`}
                label={`Serial of the indoor unit ${line.indoorModel}`}
                required={false}
                maxlength={120}
                autocomplete="off"
                form={form}
              />
            )}
          </fieldset>
        ))}
        {props.tools.length === 0 ? null : (
          <fieldset class="field">
            <legend>Tools that come along</legend>
            <p class="hint">They stand first on this job. Unmark what stays at home.</p>
            <div class="choices">
              {props.tools.map((tool) => (
                <label class="choice" key={tool.id}>
                  <input
                    type="checkbox"
                    name={`_tool.${tool.id}`}
                    value="yes"
                    checked={form === undefined || form.values[`_tool.${tool.id}`] === 'yes'}
                  />
                  <span>
                    {tool.name} <span class="soft">({tool.serial})</span>
                    {tool.confirmed ? '' : ', not confirmed'}
                  </span>
                </label>
              ))}
            </div>
          </fieldset>
        )}
        <div class="actions">
          <Button>Set it up so</Button>
          <a class="button other" href={`/jobs/${props.jobId}/systems/copy`}>
            Another one
          </a>
        </div>
      </form>
    </Layout>
  )
}
