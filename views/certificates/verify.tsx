// Is this paper genuine? For anybody who holds one, without an account.

import type { ComponentChildren, JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Facts, type FactsProps } from '../parts/facts.tsx'
import { AreaField, type FormState, TextField } from '../parts/field.tsx'
import { Flash, type FlashProps } from '../parts/flash.tsx'

export type PublicState = 'genuine' | 'altered' | 'superseded' | 'recalled' | 'unknown-key' | 'unreadable'

interface Said {
  kind: FlashProps['kind']
  lead: string
  words: string
  /** What to do with it. */
  next: string
}

const theSaid = (): Record<PublicState, Said> => ({
  genuine: {
    kind: 'done',
    lead: say.certificates.genuine,
    words: say.certificates.thisServerIssuedThis,
    next: say.certificates.holdTheFiguresBelow,
  },
  altered: {
    kind: 'refused',
    lead: say.certificates.altered,
    words: say.certificates.whatIsHeldHere,
    next: say.certificates.doNotRelyOn,
  },
  superseded: {
    kind: 'needs-you',
    lead: say.certificates.superseded,
    words: say.certificates.itWasGenuineBut,
    next: say.certificates.askTheCompanyFor,
  },
  recalled: {
    kind: 'needs-you',
    lead: say.certificates.underRecall,
    words: say.certificates.itIsGenuineBut,
    next: say.certificates.askTheCompanyWhat,
  },
  'unknown-key': {
    kind: 'refused',
    lead: say.certificates.cannotBeCheckedHere,
    words: say.certificates.itNamesAKey,
    next: say.certificates.checkItAtThe,
  },
  unreadable: {
    kind: 'refused',
    lead: say.certificates.notASignedCopy,
    words: say.certificates.whatWasSentCannot,
    next: say.certificates.sendTheWholeFile,
  },
})

const Frame = (props: { title: string; children: ComponentChildren }): JSX.Element => (
  <Layout title={props.title} width="narrow">
    <h1>{props.title}</h1>
    {props.children}
  </Layout>
)

export interface VerdictProps {
  state: PublicState
  /** Why, when it is not plain from the state. */
  reason?: string | undefined
  /** What came after it was issued, each in a sentence. */
  since?: readonly string[] | undefined
  facts: FactsProps['facts']
}

function Verdict(props: VerdictProps): JSX.Element {
  const said = theSaid()[props.state]
  return (
    <>
      <Flash kind={said.kind} lead={said.lead}>
        {said.words}
        {props.reason === undefined ? null : ` ${props.reason}`}
      </Flash>
      {props.since === undefined || props.since.length === 0 ? null : <p>{props.since.join(' ')}</p>}
      <p>{said.next}</p>
      {props.facts.length === 0 ? null : <Facts facts={props.facts} />}
    </>
  )
}

const NotSaid = (): JSX.Element => <p class="soft">{say.certificates.aCertificateIsA}</p>

/** The answer for one code. */
export function CheckedPage(props: VerdictProps & { code: string }): JSX.Element {
  return (
    <Frame title={say.certificates.checkOfACertificate}>
      <p class="lead">{say.certificates.code(<b>{props.code}</b>)}</p>
      <Verdict {...props} />
      <NotSaid />
      <p>
        <a href="/verify">{say.certificates.checkAnotherOneOr}</a>
      </p>
    </Frame>
  )
}

export function UnknownCodePage(props: { code: string }): JSX.Element {
  return (
    <Frame title={say.certificates.noCertificateHasThis}>
      <p class="lead">{say.certificates.wasNotIssuedBy(<b>{props.code}</b>)}</p>
      <ul>
        <li>{say.certificates.compareTheCodeLetter}</li>
        <li>{say.certificates.compareTheAddressOn}</li>
        <li>{say.certificates.ifBothAreRight}</li>
      </ul>
      <CodeForm code={props.code} />
    </Frame>
  )
}

function CodeForm(props: { code?: string | undefined }): JSX.Element {
  return (
    <form method="get" action="/verify" class="sheet">
      <TextField
        name="code"
        label={say.certificates.codeOnThePaper}
        hint={say.certificates.n20LettersAndFigures}
        value={props.code}
        required
        autocomplete="off"
        maxlength={60}
      />
      <Button>{say.certificates.checkTheCode}</Button>
    </form>
  )
}

export interface KeysPageProps {
  /** The one that signs now first. */
  keys: readonly {
    id: string
    fingerprint: string
    from: string | null
    until: string | null
    signsNow: boolean
  }[]
}

/** To compare with the fingerprint on a paper, or in the page that checks without a connection. */
export function KeysPage(props: KeysPageProps): JSX.Element {
  return (
    <Frame title={say.certificates.keysThatSignCertificates}>
      <p class="lead">{say.certificates.eachCertificateIsSigned}</p>
      {props.keys.map((key) => (
        <section key={key.id} aria-labelledby={`key-${key.id}`} class="sheet">
          <h2 id={`key-${key.id}`}>
            {key.signsNow
              ? say.certificates.signsNow
              : key.until === null
                ? say.certificates.checksOnly
                : say.certificates.putAway}
          </h2>
          <p>
            <code>{key.fingerprint}</code>
          </p>
          <p class="soft">
            {key.from === null ? say.certificates.whenItWasMade : say.certificates.made(key.from)}
            {key.until === null ? '' : say.certificates.putAwayWhatIt(key.until)}
          </p>
        </section>
      ))}
      <p>
        {say.certificates.forProgramsJwkSet(
          <a href="/.well-known/jointkeep-keys.json">{'/.well-known/jointkeep-keys.json'}</a>,
        )}
      </p>
      <p>
        <a href="/verify">{say.certificates.checkACertificate}</a>
      </p>
    </Frame>
  )
}

export interface CheckPageProps {
  form?: FormState | undefined
  /** The verdict on a copy that was sent. */
  verdict?: VerdictProps | undefined
}

/** Where a code or a signed copy is entered, and where the verdict on a copy stands. */
export function CheckPage(props: CheckPageProps): JSX.Element {
  return (
    <Layout title={say.certificates.checkACertificate} width="narrow" scripts={['/assets/verify.js']}>
      <h1>{say.certificates.checkACertificate}</h1>
      {props.verdict === undefined ? (
        <p class="lead">{say.certificates.youNeedNoAccount}</p>
      ) : (
        <Verdict {...props.verdict} />
      )}
      <h2>{say.certificates.byItsCode}</h2>
      <CodeForm />
      <h2>{say.certificates.byItsSignedCopy}</h2>
      <form method="post" action="/verify" class="sheet">
        <AreaField
          name="signedCopy"
          label={say.certificates.signedCopy}
          hint={say.certificates.theFileAttachedTo}
          form={props.form}
          rows={6}
          required
        />
        <Button>{say.certificates.checkTheCopy}</Button>
      </form>
      <NotSaid />
      <h2>{say.certificates.withoutAConnection}</h2>
      <p>
        <a
          class="button other"
          href="/verify/offline?download"
          hx-boost="false"
          download="check-a-certificate.html"
        >
          {say.certificates.keepThePageThat}
        </a>
      </p>
      <p>
        <a href="/verify/offline" hx-boost="false">
          {say.certificates.openItHere}
        </a>
      </p>
      <p class="soft">
        {say.certificates.oneFileWithInside(
          <a href="/verify/keys">{say.certificates.theKeysOfThis}</a>,
          <a href="/.well-known/jointkeep-keys.json">{'/.well-known/jointkeep-keys.json'}</a>,
        )}
      </p>
    </Layout>
  )
}
