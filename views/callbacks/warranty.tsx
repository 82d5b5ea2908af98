// In warranty? Registered? Claim by when? Answered from the record, with a place to enter what is not on it.

import type { JSX } from 'preact'
import type { WarrantyStanding } from '../../server/rules/warranty-standing.ts'
import { say } from '../../server/words/say.ts'
import { Button } from '../parts/button.tsx'
import { CheckField, type FormState, OtherErrors, TextField } from '../parts/field.tsx'
import { When } from '../parts/when.tsx'

export interface UnitAnswer {
  id: string
  name: string
  model: string
  serial: string
  installedAt: number
  standing: WarrantyStanding
}

export interface WarrantyProps {
  /** In service; the outdoor unit first. */
  units: readonly UnitAnswer[]
  /** For which day it is answered. */
  at: number
  /** Where the form comes back to: `system=…` or `callback=…`. */
  back: string
  mayState: boolean
  form?: FormState | undefined
}

export function Warranty({ units, at, back, mayState, form }: WarrantyProps): JSX.Element {
  return (
    <section class="sheet" aria-labelledby="warranty">
      <h2 id="warranty">{say.callbacks.warrantyOn(<When at={at} show="day" />)}</h2>
      {units.length === 0 ? <p class="soft">{say.callbacks.noUnitStands}</p> : null}
      {units.length === 0 ? null : (
        <table class="stack">
          <thead>
            <tr>
              <th scope="col">{say.callbacks.unit}</th>
              <th scope="col">{say.callbacks.inWarranty}</th>
              <th scope="col">{say.callbacks.registered}</th>
              <th scope="col">{say.callbacks.claimByWhen}</th>
            </tr>
          </thead>
          <tbody>
            {alike(units).map(([unit, ...others]) => (
              <tr key={unit.id}>
                <td>
                  {[unit, ...others].map((one) => (
                    <div key={one.id}>
                      {one.name}{' '}
                      <span class="soft">
                        {one.model}, {one.serial}
                      </span>
                    </div>
                  ))}
                </td>
                <td data-label={say.callbacks.inWarranty}>
                  <InWarranty {...unit} />
                </td>
                <td data-label={say.callbacks.registered}>
                  {unit.standing.registered ? say.callbacks.yes : say.callbacks.noRegistration}
                </td>
                <td data-label={say.callbacks.claimByWhen}>
                  <ClaimBy {...unit.standing} />
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {mayState && units.length > 0 ? (
        <details open={form?.values._form === 'warranty'}>
          <summary>{say.callbacks.enterWarranty}</summary>
          {units.map((unit) => (
            <StateForm key={unit.id} unit={unit} back={back} form={form} />
          ))}
        </details>
      ) : null}
    </section>
  )
}

/** Units of which the same is known stand together. */
function alike(units: readonly UnitAnswer[]): [UnitAnswer, ...UnitAnswer[]][] {
  const groups: [UnitAnswer, ...UnitAnswer[]][] = []
  const known = ({ standing, installedAt }: UnitAnswer) =>
    JSON.stringify({ ...standing, unitId: '', installed: dayIn(installedAt) })
  for (const unit of units) {
    const group = groups.find(([first]) => known(first) === known(unit))
    if (group) group.push(unit)
    else groups.push([unit])
  }
  return groups
}

function InWarranty({ standing, installedAt }: UnitAnswer): JSX.Element {
  const { state, startAt, endAt, daysLeft } = standing
  if (state === 'in' && endAt !== null)
    return <>{say.callbacks.inUntil(<When at={endAt} show="day" />, daysLeft ?? 0)}</>
  if (state === 'over' && endAt !== null)
    return <>{say.callbacks.overSince(<When at={endAt} show="day" />, -(daysLeft ?? 0))}</>
  if (state === 'not-begun' && startAt !== null)
    return <>{say.callbacks.notBegun(<When at={startAt} show="day" />)}</>
  if (state === 'end-not-recorded' && startAt !== null)
    return <>{say.callbacks.endNotRecorded(<When at={startAt} show="day" />)}</>
  return <>{say.callbacks.warrantyNotRecorded(<When at={installedAt} show="day" />)}</>
}

function ClaimBy({ claimBy, state }: WarrantyStanding): JSX.Element {
  if (claimBy === null)
    return <>{state === 'over' ? say.callbacks.claimOver : say.callbacks.claimNotRecorded}</>
  const day = <When at={claimBy.at} show="day" />
  return <>{claimBy.from === 'claim' ? say.callbacks.claimByClaim(day) : say.callbacks.claimByEnd(day)}</>
}

const dayIn = (at: number | null) => (at === null ? undefined : new Date(at).toISOString().slice(0, 10))

function StateForm({ unit, back, form }: { unit: UnitAnswer } & Pick<WarrantyProps, 'back' | 'form'>) {
  const isOwn = form?.values._form === 'warranty' && form.values._unit === unit.id
  const own: FormState = { values: {}, errors: [], ...(isOwn ? form : {}), scope: unit.id }
  return (
    <form method="post" action={`/units/${unit.id}/warranty?${back}`}>
      <h3>
        {unit.name} <span class="soft">{unit.serial}</span>
      </h3>
      <input type="hidden" name="_form" value="warranty" />
      <input type="hidden" name="_unit" value={unit.id} />
      <OtherErrors form={own} fields={['warrantyStart', 'warrantyEnd', 'registeredWithMaker']} />
      <TextField
        name="warrantyStart"
        label={say.callbacks.firstDay}
        type="date"
        required={false}
        value={dayIn(unit.standing.startAt)}
        form={own}
      />
      <TextField
        name="warrantyEnd"
        label={say.callbacks.lastDay}
        type="date"
        required={false}
        value={dayIn(unit.standing.endAt)}
        form={own}
      />
      <CheckField
        name="registeredWithMaker"
        label={say.callbacks.registeredWithMaker}
        value={unit.standing.registered ? 'true' : undefined}
        form={own}
      />
      <Button kind="other">{say.callbacks.keepWarranty}</Button>
    </form>
  )
}
