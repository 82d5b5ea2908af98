// How does somebody sign in and out, see who they are, and choose the company they work in?

import type { VNode } from 'preact'
import type { FormState } from '../../views/parts/field.tsx'
import { ChooseCompanyPage } from '../../views/people/choose-company.tsx'
import { SecondStepPage } from '../../views/people/second-step.tsx'
import { SignInPage } from '../../views/people/sign-in.tsx'
import { SignOutPage } from '../../views/people/sign-out.tsx'
import { YouPage } from '../../views/people/you.tsx'
import { browserOf } from '../access/browser-words.ts'
import { may } from '../access/capabilities.ts'
import { localPath } from '../access/local-path.ts'
import { placeOf } from '../access/passkeys.ts'
import type { SessionStart } from '../access/sessions.ts'
import { type SignedIn, signIn } from '../commands/people/sign-in.ts'
import { signOut } from '../commands/people/sign-out.ts'
import { switchCompany } from '../commands/people/switch-company.ts'
import { stepOver, takeSecondStep } from '../commands/people/take-second-step.ts'
import { forbidden, Refusal, signedOut } from '../refusals.ts'
import { anyWayIn } from '../store/queries/identity-providers.ts'
import { listPasskeys } from '../store/queries/passkeys.ts'
import { anyCompany, type Membership, membershipsOf, personById } from '../store/queries/people.ts'
import {
  addWaitingSignIn,
  authenticatorOf,
  findWaitingSignIn,
  hasSecondStep,
} from '../store/queries/second-step.ts'
import { addSignIn } from '../store/queries/sign-ins.ts'
import type { SignInWay } from '../store/tables/signing-in.ts'
import { say } from '../words/say.ts'
import type { Deps } from './deps.ts'
import type { Identity } from './identify.ts'
import { instant } from './json.ts'
import type { Instead, PublicAsk, Resource } from './resource.ts'
import { shellOf, theRoleWords } from './shell.ts'

/** Per network address; a whole crew may sit behind one. Each e-mail address has its own limit besides. */
export const ENTRANCE_LIMIT = { max: 20, timeWindow: '1 minute' }

const HOME = '/jobs'

