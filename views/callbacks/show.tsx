// What is known of this callback: who called about what, what leaked and why, and what is still to do?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import {
  CALLBACK_OUTCOMES,
  CALLBACK_PARTS,
  type CallbackOutcome,
  type CallbackPart,
  CLAIM_STATUSES,
  type ClaimStatus,
  LEAK_CAUSES,
  LEAK_CHECK_METHODS,
  LEAK_PLACES,
  type LeakCheckMethod,
  type LeakPlace,
  RESPONSIBILITIES,
  type Responsibility,
} from '../../server/vocabulary.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Facts } from '../parts/facts.tsx'
import {
  ChoiceField,
  type FormState,
  type Option,
  OtherErrors,
  QuantityField,
  SelectField,
  TextField,
} from '../parts/field.tsx'
import { Tag } from '../parts/tag.tsx'
import { When } from '../parts/when.tsx'
import { MASS_UNITS, unitOptions } from '../section-tests/unit-options.ts'
import { type JobLine, JobLines } from '../sites/show.tsx'
import type { CalledSystemView } from './new.tsx'
import {
  CAUSE_WORDS,
  CLAIM_WORDS,
  causeWords,
  FOUND_BY_WORDS,
  OUTCOME_WORDS,
  PART_WORDS,
  PLACE_WORDS,
  RESPONSIBILITY_WORDS,
} from './words.ts'

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
    responsibility: Responsibility | null
    /** As they were typed. */
    recovered: TypedQuantity | null
    added: TypedQuantity | null
    labour: TypedQuantity | null
    parts: readonly { part: string; oldSerial: string | null; newSerial: string | null }[]
    claim: { maker: string; number: string; status: ClaimStatus; dueAt: number | null } | null
  }
  system: CalledSystemView & { siteId: string }
  findings: readonly FindingView[]
  /** Those of the system that are not retired. */
  joints: readonly Option[]
  repairs: readonly JobLine[]
  /** The id of the job that one form would open, and a key for each form that makes nothing with an id. */
  fresh: { job: string; finding: string; closing: string }
  mayHandle: boolean
  mayOpenJob: boolean
  form?: FormState | undefined
}

interface TypedQuantity {
  value: number
  unit: string
}

const LABOUR_UNITS = unitOptions('time', ['h', 'min'])
const optionsOf = <Word extends string>(words: readonly Word[], said: Record<Word, string>): Option[] =>
  words.map((value) => ({ value, label: said[value] }))

export function CallbackPage(props: CallbackPageProps): JSX.Element {
  const { callback, system, mayHandle } = props
  const open = callback.closedAt === null
  const said = (quantity: TypedQuantity | null) =>
    quantity === null ? <span class="soft">not said</span> : `${quantity.value} ${quantity.unit}`
  return (
    <Layout {...props.shell} title={`Callback, ${system.customerName}`}>
      <h1>Callback, {system.customerName}</h1>
      <p class="lead">
        <a href={`/systems/${system.id}`}>
          {system.name} ({system.tagPrefix})
        </a>
        , {system.address}
      </p>
      <Facts
        facts={[
          { label: 'What is said', value: callback.symptom },
          { label: 'Reported', value: <When at={callback.reportedAt} /> },
          {
            label: 'How it stands',
            value: (
              <>
                {open ? 'Open' : 'Closed'}: {OUTCOME_WORDS[callback.outcome]}
                {callback.closedAt === null ? null : (
                  <>
                    , <When at={callback.closedAt} show="day" />
                  </>
                )}
              </>
            ),
          },
          {
            label: 'Put down to',
            value:
              callback.responsibility === null ? (
                <span class="soft">not said</span>
              ) : (
                RESPONSIBILITY_WORDS[callback.responsibility]
              ),
          },
          { label: 'Refrigerant recovered', value: said(callback.recovered) },
          { label: 'Refrigerant added', value: said(callback.added) },
          { label: 'Labour', value: said(callback.labour) },
          ...callback.parts.map((one) => ({
            label: `Replaced: ${one.part}`,
            value: [one.oldSerial && `old ${one.oldSerial}`, one.newSerial && `new ${one.newSerial}`]
              .filter(Boolean)
              .join(', '),
          })),
          ...(callback.claim === null
            ? []
            : [
                {
                  label: 'Claim on the maker',
                  value: `${callback.claim.maker} ${callback.claim.number}: ${CLAIM_WORDS[callback.claim.status]}`,
                },
              ]),
        ]}
      />

      <section class="sheet" aria-labelledby="found">
        <h2 id="found">What was found</h2>
        {props.findings.length === 0 ? (
          <p class="soft">Nothing is on record yet.</p>
        ) : (
          <Findings findings={props.findings} />
        )}
        {open && mayHandle ? <FindingForm {...props} /> : null}
      </section>

      <section class="sheet" aria-labelledby="repair">
        <h2 id="repair">Repair</h2>
        {props.repairs.length === 0 ? <p class="soft">No job yet.</p> : <JobLines jobs={props.repairs} />}
        {open && props.repairs.length === 0 ? <RepairForm {...props} /> : null}
      </section>

      {open && mayHandle ? (
        <section class="sheet" aria-labelledby="close">
          <h2 id="close">Close it</h2>
          <CloseForm {...props} />
        </section>
      ) : null}
    </Layout>
  )
}

