// What comes along from an earlier system, and what has to be said anew?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { InstrumentKind } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
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
    <Layout {...shell} title={say.systems.setUpAsAn} width="narrow">
      <h1>{say.systems.setUpAsAn}</h1>
      <p class="why">{say.systems.itsEquipmentSheetThe}</p>
      <form method="get" action={path} class="look-through">
        <TextField
          name="q"
          label={say.systems.customerAddressOrTown}
          type="search"
          value={q}
          maxlength={120}
          autocomplete="off"
        />
        <button type="submit">{say.systems.look}</button>
      </form>
      {systems.length === 0 ? (
        <Empty title={q === '' ? say.systems.noEarlierSystemYet : say.systems.noneFound}>
          {say.systems.fromItsPlateAnd(
            <a href={`/jobs/${jobId}/systems/new`}>{say.systems.enterTheSystem}</a>,
          )}
        </Empty>
      ) : (
        <ul class="rows">
          {systems.map((system) => (
            <li key={system.systemId}>
              <a class="row" href={`${path}?from=${system.systemId}`}>
                <b>{system.name}</b>
                <span>
                  {say.systems.line(
                    system.address,
                    system.refrigerant,
                    system.lineSets,
                    system.lineSets === 1 ? say.systems.set : say.systems.sets,
                  )}
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
    <Layout {...props.shell} title={say.systems.setUpAs(earlier.name)} width="narrow">
      <h1>{say.systems.setUpAs(earlier.name)}</h1>
      <p class="lead">
        {say.systems.forAsAt(
          props.site,
          <a href={`/systems/${earlier.id}`}>{earlier.name}</a>,
          earlier.address,
        )}
      </p>
      <Facts
        facts={[
          { label: say.systems.refrigerant, value: earlier.refrigerant },
          {
            label: say.systems.equipmentSheet,
            value:
              sheet === null ? (
                <span class="soft">{say.systems.noneBuiltInFigures}</span>
              ) : (
                <a href={`/equipment-sheets/${sheet.id}`}>{sheet.name}</a>
              ),
          },
          {
            label: say.systems.outdoorModel,
            value: outdoorModel ?? <span class="soft">{say.systems.notEnteredThere}</span>,
          },
        ]}
      />
      <form method="post" action={`/jobs/${props.jobId}/systems/copy`}>
        <input type="hidden" name="id" value={props.freshId} />
        <input type="hidden" name="fromSystemId" value={earlier.id} />
        <OtherErrors form={form} fields={['name', 'outdoorSerial', ...lines, ...branches]} />
        <TextField
          name="name"
          label={say.systems.nameHere}
          required
          maxlength={120}
          autocomplete="off"
          autofocus
          form={form}
        />
        {outdoorModel === null ? null : (
          <TextField
            name="outdoorSerial"
            label={say.systems.serialOfTheOutdoor(outdoorModel)}
            hint={say.systems.leftOutTheUnit}
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
              label={say.systems.serialOfTheBranch(unit.name, unit.model)}
              required={false}
              maxlength={120}
              autocomplete="off"
              form={form}
            />
          </div>
        ))}
        {props.lineSets.map((line, index) => (
          <fieldset key={line.id} class="sheet">
            <legend class="vh">{say.systems.lineSet(line.name)}</legend>
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
              label={say.systems.roomOrZone}
              required
              maxlength={120}
              autocomplete="off"
              value={line.name}
              form={form}
            />
            <QuantityField
              name={`lineSets.${index}.length`}
              label={say.systems.lengthHereOneWay}
              hint={say.systems.leftEmptyThisLine}
              quantity="length"
              units={ELEVATION_UNITS}
              unit="m"
              form={form}
            />
            <SelectField
              name={`lineSets.${index}.tubing`}
              label={say.systems.tubing}
              beside
              options={[
                { value: 'new', label: say.systems.newWord },
                { value: 'reused', label: say.systems.reused },
              ]}
              value="new"
              form={form}
            />
            {line.indoorModel === null ? null : (
              <TextField
                name={`lineSets.${index}.indoorSerial`}
                label={say.systems.serialOfTheIndoor(line.indoorModel)}
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
            <legend>{say.systems.toolsThatComeAlong}</legend>
            <p class="hint">{say.systems.theyStandFirstOn}</p>
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
                    {tool.confirmed ? '' : say.systems.notConfirmed}
                  </span>
                </label>
              ))}
            </div>
          </fieldset>
        )}
        <div class="actions">
          <Button>{say.systems.setItUpSo}</Button>
          <a class="button other" href={`/jobs/${props.jobId}/systems/copy`}>
            {say.systems.anotherOne}
          </a>
        </div>
      </form>
    </Layout>
  )
}
