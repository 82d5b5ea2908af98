// Is a certificate genuine? For anybody: by the code on the paper, or by a signed copy.

import { z } from 'zod'
import {
  CheckedPage,
  CheckPage,
  KeysPage,
  type PublicState,
  UnknownCodePage,
} from '../../views/certificates/verify.tsx'
import type { CertificatePayload } from '../certificate/payload.ts'
import { type Standing, standingOf } from '../certificate/standing.ts'
import { type CopyCheck, verifyCopy } from '../certificate/verify-copy.ts'
import {
  dayWords,
  fingerprintWords,
  groupedCode,
  instantWords,
  lastFour,
  outdoorUnitOf,
  plainCode,
  sinceLines,
} from '../certificate/words.ts'
import { sha256 } from '../ids.ts'
import { missing } from '../refusals.ts'
import { type CertificateRow, certificateByCode } from '../store/queries/certificates.ts'
import { scopeOf } from '../store/store.ts'
import { say } from '../words/say.ts'
import type { Deps } from './deps.ts'
import { instant } from './json.ts'
import { offlineCheck } from './offline-check.ts'
import type { PublicAsk, Resource } from './resource.ts'

/** A person checks a few papers; a program that tries codes is slowed down. */
const RATE_LIMIT = { max: 30, timeWindow: '1 minute' }

/** The copy itself, or its text: a file that was opened and pasted is text. */
const signedCopy = z.union(
  [
    z.strictObject({ signedCopy: z.string().min(1).max(1_000_000) }),
    z.strictObject({ payload: z.string(), protected: z.string(), signature: z.string() }),
  ],
  { error: () => say.certificates.sendTheWholeSigned },
)

export function verifyResource(resource: Resource, deps: Deps): void {
  resource.publicRead({
    path: '/verify',
    name: 'check-certificate',
    summary: 'The page where a code or a signed copy is entered.',
    rateLimit: RATE_LIMIT,
    load: async (ask) => plainCode(ask.query.code ?? ''),
    page: (code) => (code === '' ? CheckPage({}) : `/verify/${encodeURIComponent(code)}`),
  })

  resource.publicRead({
    path: '/verify/:code',
    name: 'certificate-by-code',
    summary: 'What a certificate is worth today, by the code on the paper: no customer, street or person.',
    rateLimit: RATE_LIMIT,
    load: checkCode,
    json(checked) {
      if (!checked) throw missing(say.certificates.aCertificateWithThis)
      return publicJson(checked)
    },
    page: (checked, ask) =>
      checked
        ? CheckedPage({
            code: groupedCode(checked.row.code),
            state: checked.standing.state,
            since: sinceLines(checked.standing.since),
            facts: checked.standing.payload ? factsOf(checked.standing.payload) : [],
          })
        : UnknownCodePage({ code: (ask.params.code ?? '').slice(0, 60) }),
    status: (checked) => (checked ? 200 : 404),
  })

  resource.publicQuestion({
    path: '/verify',
    name: 'check-signed-copy',
    summary: 'Check a signed copy: send it in, a verdict comes out. Nothing is kept.',
    input: signedCopy,
    rateLimit: RATE_LIMIT,
    load: (input, ask) => checkCopy('signedCopy' in input ? input.signedCopy : JSON.stringify(input), ask),
    json: ({ state, reason, payload, since }) => ({
      verdict: state,
      reason,
      ...(since ? sinceJson(since) : {}),
      ...(payload ? { certificate: publicFacts(payload) } : {}),
    }),
    page: {
      answer: ({ state, reason, payload, since }) =>
        CheckPage({
          verdict: {
            state,
            reason,
            since: since ? sinceLines(since) : [],
            facts: payload ? factsOf(payload) : [],
          },
        }),
      again: (form, refusal) =>
        CheckPage({ form: { ...form, errors: [{ path: 'signedCopy', message: refusal.message }] } }),
    },
  })

  resource.publicRead({
    path: '/verify/offline',
    name: 'check-without-connection',
    summary: 'A page that checks signed copies by itself, to be kept as a file; with ?download it is one.',
    load: async (ask) =>
      offlineCheck({
        keys: deps.machinery.signer.publicKeys,
        publicUrl: deps.machinery.settings.publicUrl,
        now: ask.now,
      }),
    file: {
      mediaType: 'text/html; charset=utf-8',
      make: ({ content, policy }, ask) => ({
        content,
        policy,
        ...(ask.query.download === undefined ? {} : { fileName: 'check-a-certificate.html' }),
      }),
    },
  })

  resource.publicRead({
    path: '/verify/keys',
    name: 'signing-keys-page',
    summary: 'The keys that sign certificates here, and signed them before, to compare by eye.',
    load: async () => deps.machinery.signer.publicKeys,
    page: (keys) =>
      KeysPage({
        keys: keys.map((key, index) => ({
          id: key.kid,
          fingerprint: fingerprintWords(key.kid),
          from: key.madeAt === undefined ? null : dayWords(key.madeAt),
          until: key.retiredAt === undefined ? null : dayWords(key.retiredAt),
          signsNow: index === 0,
        })),
      }),
  })

  resource.publicRead({
    path: '/.well-known/jointkeep-keys.json',
    name: 'signing-keys',
    summary: 'The public keys that signed copies are checked with (JWK set, RFC 7517).',
    load: async () => ({ keys: deps.machinery.signer.publicKeys }),
    file: {
      mediaType: 'application/jwk-set+json',
      make: (keys) => ({ content: JSON.stringify(keys, null, 2) }),
    },
  })
}

