// How does a company let its members sign in by its own provider, and how does one of them come in by it?

import type { FormState } from '../../views/parts/field.tsx'
import { IdentityProviderPage } from '../../views/people/identity-provider.tsx'
import { FindWayInPage, WayInPage } from '../../views/people/ways-in.tsx'
import { localPath } from '../access/local-path.ts'
import { removeIdentityProvider, setIdentityProvider } from '../commands/people/identity-provider.ts'
import { comeBack, findWayIn, goToProvider } from '../commands/people/sign-in-by-provider.ts'
import { Refusal } from '../refusals.ts'
import {
  findProvider,
  type IdentityProvider,
  type WayIn,
  waysInByDomain,
} from '../store/queries/identity-providers.ts'
import type { Deps } from './deps.ts'
import type { Fields } from './form.ts'
import { instant } from './json.ts'
import type { Ask, PublicAsk, Resource } from './resource.ts'
import { ENTRANCE_LIMIT, messageOf, openSession, withNext } from './session.ts'
import { shellOf } from './shell.ts'

/** Says which sign-in was begun in this browser, until it comes back. */
const ON_THE_WAY = 'jointkeep_on_the_way'
const ON_THE_WAY_S = 600

export function identityProviderResource(resource: Resource, { machinery }: Deps): void {
  const { publicUrl } = machinery.settings
  const here = (path: string) => new URL(path, publicUrl).href
  const cookie = {
    httpOnly: true,
    // The provider leads back here from elsewhere: `strict` would leave the cookie behind.
    sameSite: 'lax',
    secure: publicUrl.startsWith('https:'),
    path: '/sign-in',
  } as const

  resource.read({
    path: '/company/sign-in',
    name: 'identity-provider',
    summary: 'The OpenID Connect provider that may say who the members are, or null.',
    capability: 'manage-members',
    load: ({ scope }) => findProvider(scope),
    json: (provider) => (provider === null ? null : providerJson(provider)),
    page: (provider, ask) => ownPage(provider, ask),
  })

  resource.write({
    path: '/company/sign-in',
    command: setIdentityProvider,
    json: (provider) => providerJson(provider),
    page: {
      input: inputOf,
      goTo: () => '/company/sign-in?kept=1',
      again: async (form, refusal, ask) => ownPage(await findProvider(ask.scope), ask, form, refusal),
    },
  })

  resource.write({
    path: '/company/sign-in/remove',
    command: removeIdentityProvider,
    page: {
      goTo: () => '/company/sign-in',
      again: async (form, refusal, ask) => ownPage(await findProvider(ask.scope), ask, form, refusal),
    },
  })

  resource.publicRead({
    path: '/sign-in/by',
    name: 'find-way-in',
    summary: 'The companies whose own provider speaks for a mail address.',
    rateLimit: ENTRANCE_LIMIT,
    load: async ({ query }) => {
      const email = query.email ?? ''
      const domain = email
        .slice(email.lastIndexOf('@') + 1)
        .trim()
        .toLowerCase()
      return { email, ways: email === '' ? null : await waysInByDomain(machinery.store.reader(), domain) }
    },
    page: ({ email, ways }) => {
      const [only] = ways ?? []
      if (only && ways?.length === 1) return pageOf(only)
      return FindWayInPage({ email, ways: ways?.map((way) => wayOf(way, pageOf(way))) ?? null })
    },
  })

  resource.publicRead({
    path: '/sign-in/by/:wayInCode',
    name: 'way-in',
    summary: 'A company’s own page to sign in on.',
    load: ({ params }) => findWayIn(machinery, params.wayInCode ?? ''),
    page: (way, ask) => WayInPage({ way: wayOf(way, withNext(`${pageOf(way)}/go`, ask)) }),
  })

  resource.publicRead({
    path: '/sign-in/by/:wayInCode/go',
    name: 'go-to-provider',
    summary: 'To the company’s provider, for this browser to come back from.',
    rateLimit: ENTRANCE_LIMIT,
    load: async (ask) => {
      const way = await findWayIn(machinery, ask.params.wayInCode ?? '')
      return orRefusal(way, async () => {
        const { address, step } = await goToProvider(machinery, way, localPath(ask.query.next))
        ask.reply.setCookie(ON_THE_WAY, step, { ...cookie, maxAge: ON_THE_WAY_S })
        return address
      })
    },
    status: (came) => (came.to === null ? 401 : 200),
    page: (came, ask) => came.to ?? refusedAt(came, ask),
  })

  resource.publicRead({
    path: '/sign-in/openid',
    name: 'back-from-provider',
    summary: 'Where a company’s provider leads back to: in, or why not.',
    rateLimit: ENTRANCE_LIMIT,
    load: (ask) =>
      orRefusal(null, async () => {
        const step = ask.request.cookies[ON_THE_WAY] ?? ''
        ask.reply.clearCookie(ON_THE_WAY, cookie)
        const { personId, companyId, next } = await comeBack(machinery, step, ask.request.url)
        await openSession(ask, personId, companyId, 'openid', { boundTo: companyId })
        return localPath(next ?? undefined) ?? '/jobs'
      }),
    status: (came) => (came.to === null ? 401 : 200),
    page: (came, ask) => came.to ?? refusedAt(came, ask),
  })

  function ownPage(provider: IdentityProvider | null, ask: Ask, form?: FormState, refusal?: Refusal) {
    return IdentityProviderPage({
      shell: shellOf(ask.actor, '/members'),
      provider: provider && { ...provider, hasSecret: provider.clientSecret !== null },
      backTo: here('/sign-in/openid'),
      wayIn: provider && here(pageOf(provider)),
      kept: ask.query.kept === '1' && form === undefined,
      form,
      refused: refusal && messageOf(refusal),
    })
  }

  const providerJson = (provider: IdentityProvider) => ({
    name: provider.name,
    issuer: provider.issuer,
    clientId: provider.clientId,
    hasSecret: provider.clientSecret !== null,
    domains: provider.domains,
    active: provider.active,
    changedAt: instant(provider.changedAt),
    signInAt: here(pageOf(provider)),
    redirectUri: here('/sign-in/openid'),
  })
}

interface Came {
  way: WayIn | null
  /** Null where it was refused. */
  to: string | null
  why: string
}

/** What a browser was led to is answered as a page, with the way to begin again. */
async function orRefusal(way: WayIn | null, work: () => Promise<string>): Promise<Came> {
  try {
    return { way, to: await work(), why: '' }
  } catch (problem) {
    if (problem instanceof Refusal) return { way, to: null, why: problem.message }
    throw problem
  }
}

function refusedAt({ way, why }: Came, ask: PublicAsk) {
  if (way === null) return FindWayInPage({ email: '', ways: null, refused: why })
  return WayInPage({ way: wayOf(way, withNext(`${pageOf(way)}/go`, ask)), refused: why })
}

const pageOf = ({ code }: { code: string }) => `/sign-in/by/${code}`
const wayOf = ({ companyName, name }: WayIn, href: string) => ({ companyName, name, href })

function inputOf({ domains = '', clientSecret = '', ...fields }: Fields): Record<string, unknown> {
  return {
    ...fields,
    ...(clientSecret === '' ? {} : { clientSecret }),
    domains: domains.split(/[\s,;]+/).filter((one) => one !== ''),
    active: fields.active === 'true',
  }
}
