// Where is somebody signed in, when did they sign in, and how do they sign out elsewhere?

import { SigningInPage } from '../../views/people/signing-in.tsx'
import { endOtherSessions, endSession } from '../commands/people/end-sessions.ts'
import { sha256 } from '../ids.ts'
import { signedOut } from '../refusals.ts'
import {
  listOwnSessions,
  listOwnSignIns,
  type OpenSession,
  type SignInRow,
} from '../store/queries/sign-ins.ts'
import type { Deps } from './deps.ts'
import { instant, instantOrNull } from './json.ts'
import type { PublicAsk, Resource } from './resource.ts'
import { messageOf } from './session.ts'
import { shellOf } from './shell.ts'

export function signingInResource(resource: Resource, _deps: Deps): void {
  resource.publicRead({
    path: '/me/signing-in',
    name: 'signing-in',
    summary: 'Where you are signed in now, and when you signed in during the last 90 days. Not for tokens.',
    load,
    json: ({ sessions, signIns }) => ({
      sessions: sessions.map(sessionJson),
      signIns: signIns.map(signInJson),
    }),
    page: (data, ask) => page(data, ask),
  })

  resource.publicWrite({
    method: 'DELETE',
    path: '/me/sessions/:handle',
    command: endSession,
    page: {
      path: '/me/sessions/:handle/end',
      goTo: () => '/me/signing-in',
      again: async (_form, refusal, ask) => page(await load(ask), ask, messageOf(refusal)),
    },
  })

  resource.publicWrite({
    path: '/me/sessions/end-others',
    command: endOtherSessions,
    page: {
      goTo: () => '/me/signing-in',
      again: async (_form, refusal, ask) => page(await load(ask), ask, messageOf(refusal)),
    },
  })
}

interface Known {
  sessions: (OpenSession & { here: boolean })[]
  signIns: SignInRow[]
}

/** For a browser with a session alone: a token speaks for a member in one company, and for no browser. */
async function load({ identity, deps, now }: PublicAsk): Promise<Known> {
  const { personId, sessionSecret, boundTo } = identity
  if (personId === null || sessionSecret === null) throw signedOut()
  const reader = deps.machinery.store.reader()
  const here = sha256(sessionSecret)
  const sessions = (await listOwnSessions(reader, personId, now)).filter(
    (one) => boundTo === null || one.companyId === boundTo,
  )
  return {
    sessions: sessions.map((one) => ({ ...one, here: one.id === here })),
    // Where they come and go in other companies is nothing to this one's provider.
    signIns: (await listOwnSignIns(reader, personId, now)).filter(
      (one) => boundTo === null || one.companyId === boundTo,
    ),
  }
}

const page = ({ sessions, signIns }: Known, { identity: { actor } }: PublicAsk, refused?: string) =>
  SigningInPage({ shell: actor ? shellOf(actor, '/me') : {}, sessions, signIns, refused })

const sessionJson = (one: OpenSession & { here: boolean }) => ({
  id: one.handle,
  companyId: one.companyId,
  browser: one.browser,
  createdAt: instant(one.createdAt),
  lastUsedAt: instantOrNull(one.lastUsedAt),
  here: one.here,
})

export const signInJson = (one: SignInRow) => ({
  id: one.id,
  at: instant(one.at),
  way: one.way,
  browser: one.browser,
  succeeded: one.succeeded,
})