export function sessionResource(resource: Resource, deps: Deps): void {
  const reader = () => deps.machinery.store.reader()

  resource.publicRead({
    path: '/',
    name: 'home',
    summary: 'To the jobs, or to signing in.',
    load: async ({ identity }) => identity,
    page: ({ actor, personId, held }) =>
      actor ? HOME : held ? '/me/second-step' : personId ? '/companies' : '/sign-in',
  })

  resource.publicRead({
    path: '/sign-in',
    name: 'sign-in',
    summary: 'The page to sign in on.',
    load: async ({ identity }) => identity,
    page: async ({ actor, personId, held }, ask) => {
      if (actor) return localPath(ask.query.next) ?? HOME
      if (held) return '/me/second-step'
      if (personId) return withNext('/companies', ask)
      return signInPage(ask)
    },
  })

  resource.publicWrite({
    path: '/session',
    command: signIn,
    status: 201,
    rateLimit: ENTRANCE_LIMIT,
    after: goOn,
    json: (result) => signedInJson(result),
    page: {
      path: '/sign-in',
      goTo: (result, ask) => afterSignIn(result.companyId, ask),
      again: async (form, refusal, ask) => signInPage(ask, messageOf(refusal), form),
    },
  })

  resource.publicRead({
    path: '/sign-in/second-step',
    name: 'second-step-page',
    summary: 'Back to the first step: the second one is shown where the first was right.',
    load: async () => null,
    page: (_nothing, ask) => withNext('/sign-in', ask),
  })

  resource.publicWrite({
    path: '/session/second-step',
    command: takeSecondStep,
    status: 201,
    rateLimit: ENTRANCE_LIMIT,
    after: goOn,
    json: (result) => signedInJson(result),
    page: {
      path: '/sign-in/second-step',
      goTo: (result, ask) => afterSignIn(result.companyId, ask),
      again: (form, refusal, ask) => secondStepOrSignIn(form.values.step ?? '', form, refusal, ask),
    },
  })

  resource.publicRead({
    path: '/sign-out',
    name: 'sign-out',
    summary: 'The page to sign out on.',
    load: async ({ identity }) => identity,
    page: ({ actor, personId }) =>
      personId === null ? '/sign-in' : SignOutPage({ shell: actor ? shellOf(actor, '') : {} }),
  })

  resource.publicWrite({
    method: 'DELETE',
    path: '/session',
    command: signOut,
    after: async (_result, ask) => {
      const { sessionSecret } = ask.identity
      if (sessionSecret !== null) await deps.sessions.end(sessionSecret)
      setCookie(ask, null)
      return undefined
    },
    page: {
      path: '/sign-out',
      goTo: () => '/sign-in',
      again: async (form, refusal, ask) => signInPage(ask, messageOf(refusal), form),
    },
  })

  resource.publicRead({
    path: '/me',
    name: 'me',
    summary: 'Who you are, in which role and company, and which companies you can switch to.',
    load: async ({ identity }) => {
      const { actor, personId, boundTo } = identity
      if (personId === null) throw signedOut()
      if (actor && !actor.scopes.includes('read'))
        throw forbidden(say.people.thisTokenMayOnly, 'token-write-only')
      const person = await personById(reader(), personId)
      if (!person) throw signedOut()
      const all = await membershipsOf(reader(), personId)
      // A token speaks for one company, a company's provider as well: they hear nothing of others.
      const only = actor?.via === 'token' ? actor.companyId : boundTo
      const companies = only === null ? all : all.filter((one) => one.companyId === only)
      return { actor, person, companies }
    },
    json: ({ actor, person, companies }) => ({
      person: { id: person.id, name: person.name, email: person.email },
      member: actor ? { id: actor.memberId } : null,
      role: actor?.role ?? null,
      company: actor ? { id: actor.companyId, name: actor.companyName } : null,
      companies: companies.map(membershipJson),
      via: actor?.via ?? 'session',
      scopes: actor?.scopes ?? [],
    }),
    page: ({ actor, person, companies }, { identity: { held } }) =>
      actor
        ? YouPage({
            shell: shellOf(actor, '/me'),
            name: person.name,
            email: person.email,
            role: theRoleWords()[actor.role],
            company: actor.companyName,
            others: companies.filter((one) => one.companyId !== actor.companyId).map(choice),
            mayReadPolicy: may(actor, 'set-policy'),
          })
        : held
          ? '/me/second-step'
          : '/companies',
  })

  resource.publicRead({
    path: '/companies',
    name: 'choose-company',
    summary: 'The page to choose a company on.',
    load: async ({ identity }) => {
      if (identity.personId === null) throw signedOut()
      return choicesOf(identity)
    },
    page: (companies, ask) => chooser(companies, ask),
  })

  resource.publicWrite({
    path: '/session/company',
    command: switchCompany,
    after: async (result, ask) => {
      const { sessionSecret, personId } = ask.identity
      if (sessionSecret === null || personId === null) throw signedOut()
      await deps.sessions.switchCompany(sessionSecret, result.companyId)
      const { companyId } = result
      await noteSignIn(ask, { personId, companyId, way: 'company-chosen', succeeded: true })
      return undefined
    },
    json: (result) => membershipJson(result),
    page: {
      goTo: (_result, ask) => localPath(ask.query.next) ?? HOME,
      again: async (_form, refusal, ask) => {
        return chooser(await choicesOf(ask.identity), ask, refusal.message)
      },
    },
  })

  async function choicesOf({ personId, boundTo }: Identity): Promise<Membership[]> {
    if (personId === null) return []
    const all = await membershipsOf(reader(), personId)
    return boundTo === null ? all : all.filter((one) => one.companyId === boundTo)
  }

  function chooser(companies: Membership[], ask: PublicAsk, refused?: string) {
    const { actor } = ask.identity
    return ChooseCompanyPage({
      shell: actor ? shellOf(actor, '') : {},
      action: withNext('/session/company', ask),
      companies: companies.map(choice),
      current: actor?.companyId ?? null,
      refused,
    })
  }
}

async function signInPage(ask: PublicAsk, refused?: string, form?: FormState) {
  return SignInPage({
    action: withNext('/sign-in', ask),
    byPasskey:
      placeOf(ask.deps.machinery.settings.publicUrl) === null ? null : withNext('/sign-in/passkey', ask),
    form,
    refused,
    byCompany: await anyWayIn(ask.deps.machinery.store.reader()),
    maySignUp: await maySignUp(ask),
  })
}

/** To the company, or to choosing one, or back to where somebody came from. */
export const afterSignIn = (companyId: string | null, ask: PublicAsk): string =>
  companyId === null ? withNext('/companies', ask) : (localPath(ask.query.next) ?? HOME)

/** A second step that was refused is asked for again; whoever has none waiting begins from the start. */
export async function secondStepOrSignIn(
  step: string,
  form: FormState | undefined,
  refusal: Refusal,
  ask: PublicAsk,
): Promise<VNode> {
  const waiting = await findWaitingSignIn(ask.deps.machinery.store.reader(), step, ask.now)
  if (waiting) return secondStepPage(ask, step, waiting.personId, messageOf(refusal), form)
  return signInPage(ask, form === undefined ? refusal.message : stepOver().message)
}

async function secondStepPage(
  ask: PublicAsk,
  step: string,
  personId: string,
  refused?: string,
  form?: FormState,
) {
  const { machinery } = ask.deps
  const reader = machinery.store.reader()
  const hasPasskey =
    placeOf(machinery.settings.publicUrl) !== null && (await listPasskeys(reader, personId)).length > 0
  const authenticator = await authenticatorOf(reader, personId)
  return SecondStepPage({
    action: withNext('/sign-in/second-step', ask),
    byPasskey: hasPasskey ? withNext('/sign-in/passkey', ask) : null,
    byAuthenticator: authenticator !== null && authenticator.confirmedAt !== null,
    step,
    form,
    refused,
  })
}

