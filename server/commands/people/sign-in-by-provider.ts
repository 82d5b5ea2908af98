// Goes to a company's own provider and comes back as whom it says: a member that is there already, and nobody else.

import { begin, finish, type Said } from '../../openid/provider.ts'
import { missing, Refusal } from '../../refusals.ts'
import {
  findProvider,
  memberByEmail,
  memberNamed,
  tieIdentity,
  useIdentity,
  type WayIn,
  wayInByCode,
} from '../../store/queries/identity-providers.ts'
import { beginStep, endStep, findStep } from '../../store/queries/second-step.ts'
import { appendEntry } from '../../store/record.ts'
import { type Scope, scopeOf } from '../../store/store.ts'
import { say } from '../../words/say.ts'
import type { Machinery } from '../command.ts'
import { networksOf, providerToAsk } from './identity-provider.ts'

/** Refuses with missing. */
export async function findWayIn({ store }: Machinery, code: string): Promise<WayIn> {
  const way = await wayInByCode(store.reader(), code)
  if (!way) throw missing(say.openid.thisWayIn)
  return way
}

const backTo = ({ settings }: Machinery) => new URL('/sign-in/openid', settings.publicUrl).href

export interface OnTheWay {
  /** Where the browser goes. */
  address: string
  /** What the browser holds meanwhile. */
  step: string
}

export async function goToProvider(machinery: Machinery, way: WayIn, next: string | null): Promise<OnTheWay> {
  const { store } = machinery
  const provider = await providerToAsk(scopeOf(store.reader(), way.companyId), machinery)
  if (!provider) throw missing(say.openid.thisWayIn)
  const { address, begun } = await begin(provider, networksOf(machinery), backTo(machinery)).catch(() => {
    throw refused(say.openid.notReached(way.name))
  })
  const { step } = await store.transaction((session) =>
    beginStep(
      session,
      {
        kind: 'openid',
        personId: null,
        companyId: way.companyId,
        memory: { ...begun, ...(next === null ? {} : { next }) },
      },
      machinery.clock(),
    ),
  )
  return { address, step }
}

export interface CameBack {
  personId: string
  companyId: string
  next: string | null
}

/** `asked` is the path and question that the provider sent the browser to; `step` what the browser held. */
export async function comeBack(machinery: Machinery, step: string, asked: string): Promise<CameBack> {
  const { store, clock } = machinery
  const begun = await store.transaction(async (session) => {
    const found = await findStep(session, step, ['openid'], clock())
    // Once, whatever comes of it: what was seen on the way back opens nothing a second time.
    return found && (await endStep(session, step)) ? found : null
  })
  const { state, nonce, verifier, next = null } = begun?.memory ?? {}
  if (!begun?.companyId || !state || !nonce || !verifier) throw refused(say.openid.over)
  const { companyId } = begun
  const provider = await providerToAsk(scopeOf(store.reader(), companyId), machinery)
  if (!provider) throw refused(say.openid.over)
  const cameBackTo = new URL(asked, machinery.settings.publicUrl)
  const said = await finish(provider, networksOf(machinery), cameBackTo, { state, nonce, verifier }).catch(
    () => {
      throw refused(say.openid.notSaid)
    },
  )
  const personId = await store.transaction((session) => whoIs(scopeOf(session, companyId), said, clock()))
  return { personId, companyId, next }
}

/** Once tied, a name of the provider's is that person's, whatever their mail address becomes. */
async function whoIs(scope: Scope, said: Said, now: number): Promise<string> {
  const { issuer, subject, email } = said
  const known = await memberNamed(scope, issuer, subject)
  if (known) {
    if (!known.isActive) throw refused(say.openid.noMember)
    await useIdentity(scope, issuer, subject, now)
    return known.personId
  }
  if (email === null || !said.emailVerified) throw refused(say.openid.noVerifiedAddress)
  const { domains = [] } = (await findProvider(scope)) ?? {}
  const speaksFor = domains.length === 0 || domains.includes(email.slice(email.lastIndexOf('@') + 1))
  const personId = speaksFor ? await memberByEmail(scope, issuer, email) : null
  if (personId === null) throw refused(say.openid.noMember)
  await tieIdentity(scope, { issuer, subject, personId }, now)
  const { companyId } = scope
  await appendEntry(
    scope,
    { chainId: companyId, kind: 'identity-tied', subjectId: personId, body: { issuer } },
    { now, deviceAt: null, memberId: null },
  )
  return personId
}

const refused = (words: string) => new Refusal('signed-out', 'provider-refused', words)
