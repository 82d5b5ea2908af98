// What is known of this callback: who called about what, what leaked and why, and what is still to do?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import {
  CALLBACK_OUTCOMES,
  CALLBACK_PARTS,
  type CallbackOutcome,
  type CallbackPart,
  LEAK_CAUSES,
  LEAK_CHECK_METHODS,
  LEAK_PLACES,
  type LeakCheckMethod,
  type LeakPlace,
} from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Facts, type FactsProps } from '../parts/facts.tsx'
import {
  ChoiceField,
  type FormState,
  type Option,
  OtherErrors,
  SelectField,
  TextField,
} from '../parts/field.tsx'
import { Tag } from '../parts/tag.tsx'
import { When } from '../parts/when.tsx'
import { type JobLine, JobLines } from '../sites/show.tsx'
import { LookFirst, type LookFirstView } from './look-first.tsx'
import type { CalledSystemView } from './new.tsx'
import { Warranty, type WarrantyProps } from './warranty.tsx'
import { type LeakedView, WhatLeaked } from './what-leaked.tsx'
import {
  causeWords,
  claimWords,
  foundByWords,
  optionsOf,
  outcomeWords,
  partWords,
  placeWords,
  responsibilityWords,
  theCauseWords,
} from './words.ts'
import { type DoneView, type TypedQuantity, WorkForm } from './work-form.tsx'

export interface FindingView {
  id: string
  part: CallbackPart
  joint: { id: string; tag: string; where: string } | null
  place: LeakPlace | null
  method: LeakCheckMethod
  cause: string
  size: string | null
  recordedAt: number
}

export interface CallbackPageProps {
  shell: Shell
  callback: {
    id: string
    reportedAt: number
    symptom: string
    outcome: CallbackOutcome
    closedAt: number | null
    reportedBy: string | null
  } & DoneView
  warranty: Omit<WarrantyProps, 'form'>
  /** The joints of its system, those to look at first before the others; null once it is closed. */
  lookFirst: readonly LookFirstView[] | null
  /** A part that was replaced is a whole unit: its old serial stands on one that is still in the system. */
  replacedUnits: readonly { id: string; name: string; oldSerial: string; newSerial: string }[]
  system: CalledSystemView & { siteId: string }
  findings: readonly FindingView[]
  /** Those of the system that are not retired. */
  joints: readonly Option[]
  repairs: readonly JobLine[]
  /** The id of the job that one form would open, and a key for each form that makes nothing with an id. */
  fresh: { job: string; finding: string; work: string; closing: string }
  mayHandle: boolean
  mayOpenJob: boolean
  /** Who may be sent. */
  crew: readonly Option[]
  leaked: readonly LeakedView[]
  maySetUp: boolean
  form?: FormState | undefined
}

export function CallbackPage(props: CallbackPageProps): JSX.Element {
  const { callback, system, mayHandle } = props
  const open = callback.closedAt === null
  return (
    <Layout {...props.shell} title={say.callbacks.callback(system.customerName)}>
      <h1>{say.callbacks.callback(system.customerName)}</h1>
      <p class="lead">
        <a href={`/systems/${system.id}`}>
          {system.name} ({system.tagPrefix})
        </a>
        , {system.address}
      </p>
      <Warranty {...props.warranty} form={props.form} />
      <Facts
        facts={[
          { label: say.callbacks.whatIsSaid, value: callback.symptom },
          ...(callback.reportedBy === null
            ? []
            : [{ label: say.callbacks.whoSaysSo, value: callback.reportedBy }]),
          { label: say.callbacks.reported, value: <When at={callback.reportedAt} /> },
          {
            label: say.callbacks.howItStands,
            value: (
              <>
                {open ? say.callbacks.open2 : say.callbacks.closed2}: {outcomeWords()[callback.outcome]}
                {callback.closedAt === null ? null : (
                  <>
                    , <When at={callback.closedAt} show="day" />
                  </>
                )}
              </>
            ),
          },
          ...(open && mayHandle ? [] : doneFacts(callback)),
        ]}
      />

      {props.replacedUnits.map((unit) => (
        <p class="why" key={unit.id}>
          {say.callbacks.aWholeUnit(unit.oldSerial, unit.name, unit.newSerial)}{' '}
          {props.maySetUp ? (
            <a href={`/systems/${system.id}/units/new?replaces=${unit.id}`}>
              {say.callbacks.recordTheUnit(unit.name)}
            </a>
          ) : (
            say.callbacks.whoRecordsTheUnit
          )}
        </p>
      ))}

      {mayHandle ? (
        <p class="actions">
          <a class="button other" href={`/systems/${system.id}/claim-packet`}>
            {say.claims.packet}
          </a>
          {open || !props.findings.some(({ joint }) => joint !== null) ? null : (
            <a class="button other" href={`/reliability/at-risk?callbackId=${callback.id}`}>
              {say.atRisk.jobsFor}
            </a>
          )}
        </p>
      ) : null}

      {props.lookFirst === null ? null : <LookFirst joints={props.lookFirst} />}

      <section class="sheet" aria-labelledby="found">
        <h2 id="found">{say.callbacks.whatWasFound}</h2>
        {props.findings.length === 0 ? (
          <p class="soft">{say.callbacks.nothingIsOnRecord}</p>
        ) : (
          <Findings findings={props.findings} />
        )}
        {open && mayHandle ? <FindingForm {...props} /> : null}
      </section>

      <WhatLeaked leaked={props.leaked} />

      <section class="sheet" aria-labelledby="repair">
        <h2 id="repair">{say.callbacks.repair}</h2>
        {props.repairs.length === 0 ? (
          <p class="soft">{say.callbacks.noJobYet}</p>
        ) : (
          <JobLines jobs={props.repairs} />
        )}
        {open && props.repairs.length === 0 ? <RepairForm {...props} /> : null}
      </section>

      {open && mayHandle ? (
        <section class="sheet" aria-labelledby="work">
          <h2 id="work">{say.callbacks.workAndClaim}</h2>
          <WorkForm
            action={`/callbacks/${callback.id}`}
            freshKey={props.fresh.work}
            done={callback}
            form={props.form}
          />
        </section>
      ) : null}

      {open && mayHandle ? (
        <section class="sheet" aria-labelledby="close">
          <h2 id="close">{say.callbacks.closeIt}</h2>
          <CloseForm {...props} />
        </section>
      ) : null}
    </Layout>
  )
}

