// What do you need beside your password, and what if you lose it?

import type { JSX } from 'preact'
import type { DrawnQr } from '../../server/http/qr.ts'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { type FormState, OtherErrors, TextField } from '../parts/field.tsx'
import { Flash } from '../parts/flash.tsx'
import { When } from '../parts/when.tsx'
import { OwnPasskeys, type PasskeyItem } from './own-passkeys.tsx'
import { WithPassword } from './with-password.tsx'

export interface ToTakeUp {
  secret: string
  /** The same and who it is for, as the QR code says it. */
  address: string
  qr: DrawnQr
}

export interface OwnSecondStepProps {
  shell: Shell
  email: string
  state: 'off' | 'waiting' | 'on'
  since: number | null
  codesLeft: number
  /** What the app is to take up; null unless it waits for its first code. */
  waiting: ToTakeUp | null
  /** The company wants one, and lets nobody in without. */
  held: boolean
  passkeys: readonly PasskeyItem[]
  newPasskey: string
  noPasskeys: string | null
  form?: FormState | undefined
  refused?: string | undefined
}

export function OwnSecondStepPage(props: OwnSecondStepProps): JSX.Element {
  const { shell, form, refused } = props
  return (
    <Layout
      {...shell}
      title={say.secondStep.secondStep}
      width="narrow"
      flash={refused === undefined ? undefined : <Flash kind="refused">{refused}</Flash>}
    >
      <p>{props.held ? <a href="/sign-out">{say.people.signOut}</a> : <a href="/me">{say.people.you}</a>}</p>
      <h1>{say.secondStep.secondStep}</h1>
      <p class="lead">{say.secondStep.whatItIs}</p>
      {props.held ? <p class="why">{say.secondStep.wanted}</p> : null}
      <OtherErrors form={form} fields={['password', 'code', 'name']} />
      <OwnPasskeys {...props} />
      <section>
        <h2>{say.secondStep.authenticatorApp}</h2>
        {props.state === 'on' ? (
          <InUse {...props} />
        ) : props.waiting === null ? (
          <WithPassword {...props} action="/me/authenticator" label={say.secondStep.begin} kind="do" />
        ) : (
          <Waiting waiting={props.waiting} form={form} />
        )}
      </section>
      {props.state === 'on' || props.passkeys.length > 0 ? (
        <section>
          <h2>{say.secondStep.recoveryCodes}</h2>
          <p>{say.secondStep.codesLeft(props.codesLeft)}</p>
          <WithPassword
            {...props}
            action="/me/recovery-codes"
            label={say.secondStep.makeNewCodes}
            kind="do"
          />
        </section>
      ) : null}
    </Layout>
  )
}

function Waiting({
  waiting: { secret, address, qr },
  form,
}: {
  waiting: ToTakeUp
  form: FormState | undefined
}): JSX.Element {
  return (
    <>
      <p>{say.secondStep.scanThis}</p>
      <svg
        class="qr qr-large"
        viewBox={`0 0 ${qr.side} ${qr.side}`}
        role="img"
        aria-label={say.secondStep.theQr}
      >
        <path class="qr-ground" d={`M0 0h${qr.side}v${qr.side}H0z`} />
        <path class="qr-ink" d={qr.path} />
      </svg>
      <p>
        <a class="button" href={address} hx-boost="false">
          {say.secondStep.onThisPhone}
        </a>
      </p>
      <p>
        {say.secondStep.orType} <code>{(secret.match(/.{1,4}/g) ?? []).join(' ')}</code>
      </p>
      <form method="post" action="/me/authenticator/confirm" class="sheet">
        <TextField
          name="code"
          label={say.secondStep.firstCode}
          hint={say.secondStep.firstCodeHint}
          inputmode="numeric"
          autocomplete="one-time-code"
          maxlength={10}
          required
          form={form}
        />
        <Button>{say.secondStep.useIt}</Button>
      </form>
      <p class="soft">{say.secondStep.waitsHalfAnHour}</p>
    </>
  )
}

function InUse(props: OwnSecondStepProps): JSX.Element {
  return (
    <>
      <p>{say.secondStep.inUseSince(<When at={props.since ?? 0} show="day" />)}</p>
      <p>{say.secondStep.takeItAwayWhy}</p>
      <WithPassword
        {...props}
        action="/me/authenticator/remove"
        label={say.secondStep.takeItAway}
        kind="refuse"
      />
    </>
  )
}

export function RecoveryCodesPage({ shell, codes }: { shell: Shell; codes: readonly string[] }): JSX.Element {
  return (
    <Layout {...shell} title={say.secondStep.recoveryCodes} width="narrow">
      <h1>{say.secondStep.recoveryCodes}</h1>
      <p class="lead">{say.secondStep.keepThese}</p>
      <ol>
        {codes.map((code) => (
          <li key={code}>
            <code>{code}</code>
          </li>
        ))}
      </ol>
      <p>{say.secondStep.eachOpensOnce}</p>
      <p>
        <a class="button" href="/me/second-step">
          {say.secondStep.keptThem}
        </a>
      </p>
    </Layout>
  )
}