/** After the password, and perhaps a code:/** After the password, and perhaps a code: into a session, or to the second step. */
async function goOn({ person, companyId, code }: SignedIn, ask: PublicAsk): Promise<Instead | undefined> {
  if (code === null) return askForSecondStep(ask, person.id, companyId, 'password')
  const { way, opens } = code
  if (!opens) {
    await noteSignIn(ask, { personId: person.id, companyId, way, succeeded: false })
    throw new Refusal('signed-out', 'wrong-code', say.secondStep.wrongCode, {
      errors: [{ path: 'code', message: say.secondStep.wrongCode }],
    })
  }
  await openSession(ask, person.id, companyId, way, { secondStepAt: ask.now })
  return undefined
}

/** After joining or founding: whoever is here already, with a second step, has given it. */
export async function letIn(
  ask: PublicAsk,
  personId: string,
  companyId: string | null,
  way: SignInWay,
): Promise<Instead | undefined> {
  const { identity } = ask
  // A session that a company's provider opened has given none of the person's own.
  const given = identity.boundTo === null ? identity.secondStepAt : null
  if (identity.personId !== personId || identity.sessionSecret === null || given === null)
    return askForSecondStep(ask, personId, companyId, way)
  await openSession(ask, personId, companyId, way, { secondStepAt: given })
  return undefined
}

/** Opens the session where there is no second step; else nothing is opened yet. */
async function askForSecondStep(
  ask: PublicAsk,
  personId: string,
  companyId: string | null,
  way: SignInWay,
): Promise<Instead | undefined> {
  const { store } = ask.deps.machinery
  const waiting = await store.transaction(async (session) =>
    (await hasSecondStep(session, personId))
      ? addWaitingSignIn(session, { personId, companyId }, ask.now)
      : null,
  )
  if (!waiting) {
    await openSession(ask, personId, companyId, way)
    return undefined
  }
  const { step, expiresAt } = waiting
  return {
    status: 202,
    json: { secondStep: { step, expiresAt: instant(expiresAt) } },
    page: await secondStepPage(ask, step, personId),
  }
}

/** A new secret with every sign-in; what this browser had open before ends. */
export async function openSession(
  ask: PublicAsk,
  personId: string,
  companyId: string | null,
  way: SignInWay,
  how: Omit<SessionStart, 'browser'> = {},
): Promise<void> {
  const { sessions } = ask.deps
  if (ask.identity.sessionSecret !== null) await sessions.end(ask.identity.sessionSecret)
  const browser = browserOf(ask.request.headers['user-agent'])
  setCookie(ask, await sessions.start(personId, companyId, { ...how, browser }))
  await noteSignIn(ask, { personId, companyId, way, succeeded: true })
}

/** Into the history that the person sees, and of each company its owners. */
export async function noteSignIn(
  ask: PublicAsk,
  came: { personId: string; companyId: string | null; way: SignInWay; succeeded: boolean },
): Promise<void> {
  const browser = browserOf(ask.request.headers['user-agent'])
  const { store } = ask.deps.machinery
  await store.transaction((session) => addSignIn(session, { ...came, at: ask.now, browser }))
}

function setCookie({ deps, reply }: PublicAsk, secret: string | null): void {
  const { name, value, attributes } = deps.sessions.cookie(secret)
  reply.setCookie(name, value, attributes)
}

/** Keeps the way back through a form, when it leads somewhere here. */
export function withNext(path: string, ask: PublicAsk): string {
  const next = localPath(ask.query.next)
  return next === null ? path : `${path}?next=${encodeURIComponent(next)}`
}

/** What stands over the form, when no field says it. */
export const messageOf = (refusal: Refusal): string | undefined =>
  refusal.errors.length === 0 ? refusal.message : undefined

const choice = (one: Membership) => ({
  id: one.companyId,
  name: one.companyName,
  role: theRoleWords()[one.role],
})

const membershipJson = (one: Membership) => ({ id: one.companyId, name: one.companyName, role: one.role })

/** The same words as `GET /me`. */
export function signedInJson({ person, companyId, companies }: Omit<SignedIn, 'code'>) {
  const current = companies.find((one) => one.companyId === companyId)
  return {
    person,
    member: current ? { id: current.memberId } : null,
    role: current?.role ?? null,
    company: current ? { id: current.companyId, name: current.companyName } : null,
    companies: companies.map(membershipJson),
    via: 'session',
    scopes: current ? ['read', 'write'] : [],
  }
}

/** Whether this server takes new companies: always, never, or until the first is there. */
async function maySignUp({ deps: { machinery } }: PublicAsk): Promise<boolean> {
  const { signup } = machinery.settings
  return signup === 'open' || (signup === 'first' && !(await anyCompany(machinery.store.reader())))
}