/** While it is open they stand in their form. */
function doneFacts(callback: DoneView): FactsProps['facts'] {
  const said = (quantity: TypedQuantity | null) =>
    quantity === null ? (
      <span class="soft">{say.callbacks.notSaid}</span>
    ) : (
      `${quantity.value} ${quantity.unit}`
    )
  return [
    {
      label: say.callbacks.putDownTo,
      value:
        callback.responsibility === null ? (
          <span class="soft">{say.callbacks.notSaid}</span>
        ) : (
          responsibilityWords()[callback.responsibility]
        ),
    },
    { label: say.callbacks.refrigerantRecovered, value: said(callback.recovered) },
    { label: say.callbacks.refrigerantAdded, value: said(callback.added) },
    { label: say.callbacks.labour, value: said(callback.labour) },
    ...callback.parts.map((one) => ({
      label: say.callbacks.replaced(one.part),
      value: [
        one.oldSerial && say.callbacks.old(one.oldSerial),
        one.newSerial && say.callbacks.newWord(one.newSerial),
      ]
        .filter(Boolean)
        .join(', '),
    })),
    ...(callback.claim === null
      ? []
      : [
          {
            label: say.callbacks.claimOnTheMaker,
            value: <Claim claim={callback.claim} />,
          },
        ]),
  ]
}

function Claim({ claim }: { claim: NonNullable<DoneView['claim']> }): JSX.Element {
  const { maker, number, status, dueAt, sentAt, amount } = claim
  return (
    <>
      {maker} {number ?? say.callbacks.noNumberYet}: {claimWords()[status]}
      {amount === null ? null : `, ${amount}`}
      {sentAt === null ? null : <> {say.callbacks.sentOn(<When at={sentAt} show="day" />)}</>}
      {dueAt === null ? null : <> {say.callbacks.dueOn(<When at={dueAt} show="day" />)}</>}
    </>
  )
}

