// Which passkeys have you, and how do you add one?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { Button } from '../parts/button.tsx'
import { type FormState, TextField } from '../parts/field.tsx'
import { PasskeyForm } from '../parts/passkey-form.tsx'
import { When } from '../parts/when.tsx'
import { browserWords } from './sign-ins.tsx'
import { WithPassword } from './with-password.tsx'

export interface PasskeyItem {
  id: string
  name: string
  createdAt: number
  lastUsedAt: number | null
}

export interface OwnPasskeysProps {
  email: string
  passkeys: readonly PasskeyItem[]
  /** The browser that one would be made in, as it is kept: a name to begin with. */
  newPasskey: string
  /** The server's address, where browsers make none for it; else null. */
  noPasskeys: string | null
  form?: FormState | undefined
}

const ADD = '/me/passkeys'

export function OwnPasskeys(props: OwnPasskeysProps): JSX.Element {
  return (
    <section>
      <h2>{say.passkeys.passkeys}</h2>
      <p>{say.passkeys.whatTheyAre}</p>
      <p>{say.passkeys.whatTheyDo}</p>
      {props.passkeys.length === 0 ? null : (
        <ul class="passkeys">
          {props.passkeys.map((one) => (
            <li key={one.id}>
              <Passkey one={one} {...props} />
            </li>
          ))}
        </ul>
      )}
      {props.noPasskeys === null ? <Add {...props} /> : <p>{say.passkeys.notHere(props.noPasskeys)}</p>}
    </section>
  )
}

function Passkey({ one, email, form }: OwnPasskeysProps & { one: PasskeyItem }): JSX.Element {
  const rename = `${ADD}/${one.id}/rename`
  const remove = `${ADD}/${one.id}/remove`
  const sent = form?.values._form
  const named: FormState = {
    values: {},
    errors: [],
    ...(sent === rename ? form : {}),
    scope: `name-${one.id}`,
  }
  return (
    <>
      <p class="passkey">
        <strong>{one.name}</strong>{' '}
        <span class="soft">
          {say.passkeys.madeOn(<When at={one.createdAt} show="day" />)},{' '}
          {one.lastUsedAt === null
            ? say.passkeys.notUsedYet
            : say.passkeys.lastUsedOn(<When at={one.lastUsedAt} show="day" />)}
        </span>
      </p>
      <details open={sent === rename || sent === remove}>
        <summary>{say.passkeys.change(one.name)}</summary>
        <form method="post" action={rename}>
          <input type="hidden" name="_form" value={rename} />
          <TextField
            name="name"
            label={say.passkeys.name}
            value={one.name}
            maxlength={60}
            autocomplete="off"
            required
            form={named}
          />
          <Button kind="other">{say.passkeys.rename}</Button>
        </form>
        <p>{say.passkeys.removeWhy}</p>
        <WithPassword email={email} action={remove} label={say.passkeys.remove} kind="refuse" form={form} />
      </details>
    </>
  )
}

function Add({ email, newPasskey, form }: OwnPasskeysProps): JSX.Element {
  const sent = form?.values._form === ADD ? form : undefined
  const state: FormState = { values: {}, errors: [], ...sent, scope: 'new-passkey' }
  return (
    <>
      <noscript>
        <p class="why">{say.passkeys.needsJavaScript}</p>
      </noscript>
      <p class="why" data-no-passkeys hidden>
        {say.passkeys.notInThisBrowser}
      </p>
      <PasskeyForm action={ADD} does="make">
        <h3>{say.passkeys.addOne}</h3>
        <input type="hidden" name="_form" value={ADD} />
        <TextField
          name="name"
          label={say.passkeys.name}
          hint={say.passkeys.nameHint}
          value={browserWords(newPasskey)}
          maxlength={60}
          autocomplete="off"
          required
          form={state}
        />
        <input type="email" value={email} autocomplete="username" hidden readonly />
        <TextField
          name="password"
          label={say.secondStep.yourPasswordAgain}
          type="password"
          autocomplete="current-password"
          required
          form={state}
        />
        <Button>{say.passkeys.addOne}</Button>
      </PasskeyForm>
    </>
  )
}
