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
import { say } from '../../server/words/say.ts'
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
  causeWords,
  claimWords,
  foundByWords,
  outcomeWords,
  partWords,
  placeWords,
  responsibilityWords,
  theCauseWords,
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
    quantity === null ? (
      <span class="soft">{say.callbacks.notSaid}</span>
    ) : (
      `${quantity.value} ${quantity.unit}`
    )
  return (
    <Layout {...props.shell} title={say.callbacks.callback(system.customerName)}>
      <h1>{say.callbacks.callback(system.customerName)}</h1>
      <p class="lead">
        <a href={`/systems/${system.id}`}>
          {system.name} ({system.tagPrefix})
        </a>
        , {system.address}
      </p>
      <Facts
        facts={[
          { label: say.callbacks.whatIsSaid, value: callback.symptom },
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
                  value: `${callback.claim.maker} ${callback.claim.number}: ${claimWords()[callback.claim.status]}`,
                },
              ]),
        ]}
      />

      {mayHandle ? (
        <p class="actions">
          <a class="button other" href={`/systems/${system.id}/claim-packet`}>
            {say.claims.packet}
          </a>
        </p>
      ) : null}

      <section class="sheet" aria-labelledby="found">
        <h2 id="found">{say.callbacks.whatWasFound}</h2>
        {props.findings.length === 0 ? (
          <p class="soft">{say.callbacks.nothingIsOnRecord}</p>
        ) : (
          <Findings findings={props.findings} />
        )}
        {open && mayHandle ? <FindingForm {...props} /> : null}
      </section>

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
        <section class="sheet" aria-labelledby="close">
          <h2 id="close">{say.callbacks.closeIt}</h2>
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

function RepairForm({ callback, system, fresh, mayOpenJob }: CallbackPageProps): JSX.Element {
  if (!mayOpenJob) return <p>{say.callbacks.aTechnicianOrThe}</p>
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
        label={say.callbacks.outcome}
        required
        options={optionsOf(CALLBACK_OUTCOMES, outcomeWords())}
        value={findings.length > 0 ? 'found' : undefined}
        form={own}
      />
      <SelectField
        name="responsibility"
        label={say.callbacks.putDownTo}
        beside
        choose={say.callbacks.notSaid}
        options={optionsOf(RESPONSIBILITIES, responsibilityWords())}
        value={callback.responsibility ?? undefined}
        form={own}
      />
      <QuantityField
        name="refrigerantRecovered"
        label={say.callbacks.refrigerantRecovered}
        required={false}
        quantity="mass"
        units={MASS_UNITS}
        unit={callback.recovered?.unit ?? 'g'}
        value={quantity(callback.recovered)}
        form={own}
      />
      <QuantityField
        name="refrigerantAdded"
        label={say.callbacks.refrigerantAdded}
        required={false}
        quantity="mass"
        units={MASS_UNITS}
        unit={callback.added?.unit ?? 'g'}
        value={quantity(callback.added)}
        form={own}
      />
      <QuantityField
        name="labourTime"
        label={say.callbacks.labour}
        required={false}
        quantity="labour"
        units={LABOUR_UNITS}
        unit={callback.labour?.unit ?? 'h'}
        value={quantity(callback.labour)}
        form={own}
      />
      <details open={(own?.values['claim.maker'] ?? '') !== '' || callback.claim !== null}>
        <summary>{say.callbacks.aClaimOnThe}</summary>
        <TextField
          name="claim.maker"
          label={say.callbacks.maker}
          required={false}
          maxlength={120}
          autocomplete="off"
          value={callback.claim?.maker}
          form={own}
        />
        <TextField
          name="claim.number"
          label={say.callbacks.theMakersClaimNumber}
          required={false}
          maxlength={120}
          autocomplete="off"
          value={callback.claim?.number}
          form={own}
        />
        <SelectField
          name="claim.status"
          label={say.callbacks.howItStands}
          beside
          options={optionsOf(CLAIM_STATUSES, claimWords())}
          value={callback.claim?.status}
          form={own}
        />
      </details>
      <Button>{say.callbacks.closeTheCallback}</Button>
    </form>
  )
}