function Findings({ findings }: Pick<CallbackPageProps, 'findings'>): JSX.Element {
  return (
    <table class="stack">
      <thead>
        <tr>
          <th scope="col">{say.callbacks.what}</th>
          <th scope="col">{say.callbacks.where}</th>
          <th scope="col">{say.callbacks.foundBy}</th>
          <th scope="col">{say.callbacks.cause}</th>
          <th scope="col">{say.callbacks.size}</th>
        </tr>
      </thead>
      <tbody>
        {findings.map((finding) => (
          <tr key={finding.id}>
            <td>
              {partWords()[finding.part]}
              {finding.joint === null ? null : (
                <>
                  {' '}
                  <Tag tag={finding.joint.tag} href={`/joints/${finding.joint.id}`} />
                </>
              )}
            </td>
            <td>
              {[finding.joint?.where, finding.place && placeWords()[finding.place]]
                .filter(Boolean)
                .join(', ')}
              {finding.part === 'joint' && finding.joint === null ? (
                <span class="soft"> {say.callbacks.sayWhichJoint}</span>
              ) : null}
            </td>
            <td data-label={say.callbacks.foundBy}>{foundByWords()[finding.method]}</td>
            <td data-label={say.callbacks.cause}>{causeWords(finding.cause)}</td>
            <td data-label={say.callbacks.size}>
              {finding.size ?? <span class="soft">{say.callbacks.notSaid}</span>}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

const FINDING_FIELDS = ['part', 'jointId', 'where', 'method', 'cause', 'size'].map((name) => `found.${name}`)

/** One finding at a time; a program may send several. */
function FindingForm({ callback, joints, fresh, form }: CallbackPageProps): JSX.Element {
  const own = form?.values._form === 'finding' ? form : undefined
  return (
    <details open={own !== undefined}>
      <summary>{say.callbacks.addWhatWasFound}</summary>
      <form method="post" action={`/callbacks/${callback.id}`}>
        <input type="hidden" name="_form" value="finding" />
        <input type="hidden" name="_key" value={fresh.finding} />
        <OtherErrors form={own} fields={FINDING_FIELDS} />
        <SelectField
          name="found.part"
          label={say.callbacks.whatLeaked}
          beside
          options={optionsOf(CALLBACK_PARTS, partWords())}
          form={own}
        />
        <SelectField
          name="found.jointId"
          label={say.callbacks.whichJoint}
          beside
          choose={say.callbacks.noneOfThese}
          options={joints}
          form={own}
        />
        <SelectField
          name="found.where"
          label={say.callbacks.whereOnIt}
          beside
          choose={say.callbacks.notSaid}
          options={optionsOf(LEAK_PLACES, placeWords())}
          form={own}
        />
        <SelectField
          name="found.method"
          label={say.callbacks.foundBy}
          beside
          options={optionsOf(LEAK_CHECK_METHODS, foundByWords())}
          form={own}
        />
        <SelectField
          name="found.cause"
          label={say.callbacks.cause}
          beside
          options={optionsOf(LEAK_CAUSES, theCauseWords())}
          value="unknown"
          form={own}
        />
        <TextField
          name="found.otherCause"
          label={say.callbacks.anotherCauseInWords}
          required={false}
          maxlength={200}
          autocomplete="off"
          form={own}
        />
        <TextField
          name="found.size"
          label={say.callbacks.howLarge}
          hint={say.callbacks.asItWasMeasured}
          required={false}
          maxlength={80}
          autocomplete="off"
          form={own}
        />
        <Button>{say.callbacks.addTheFinding}</Button>
      </form>
    </details>
  )
}

function RepairForm(props: CallbackPageProps): JSX.Element {
  const { callback, system, fresh, crew, form } = props
  if (props.mayHandle)
    return (
      <form method="post" action={`/callbacks/${callback.id}/repair`}>
        <input type="hidden" name="_form" value="repair" />
        <input type="hidden" name="id" value={fresh.job} />
        <OtherErrors form={form?.values._form === 'repair' ? form : undefined} fields={['assignedTo']} />
        <SelectField
          name="assignedTo"
          label={say.callbacks.whoGoes}
          beside
          choose={say.callbacks.nobodyYet}
          options={crew}
          form={form?.values._form === 'repair' ? form : undefined}
        />
        <p class="hint">{say.callbacks.whatIsAskedOfIt}</p>
        <Button kind="other">{say.callbacks.openARepairJob}</Button>
      </form>
    )
  if (!props.mayOpenJob) return <p>{say.callbacks.aTechnicianOrThe}</p>
  return (
    <form method="post" action="/jobs">
      <input type="hidden" name="id" value={fresh.job} />
      <input type="hidden" name="siteId" value={system.siteId} />
      <input type="hidden" name="kind" value="repair" />
      <input type="hidden" name="callbackId" value={callback.id} />
      <input type="hidden" name={`_system.${system.id}`} value="yes" />
      <Button kind="other">{say.callbacks.openARepairJob}</Button>
    </form>
  )
}

function CloseForm({ callback, form, fresh, findings }: CallbackPageProps): JSX.Element {
  const own = form?.values._form === 'close' ? form : undefined
  return (
    <form method="post" action={`/callbacks/${callback.id}/close`}>
      <input type="hidden" name="_form" value="close" />
      <input type="hidden" name="_key" value={fresh.closing} />
      <OtherErrors form={own} fields={['outcome']} />
      <ChoiceField
        name="outcome"
        label={say.callbacks.outcome}
        required
        options={optionsOf(CALLBACK_OUTCOMES, outcomeWords())}
        value={findings.length > 0 ? 'found' : undefined}
        form={own}
      />
      <Button>{say.callbacks.closeTheCallback}</Button>
    </form>
  )
}
