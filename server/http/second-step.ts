// Has somebody a second step, and how do they set one up, get recovery codes, or take it away?

import type { FormState } from '../../views/parts/field.tsx'
import { OwnSecondStepPage, RecoveryCodesPage } from '../../views/people/own-second-step.tsx'
import { SecondStepRulePage } from '../../views/people/second-step-rule.tsx'
import { browserOf } from '../access/browser-words.ts'
import { authenticatorAddress } from '../access/one-time-codes.ts'
import { placeOf } from '../access/passkeys.ts'
import { sealedFor } from '../commands/people/check-code.ts'
import { boundSession } from '../commands/people/end-sessions.ts'
import {
  confirmAuthenticator,
  makeRecoveryCodes,
  removeAuthenticator,
  setUpAuthenticator,
} from '../commands/people/own-second-step.ts'
import { type SecondStepRule, setSecondStep } from '../commands/people/set-second-step.ts'
import { type Refusal, signedOut } from '../refusals.ts'
import { listPasskeys, type PasskeyRow } from '../store/queries/passkeys.ts'
import { personById } from '../store/queries/people.ts'
import {
  authenticatorOf,
  countRecoveryCodes,
  listWithoutSecondStep,
  ruleOf,
  UNCONFIRMED_MS,
  type WithoutSecondStep,
} from '../store/queries/second-step.ts'
import type { Deps } from './deps.ts'
import { instant, instantOrNull } from './json.ts'
import { drawQr } from './qr.ts'
import type { Ask, PublicAsk, Resource } from './resource.ts'
import { ENTRANCE_LIMIT, messageOf, openSession } from './session.ts'
import { shellOf, theRoleWords } from './shell.ts'

export function secondStepResource(resource: Resource, deps: Deps): void {
  const server = serverName(deps)

  resource.read({
    path: '/company/second-step',
    name: 'second-step-rule',
    summary: 'Whose sessions need a second step here, and which members have none yet.',
    capability: 'manage-members',
    load: async ({ scope }) => ({ rule: await ruleOf(scope), without: await listWithoutSecondStep(scope) }),
    json: ({ rule, without }) => ({
      of: rule,
      without: without.map(({ id, name, role }) => ({ memberId: id, name, role })),
    }),
    page: (data, ask) => rulePage(data, ask),
  })

  resource.write({
    method: 'PUT',
    path: '/company/second-step',
    command: setSecondStep,
    json: (of) => ({ of }),
    page: {
      goTo: () => '/company/second-step',
      again: async (form, refusal, ask) =>
        rulePage(
          { rule: await ruleOf(ask.scope), without: await listWithoutSecondStep(ask.scope) },
          ask,
          form,
          refusal,
        ),
    },
  })

  resource.publicRead({
    path: '/me/second-step',
    name: 'own-second-step',
    summary:
      'Whether you have an authenticator, which passkeys, and how many recovery codes are left. Not for tokens.',
    load,
    json: ({ state, since, codesLeft, passkeys }) => ({
      state,
      since: instantOrNull(since),
      recoveryCodesLeft: codesLeft,
      passkeys: passkeys.map(passkeyJson),
    }),
    page: (data, ask) => ownPage(data, ask),
  })

  resource.publicWrite({
    path: '/me/authenticator',
    command: setUpAuthenticator,
    status: 201,
    rateLimit: ENTRANCE_LIMIT,
    json: ({ person, secret }) => ({
      secret,
      address: authenticatorAddress({ secret, server, account: person.email }),
    }),
    page: { goTo: () => '/me/second-step', again: ownSecondStepAgain },
  })

  resource.publicWrite({
    path: '/me/authenticator/confirm',
    command: confirmAuthenticator,
    rateLimit: ENTRANCE_LIMIT,
    after: async ({ personId }, ask) => {
      await openSession(ask, personId, ask.identity.companyId, 'authenticator', {
        secondStepAt: ask.now,
      })
      return undefined
    },
    json: ({ recoveryCodes }) => ({ recoveryCodes }),
    page: { goTo: ({ recoveryCodes }, ask) => shownOnce(recoveryCodes, ask), again: ownSecondStepAgain },
  })

  resource.publicWrite({
    path: '/me/recovery-codes',
    command: makeRecoveryCodes,
    status: 201,
    rateLimit: ENTRANCE_LIMIT,
    json: ({ recoveryCodes }) => ({ recoveryCodes }),
    page: { goTo: ({ recoveryCodes }, ask) => shownOnce(recoveryCodes, ask), again: ownSecondStepAgain },
  })

  resource.publicWrite({
    path: '/me/authenticator/remove',
    command: removeAuthenticator,
    rateLimit: ENTRANCE_LIMIT,
    json: ({ removed }) => ({ removed }),
    page: { goTo: () => '/me/second-step', again: ownSecondStepAgain },
  })
}