function Findings({ findings }: Pick<CallbackPageProps, 'findings'>): JSX.Element {
  return (
    <table class="stack">
      <thead>
        <tr>
          <th scope="col">What</th>
          <th scope="col">Where</th>
          <th scope="col">Found by</th>
          <th scope="col">Cause</th>
          <th scope="col">Size</th>
        </tr>
      </thead>
      <tbody>
        {findings.map((finding) => (
          <tr key={finding.id}>
            <td>
              {PART_WORDS[finding.part]}
              {finding.joint === null ? null : (
                <>
                  {' '}
                  <Tag tag={finding.joint.tag} href={`/joints/${finding.joint.id}`} />
                </>
              )}
            </td>
            <td>
              {[finding.joint?.where, finding.place && PLACE_WORDS[finding.place]].filter(Boolean).join(', ')}
            </td>
            <td data-label="Found by">{FOUND_BY_WORDS[finding.method]}</td>
            <td data-label="Cause">{causeWords(finding.cause)}</td>
            <td data-label="Size">{finding.size ?? <span class="soft">not said</span>}</td>
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
      <summary>Add what was found</summary>
      <form method="post" action={`/callbacks/${callback.id}`}>
        <input type="hidden" name="_form" value="finding" />
        <input type="hidden" name="_key" value={fresh.finding} />
        <OtherErrors form={own} fields={FINDING_FIELDS} />
        <SelectField
          name="found.part"
          label="What leaked"
          beside
          options={optionsOf(CALLBACK_PARTS, PART_WORDS)}
          form={own}
        />
        <SelectField
          name="found.jointId"
          label="Which joint"
          beside
          choose="none of these"
          options={joints}
          form={own}
        />
        <SelectField
          name="found.where"
          label="Where on it"
          beside
          choose="not said"
          options={optionsOf(LEAK_PLACES, PLACE_WORDS)}
          form={own}
        />
        <SelectField
          name="found.method"
          label="Found by"
          beside
          options={optionsOf(LEAK_CHECK_METHODS, FOUND_BY_WORDS)}
          form={own}
        />
        <SelectField
          name="found.cause"
          label="Cause"
          beside
          options={optionsOf(LEAK_CAUSES, CAUSE_WORDS)}
          value="unknown"
          form={own}
        />
        <TextField
          name="found.otherCause"
          label="Another cause, in words"
          required={false}
          maxlength={200}
          autocomplete="off"
          form={own}
        />
        <TextField
          name="found.size"
          label="How large"
          hint="As it was measured or seen."
          required={false}
          maxlength={80}
          autocomplete="off"
          form={own}
        />
        <Button>Add the finding</Button>
      </form>
    </details>
  )
}

function RepairForm({ callback, system, fresh, mayOpenJob }: CallbackPageProps): JSX.Element {
  if (!mayOpenJob)
    return <p>A technician or the service manager opens the repair job; it then stands here.</p>
  return (
    <form method="post" action="/jobs">
      <input type="hidden" name="id" value={fresh.job} />
      <input type="hidden" name="siteId" value={system.siteId} />
      <input type="hidden" name="kind" value="repair" />
      <input type="hidden" name="callbackId" value={callback.id} />
      <input type="hidden" name={`_system.${system.id}`} value="yes" />
      <Button kind="other">Open a repair job on this system</Button>
    </form>
  )
}

const CLOSE_FIELDS = [
  'outcome',
  'responsibility',
  'refrigerantRecovered',
  'refrigerantAdded',
  'labourTime',
  'claim.maker',
  'claim.number',
  'claim.status',
]

function CloseForm({ callback, form, fresh, findings }: CallbackPageProps): JSX.Element {
  const own = form?.values._form === 'close' ? form : undefined
  const quantity = (typed: TypedQuantity | null) => (typed === null ? undefined : String(typed.value))
  return (
    <form method="post" action={`/callbacks/${callback.id}/close`}>
      <input type="hidden" name="_form" value="close" />
      <input type="hidden" name="_key" value={fresh.closing} />
      <OtherErrors form={own} fields={CLOSE_FIELDS} />
      <ChoiceField
        name="outcome"
        label="Outcome"
        required
        options={optionsOf(CALLBACK_OUTCOMES, OUTCOME_WORDS)}
        value={findings.length > 0 ? 'found' : undefined}
        form={own}
      />
      <SelectField
        name="responsibility"
        label="Put down to"
        beside
        choose="not said"
        options={optionsOf(RESPONSIBILITIES, RESPONSIBILITY_WORDS)}
        value={callback.responsibility ?? undefined}
        form={own}
      />
      <QuantityField
        name="refrigerantRecovered"
        label="Refrigerant recovered"
        required={false}
        quantity="mass"
        units={MASS_UNITS}
        unit={callback.recovered?.unit ?? 'g'}
        value={quantity(callback.recovered)}
        form={own}
      />
      <QuantityField
        name="refrigerantAdded"
        label="Refrigerant added"
        required={false}
        quantity="mass"
        units={MASS_UNITS}
        unit={callback.added?.unit ?? 'g'}
        value={quantity(callback.added)}
        form={own}
      />
      <QuantityField
        name="labourTime"
        label="Labour"
        required={false}
        quantity="labour"
        units={LABOUR_UNITS}
        unit={callback.labour?.unit ?? 'h'}
        value={quantity(callback.labour)}
        form={own}
      />
      <details open={(own?.values['claim.maker'] ?? '') !== '' || callback.claim !== null}>
        <summary>A claim on the maker</summary>
        <TextField
          name="claim.maker"
          label="Maker"
          required={false}
          maxlength={120}
          autocomplete="off"
          value={callback.claim?.maker}
          form={own}
        />
        <TextField
          name="claim.number"
          label="The maker’s claim number"
          required={false}
          maxlength={120}
          autocomplete="off"
          value={callback.claim?.number}
          form={own}
        />
        <SelectField
          name="claim.status"
          label="How it stands"
          beside
          options={optionsOf(CLAIM_STATUSES, CLAIM_WORDS)}
          value={callback.claim?.status}
          form={own}
        />
      </details>
      <Button>Close the callback</Button>
    </form>
  )
}
