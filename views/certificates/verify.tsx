// Is this paper genuine? For anybody who holds one, without an account.

import type { ComponentChildren, JSX } from 'preact'
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

const SAID: Record<PublicState, Said> = {
  genuine: {
    kind: 'done',
    lead: 'Genuine.',
    words: 'This server issued this certificate, and the record behind it is as it was signed.',
    next: 'Hold the figures below beside the paper: town and serial must be those of the equipment in front of you.',
  },
  altered: {
    kind: 'refused',
    lead: 'Altered.',
    words: 'What is held here is not what was signed.',
    next: 'Do not rely on it. Ask the company named on the paper.',
  },
  superseded: {
    kind: 'needs-you',
    lead: 'Superseded.',
    words: 'It was genuine, but the job was opened again afterwards.',
    next: 'Ask the company for the certificate that holds now.',
  },
  recalled: {
    kind: 'needs-you',
    lead: 'Under recall.',
    words:
      'It is genuine, but an instrument used for this work was later found out of tolerance, and the company has not yet said what that means here.',
    next: 'Ask the company what it found.',
  },
  'unknown-key': {
    kind: 'refused',
    lead: 'Cannot be checked here.',
    words: 'It names a key that this server does not have.',
    next: 'Check it at the address printed on the paper.',
  },
  unreadable: {
    kind: 'refused',
    lead: 'Not a signed copy.',
    words: 'What was sent cannot be read as a certificate.',
    next: 'Send the whole file that is attached to the paper (PDF), unchanged.',
  },
}

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
  const said = SAID[props.state]
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

const NotSaid = (): JSX.Element => (
  <p class="soft">
    A certificate is a statement by the installing company on its own work. It is not a certification by a
    third party and replaces no document that the law asks for.
  </p>
)

/** The answer for one code. */
export function CheckedPage(props: VerdictProps & { code: string }): JSX.Element {
  return (
    <Frame title="Check of a certificate">
      <p class="lead">
        Code <b>{props.code}</b>
      </p>
      <Verdict {...props} />
      <NotSaid />
      <p>
        <a href="/verify">Check another one, or a signed copy</a>
      </p>
    </Frame>
  )
}

export function UnknownCodePage(props: { code: string }): JSX.Element {
  return (
    <Frame title="No certificate has this code">
      <p class="lead">
        <b>{props.code}</b> was not issued by this server.
      </p>
      <ul>
        <li>Compare the code letter by letter. It has 20 characters, with no i, l, o, 0 or 1.</li>
        <li>
          Compare the address on the paper with the one in your browser. A certificate is checked where it was
          issued.
        </li>
        <li>If both are right, the paper is not genuine: ask the company named on it.</li>
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
        label="Code on the paper"
        hint="20 letters and figures; hyphens and capitals do not matter."
        value={props.code}
        required
        autocomplete="off"
        maxlength={60}
      />
      <Button>Check the code</Button>
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
    <Frame title="Keys that sign certificates">
      <p class="lead">
        Each certificate is signed with a key of this server. Its fingerprint is printed on the paper: compare
        all of it.
      </p>
      {props.keys.map((key) => (
        <section key={key.id} aria-labelledby={`key-${key.id}`} class="sheet">
          <h2 id={`key-${key.id}`}>
            {key.signsNow ? 'Signs now' : key.until === null ? 'Checks only' : 'Put away'}
          </h2>
          <p>
            <code>{key.fingerprint}</code>
          </p>
          <p class="soft">
            {key.from === null ? 'When it was made is not on record.' : `Made ${key.from}.`}
            {key.until === null
              ? ''
              : ` Put away ${key.until}: what it signed until then stays good, and nothing later is.`}
          </p>
        </section>
      ))}
      <p>
        For programs: <a href="/.well-known/jointkeep-keys.json">/.well-known/jointkeep-keys.json</a> (JWK
        set, RFC 7517).
      </p>
      <p>
        <a href="/verify">Check a certificate</a>
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
    <Layout title="Check a certificate" width="narrow" scripts={['/assets/verify.js']}>
      <h1>Check a certificate</h1>
      {props.verdict === undefined ? (
        <p class="lead">You need no account. Nothing that you enter here is kept.</p>
      ) : (
        <Verdict {...props.verdict} />
      )}
      <h2>By its code</h2>
      <CodeForm />
      <h2>By its signed copy</h2>
      <form method="post" action="/verify" class="sheet">
        <AreaField
          name="signedCopy"
          label="Signed copy"
          hint="The file attached to the paper (PDF), named certificate-….json. Open it and paste all of it here."
          form={props.form}
          rows={6}
          required
        />
        <Button>Check the copy</Button>
      </form>
      <NotSaid />
      <h2>Without a connection</h2>
      <p>
        <a
          class="button other"
          href="/verify/offline?download"
          hx-boost="false"
          download="check-a-certificate.html"
        >
          Keep the page that checks by itself
        </a>
      </p>
      <p>
        <a href="/verify/offline" hx-boost="false">
          Open it here
        </a>
      </p>
      <p class="soft">
        One file, with <a href="/verify/keys">the keys of this server</a> inside. It takes the PDF or the
        signed copy, and sends nothing. For programs: the copy is a JWS (RFC 7515) signed with Ed25519, and
        the public keys stand at{' '}
        <a href="/.well-known/jointkeep-keys.json">/.well-known/jointkeep-keys.json</a>.
      </p>
    </Layout>
  )
}