function rulePage(
  { rule, without }: { rule: SecondStepRule; without: WithoutSecondStep[] },
  { actor }: Ask,
  form?: FormState,
  refusal?: Refusal,
) {
  return SecondStepRulePage({
    shell: shellOf(actor, '/members'),
    rule,
    without: without.map(({ id, name, role }) => ({ id, name, roleWords: theRoleWords()[role] })),
    form,
    refused: refusal && messageOf(refusal),
  })
}

interface Known {
  email: string
  state: 'off' | 'waiting' | 'on'
  since: number | null
  codesLeft: number
  /** Shown until its first code was right, and never after. */
  secret: string | null
  passkeys: PasskeyRow[]
}

/** For a browser with a session alone, as where somebody is signed in. */
async function load({ identity, deps, now }: PublicAsk): Promise<Known> {
  const { personId, sessionSecret, boundTo } = identity
  if (personId === null || sessionSecret === null) throw signedOut()
  if (boundTo !== null) throw boundSession()
  const { store, sealer } = deps.machinery
  const reader = store.reader()
  const person = await personById(reader, personId)
  if (!person) throw signedOut()
  const known = await authenticatorOf(reader, personId)
  const passkeys = await listPasskeys(reader, personId)
  const isOn = known !== null && known.confirmedAt !== null
  const codesLeft = isOn || passkeys.length > 0 ? await countRecoveryCodes(reader, personId) : 0
  const all = { email: person.email, codesLeft, passkeys }
  if (isOn) return { ...all, state: 'on', since: known.confirmedAt, secret: null }
  const secret =
    known && now - known.createdAt < UNCONFIRMED_MS ? sealer.open(known.secret, sealedFor(personId)) : null
  return { ...all, state: secret === null ? 'off' : 'waiting', since: null, secret }
}

const serverName = ({ config }: Deps) => `Jointkeep ${new URL(config.publicUrl).host}`

async function ownPage(data: Known, ask: PublicAsk, form?: FormState, refusal?: Refusal) {
  const { secret, email } = data
  const { publicUrl } = ask.deps.machinery.settings
  const address =
    secret === null ? '' : authenticatorAddress({ secret, server: serverName(ask.deps), account: email })
  return OwnSecondStepPage({
    shell: shell(ask),
    email,
    state: data.state,
    since: data.since,
    codesLeft: data.codesLeft,
    waiting: secret === null ? null : { secret, address, qr: await drawQr(address) },
    passkeys: data.passkeys.map(({ id, name, createdAt, lastUsedAt }) => ({
      id,
      name,
      createdAt,
      lastUsedAt,
    })),
    newPasskey: browserOf(ask.request.headers['user-agent']),
    noPasskeys: placeOf(publicUrl) === null ? publicUrl : null,
    form,
    held: ask.identity.held,
    refused: refusal && messageOf(refusal),
  })
}

/** For every form on that page. */
export const ownSecondStepAgain = async (form: FormState, refusal: Refusal, ask: PublicAsk) =>
  ownPage(await load(ask), ask, form, refusal)

export const passkeyJson = ({ id, name, createdAt, lastUsedAt }: PasskeyRow) => ({
  id,
  name,
  createdAt: instant(createdAt),
  lastUsedAt: instantOrNull(lastUsedAt),
})

const shell = ({ identity: { actor } }: PublicAsk) => (actor ? shellOf(actor, '/me') : {})

export const shownOnce = (codes: readonly string[], ask: PublicAsk) =>
  RecoveryCodesPage({ shell: shell(ask), codes })