interface CheckedCode {
  row: CertificateRow
  standing: Standing
}

async function checkCode({ deps, params }: PublicAsk): Promise<CheckedCode | null> {
  const session = deps.machinery.store.reader()
  const row = await certificateByCode(session, plainCode(params.code ?? ''))
  if (!row) return null
  const scope = scopeOf(session, row.companyId)
  return {
    row,
    standing: await standingOf(scope, row, { keys: deps.machinery.signer.publicKeys, walk: true }),
  }
}

interface CheckedCopy {
  state: PublicState
  reason: string
  payload: CertificatePayload | null
  since?: Standing['since']
}

/** The copy by itself first; if it is genuine, what has become of the certificate since. */
async function checkCopy(text: string, { deps }: PublicAsk): Promise<CheckedCopy> {
  const keys = deps.machinery.signer.publicKeys
  const copy: CopyCheck = verifyCopy(text, { keys })
  const { payload } = copy
  if (!payload) return { state: copy.verdict, reason: copy.reason, payload: null }
  const session = deps.machinery.store.reader()
  const row = await certificateByCode(session, payload.certificate.code)
  if (!row) return { state: 'altered', reason: say.certificates.itWasSignedHere, payload }
  const standing = await standingOf(scopeOf(session, row.companyId), row, { keys, walk: true })
  const kept = verifyCopy(row.signedCopy, { keys })
  if (standing.state !== 'altered' && kept.payload && digest(kept.payload) !== digest(payload))
    return { state: 'altered', reason: say.certificates.anotherCopyIsKept, payload }
  return { state: standing.state, reason: reasons()[standing.state], payload, since: standing.since }
}

const digest = (payload: CertificatePayload) => sha256(JSON.stringify(payload))

const reasons = (): Record<Standing['state'], string> => ({
  genuine: say.certificates.theContentIsWhatWas,
  altered: say.certificates.theCopyIsAs,
  superseded: say.certificates.theContentIsWhatWasSigned,
  recalled: say.certificates.theContentIsWhatWasSignedBut,
  'unknown-key': say.certificates.theKeyThatIt,
})

/** All that anybody may see: no customer, no street, nobody's name, of a serial the last four. */
function publicFacts(payload: CertificatePayload) {
  return {
    code: payload.certificate.code,
    revision: payload.certificate.revision,
    issuedAt: payload.certificate.issuedAt,
    company: payload.company.name,
    town: payload.place.town,
    systems: payload.systems.map((system) => ({
      refrigerant: system.refrigerant,
      serialEndsWith: lastFour(outdoorUnitOf(system)?.serial ?? ''),
    })),
  }
}

const publicJson = ({ row, standing }: CheckedCode) => ({
  state: standing.state,
  code: row.code,
  ...sinceJson(standing.since),
  ...(standing.payload ? { certificate: publicFacts(standing.payload) } : {}),
})

/** Only what is so: a certificate that holds says nothing of it. */
const sinceJson = ({ reopened, recalled, newer }: Standing['since']) => ({
  ...(reopened === null ? {} : { reopenedAt: instant(reopened) }),
  ...(newer === null ? {} : { holdsNow: { revision: newer.revision, issuedAt: instant(newer.issuedAt) } }),
  ...(recalled === null ? {} : { recalledSince: instant(recalled) }),
})

function factsOf(payload: CertificatePayload) {
  const facts = publicFacts(payload)
  return [
    { label: say.certificates.company, value: facts.company },
    { label: say.certificates.town, value: facts.town },
    {
      label: say.certificates.issued,
      value: instantWords(facts.issuedAt),
      note: say.certificates.revision2(facts.revision),
    },
    ...facts.systems.map((system, index) => ({
      label:
        facts.systems.length > 1 ? say.certificates.outdoorUnit2(index + 1) : say.certificates.outdoorUnit3,
      value: say.certificates.serialEndsWith(system.serialEndsWith),
      note: system.refrigerant,
    })),
  ]
}
