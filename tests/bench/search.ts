// How long does the search box take with a million joints? Rows put in directly, asked over the API; printed, nothing asserted.
// Usage: npx tsx tests/bench/search.ts [joints] [postgres://… of an empty database, or of one that was filled by this before]

import { mkdirSync, mkdtempSync, rmSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { sealerOf } from '../../server/access/sealer.ts'
import { sessionsOf } from '../../server/access/sessions.ts'
import { TOKEN_PREFIX } from '../../server/access/tokens.ts'
import { buildApp } from '../../server/app.ts'
import { signerOf } from '../../server/certificate/signing-key.ts'
import type { Machinery } from '../../server/commands/command.ts'
import { createOwner } from '../../server/commands/people/create-owner.ts'
import { readConfig } from '../../server/config.ts'
import { newId, newSecret, sha256 } from '../../server/ids.ts'
import { ROOT } from '../../server/root.ts'
import { localFiles } from '../../server/store/files.ts'
import { foldMark } from '../../server/store/likeness.ts'
import { migrate } from '../../server/store/migrate.ts'
import { openStore } from '../../server/store/open.ts'
import { searchTextOf } from '../../server/store/queries/sites.ts'
import {
  type Findable,
  jobFoundBy,
  keepFindable,
  siteFoundBy,
  systemFoundBy,
  unitFoundBy,
} from '../../server/store/search-terms.ts'
import { type Scope, type Store, scopeOf } from '../../server/store/store.ts'
import type { Tables } from '../../server/store/tables/index.ts'
import type { Line } from '../../server/vocabulary.ts'
import { TEST_KEY, TEST_SECRET } from '../support/cast.ts'
import { PASSWORD } from './prepare.ts'

const JOINTS = Number(process.argv[2] ?? 1_000_000)
const POSTGRES = process.argv[3]
const COMPANIES = 100
/** One company has a fifth of everything: what a large contractor's desk asks is the hardest. */
const LARGE_SHARE = 0.2
const JOINTS_OF_A_SYSTEM = 10
const ASKED = 200

const say = (line = '') => process.stdout.write(`${line}\n`)

let seed = 20_261
/** Seeded, so that every run asks the same. */
function random(below: number): number {
  seed = (seed * 1_103_515_245 + 12_345) % 2_147_483_648
  return Math.floor((seed / 2_147_483_648) * below)
}
const oneOf = <T>(list: readonly T[]): T => list[random(list.length)] as T
const SYLLABLES = [
  'bar',
  'fen',
  'hol',
  'mar',
  'tor',
  'wick',
  'stow',
  'dun',
  'gors',
  'el',
  'ham',
  'brin',
  'cote',
  'mere',
]
const name = (parts: number) => {
  const word = Array.from({ length: parts }, () => oneOf(SYLLABLES)).join('')
  return word[0]?.toUpperCase() + word.slice(1)
}
const KINDS_OF_STREET = ['Street', 'Lane', 'Road', 'Row', 'Close', 'Hill']
const BEGINNINGS = ['NW24', 'NX09', 'LS35', 'QM52', 'QM90', 'TB11']
const serial = () => `${oneOf(BEGINNINGS)}-${String(random(100_000_000)).padStart(8, '0')}`

interface Samples {
  serials: string[]
  tags: string[]
  customers: string[]
  addresses: string[]
  references: string[]
}

let isAnalysed = false

async function fill(store: Store, companyId: string, systems: number, town: string): Promise<Samples> {
  const samples: Samples = { serials: [], tags: [], customers: [], addresses: [], references: [] }
  const surnames = Array.from({ length: Math.max(200, systems / 3) }, () => name(2 + random(2)))
  const streets = Array.from(
    { length: Math.max(60, systems / 30) },
    () => `${name(2)} ${oneOf(KINDS_OF_STREET)}`,
  )
  const rows = { sites: [], systems: [], units: [], jobs: [], joints: [] } as {
    sites: Tables['sites']['$inferInsert'][]
    systems: Tables['systems']['$inferInsert'][]
    units: Tables['units']['$inferInsert'][]
    jobs: Tables['jobs']['$inferInsert'][]
    joints: Tables['joints']['$inferInsert'][]
  }
  let found: Findable[] = []
  const now = Date.now()
  const flush = async () => {
    await store.transaction((session) => write(scopeOf(session, companyId)))
    // The server makes its plans by what it knows of the tables: nothing, before they were looked at.
    if (store.dialect === 'postgres' && !isAnalysed) {
      await store.execute('analyze')
      isAnalysed = true
    }
    found = []
    for (const list of Object.values(rows)) list.length = 0
  }
  const write = async (scope: Scope) => {
    const { db, t } = scope
    await db.insert(t.sites).values(rows.sites)
    await db.insert(t.systems).values(rows.systems)
    await db.insert(t.units).values(rows.units)
    await db.insert(t.jobs).values(rows.jobs)
    for (let from = 0; from < rows.joints.length; from += 500)
      await db.insert(t.joints).values(rows.joints.slice(from, from + 500))
    await keepFindable(scope, found)
  }
  for (let index = 0; index < systems; index++) {
    const site = {
      companyId,
      id: newId(),
      customerName: `${name(2)} ${oneOf(surnames)}`,
      address: `${1 + random(200)} ${oneOf(streets)}, ${town}`,
      town,
      contact: null,
      elevationM: null,
      searchText: '',
      salt: 'salt',
      createdAt: now,
    }
    site.searchText = searchTextOf(site)
    const system = {
      companyId,
      id: newId(),
      siteId: site.id,
      name: 'Ground floor',
      tagPrefix: `NR${index + 1}`,
      refrigerant: 'R-32' as const,
      equipmentSheetId: null,
      createdAt: now,
    }
    const unit = (role: 'outdoor' | 'indoor') => {
      const number = serial()
      return {
        companyId,
        id: newId(),
        systemId: system.id,
        role,
        name: role,
        model: 'LS-35',
        serial: number,
        serialLower: number.toLowerCase(),
        equipmentSheetId: null,
        replacesUnitId: null,
        installedAt: now,
        warrantyStartAt: null,
        warrantyEndAt: null,
        registeredWithMaker: false,
        createdAt: now,
      }
    }
    const units = [unit('outdoor'), unit('indoor')]
    const reference = `JB-${2019 + random(7)}-${10_000 + index}`
    const job = {
      companyId,
      id: newId(),
      siteId: site.id,
      kind: 'installation' as const,
      reference,
      referenceLower: reference.toLowerCase(),
      stage: 'sealed' as const,
      stageAt: now,
      assignedTo: null,
      scheduledFor: null,
      callbackId: null,
      tools: null,
      openedAt: now,
    }
    for (let number = 1; number <= JOINTS_OF_A_SYSTEM; number++)
      rows.joints.push({
        companyId,
        id: newId(),
        systemId: system.id,
        lineSetId: null,
        unitId: units[0]?.id ?? null,
        number,
        tag: `${system.tagPrefix}-${number}`,
        tagLower: `${system.tagPrefix}-${number}`.toLowerCase(),
        place: 'indoor-gas',
        indoors: true,
        line: 'gas' as Line,
        tubeOdM: 0.009525,
        kind: 'flare',
        origin: 'field',
        createdAt: now,
        typed: null,
      })
    rows.sites.push(site)
    rows.systems.push(system)
    rows.units.push(...units)
    rows.jobs.push(job)
    found.push(siteFoundBy(site), systemFoundBy(system), ...units.map(unitFoundBy), jobFoundBy(job))
    if (index % Math.max(1, Math.floor(systems / ASKED)) === 0) {
      samples.serials.push(oneOf(units).serial)
      samples.tags.push(`${system.tagPrefix}-${1 + random(JOINTS_OF_A_SYSTEM)}`)
      samples.customers.push(site.customerName)
      samples.addresses.push(site.address)
      samples.references.push(reference)
    }
    if (rows.sites.length >= 200) await flush()
  }
  if (rows.sites.length > 0) await flush()
  return samples
}

/** A token of the company's owner. */
async function aToken(store: Store, companyId: string): Promise<string> {
  const token = `${TOKEN_PREFIX}${newSecret()}`
  const [member] = await store.query<{ id: string }>(
    `select id from members where company_id = '${companyId}' limit 1`,
  )
  await store.transaction(({ db, t }) =>
    db.insert(t.tokens).values({
      companyId,
      id: newId(),
      memberId: member?.id ?? '',
      name: 'bench',
      scopes: ['read'],
      tokenHash: sha256(token),
      createdAt: Date.now(),
      expiresAt: Date.now() + 86_400_000,
      revokedAt: null,
    }),
  )
  return token
}

/** What a database that was filled before has to ask for. */
async function samplesOf(store: Store, companyId: string): Promise<Samples> {
  const some = async (column: string, table: string) =>
    (
      await store.query<{ value: string }>(
        `select ${column} as value from ${table} where company_id = '${companyId}' order by id`,
      )
    )
      .map((row) => row.value)
      .filter((_, index, all) => index % Math.max(1, Math.floor(all.length / ASKED)) === 0)
  return {
    serials: await some('serial', 'units'),
    tags: (await some('tag_prefix', 'systems')).map(
      (prefix) => `${prefix}-${1 + random(JOINTS_OF_A_SYSTEM)}`,
    ),
    customers: await some('customer_name', 'sites'),
    addresses: await some('address', 'sites'),
    references: await some('reference', 'jobs'),
  }
}

/** A sign mistaken for another, left out, put in, or swapped with the next. */
function slip(text: string): string {
  const at = 1 + random(text.length - 2)
  const sign = oneOf([...'0123456789'].filter((one) => foldMark(one) !== foldMark(text[at] ?? '')))
  const [before, after] = [text.slice(0, at), text.slice(at + 1)]
  return oneOf([
    `${before}${sign}${after}`,
    `${before}${after}`,
    `${before}${text[at]}${sign}${after}`,
    `${before}${after[0] ?? ''}${text[at]}${after.slice(1)}`,
  ])
}

const QUESTIONS: Record<string, (of: Samples) => { typed: string; wanted?: string | undefined }> = {
  'serial, whole': (of) => {
    const wanted = oneOf(of.serials)
    return { typed: wanted.toLowerCase().replace('-', ' '), wanted }
  },
  'serial, beginning': (of) => ({ typed: oneOf(of.serials).slice(0, 8) }),
  'serial, last four': (of) => ({ typed: oneOf(of.serials).slice(-4) }),
  'serial, one slip': (of) => {
    const wanted = oneOf(of.serials)
    return { typed: slip(wanted), wanted }
  },
  'serial, two slips': (of) => {
    const wanted = oneOf(of.serials)
    return { typed: slip(slip(wanted)), wanted }
  },
  'tag, whole': (of) => {
    const wanted = oneOf(of.tags)
    return { typed: wanted, wanted }
  },
  'tag, one slip': (of) => ({ typed: `M${oneOf(of.tags).slice(1)}` }),
  'tag, no such number': (of) => ({ typed: `${oneOf(of.tags).split('-')[0]}-99` }),
  customer: (of) => {
    const wanted = oneOf(of.customers)
    return { typed: wanted, wanted }
  },
  'customer, one slip': (of) => ({ typed: slip(oneOf(of.customers).split(' ')[1] ?? '') }),
  'address, whole': (of) => ({ typed: oneOf(of.addresses).split(',')[0] ?? '' }),
  'house and town alone': (of) => ({ typed: `${1 + random(200)} ${oneOf(of.addresses).split(', ')[1]}` }),
  'words everybody has': (of) => ({
    typed: `${oneOf(KINDS_OF_STREET)} ${oneOf(of.addresses).split(', ')[1]}`,
  }),
  'job reference': (of) => {
    const wanted = oneOf(of.references)
    return { typed: wanted, wanted }
  },
  'two letters': (of) => ({ typed: oneOf(of.customers).slice(0, 2) }),
  nothing: () => ({ typed: `zq${random(1_000_000)}x` }),
}

const at = (times: number[], share: number) =>
  (
    times.toSorted((a, b) => a - b)[Math.min(times.length - 1, Math.floor(times.length * share))] ?? 0
  ).toFixed(1)

async function measure() {
  mkdirSync(join(ROOT, 'data'), { recursive: true })
  const folder = mkdtempSync(join(ROOT, 'data', 'bench-search-'))
  try {
    const file = join(folder, 'jointkeep.db')
    const store = await openStore(POSTGRES ?? `sqlite:${file}`)
    await migrate(store)
    const config = readConfig({
      JOINTKEEP_FILES: folder,
      DATABASE_URL: POSTGRES ?? `sqlite:${file}`,
      JOINTKEEP_LOG: 'silent',
    })
    const machinery: Machinery = {
      store,
      files: localFiles(folder),
      clock: () => Date.now(),
      signer: signerOf(TEST_KEY),
      sealer: sealerOf(TEST_SECRET),
      settings: { signup: 'closed', publicUrl: 'http://127.0.0.1' },
    }
    const from = Date.now()
    const there = await store.query<{ id: string; name: string }>('select id, name from companies')
    const tokens = new Map<string, { token: string; samples: Samples }>()
    for (const number of [0, 1]) {
      const company = there.find(({ name }) => name === `Company ${number}`)
      if (!company) continue
      tokens.set(number === 0 ? 'large company' : 'usual company', {
        token: await aToken(store, company.id),
        samples: await samplesOf(store, company.id),
      })
    }
    for (let number = 0; number < COMPANIES && there.length === 0; number++) {
      const owner = await createOwner(machinery, {
        companyName: `Company ${number}`,
        name: 'Ottilie Marsh',
        email: `owner${number}@bench.example`,
        password: PASSWORD,
      })
      const share = number === 0 ? LARGE_SHARE : (1 - LARGE_SHARE) / (COMPANIES - 1)
      const systems = Math.max(1, Math.round((JOINTS * share) / JOINTS_OF_A_SYSTEM))
      const samples = await fill(store, owner.companyId, systems, 'Brackwater')
      if (number > 1) continue
      const token = await aToken(store, owner.companyId)
      const words = `${Math.round((systems * JOINTS_OF_A_SYSTEM) / 1000)} thousand joints`
      tokens.set(number === 0 ? `large company, ${words}` : `usual company, ${words}`, { token, samples })
    }
    if (POSTGRES) await store.execute('analyze')
    const count = async (table: string) =>
      Number((await store.query<{ n: number }>(`select count(*) as n from ${table}`))[0]?.n)
    say(
      `filled    ${await count('joints')} joints, ${await count('units')} units, ${await count('search_terms')} terms, ${await count('search_keys')} keys in ${((Date.now() - from) / 1000).toFixed(0)} s`,
    )
    if (!POSTGRES) {
      await store.execute('pragma wal_checkpoint(truncate)')
      const [pages] = await store
        .query<{ n: number }>(
          `select sum(pgsize) as n from dbstat where name in ('search_terms', 'search_keys', 'search_terms_subject_index')`,
        )
        .catch(() => [{ n: Number.NaN }])
      say(
        `size      ${(statSync(file).size / 1e6).toFixed(0)} MB, of which the search ${((pages?.n ?? 0) / 1e6).toFixed(0)} MB`,
      )
    }
    const { server } = await buildApp({
      config,
      machinery,
      sessions: sessionsOf(store, () => Date.now(), false),
    })
    await server.ready()
    const all: number[] = []
    for (const [company, { token, samples }] of tokens) {
      say()
      say(`${company}${' '.repeat(Math.max(1, 40 - company.length))}    p50     p95     max ms   found`)
      const of: number[] = []
      for (const [kind, question] of Object.entries(QUESTIONS)) {
        const times: number[] = []
        let wantedThere = 0
        let wantedAsked = 0
        for (let turn = 0; turn < ASKED; turn++) {
          const { typed, wanted } = question(samples)
          const began = performance.now()
          const answer = await server.inject({
            method: 'GET',
            url: `/api/v1/search?q=${encodeURIComponent(typed)}`,
            headers: { authorization: `Bearer ${token}` },
            // The rate is limited by address.
            remoteAddress: `10.${random(250)}.${random(250)}.${random(250)}`,
          })
          times.push(performance.now() - began)
          if (answer.statusCode !== 200) throw new Error(`${answer.statusCode}: ${answer.body}`)
          if (wanted === undefined) continue
          wantedAsked++
          if (
            answer.json().items.some((item: { matched: { value: string } }) => item.matched.value === wanted)
          )
            wantedThere++
        }
        of.push(...times)
        say(
          `  ${kind.padEnd(38)}${at(times, 0.5).padStart(8)}${at(times, 0.95).padStart(8)}${at(times, 1).padStart(8)}` +
            (wantedAsked === 0 ? '' : `      ${wantedThere} of ${wantedAsked}`),
        )
      }
      say(
        `  ${'all of these'.padEnd(38)}${at(of, 0.5).padStart(8)}${at(of, 0.95).padStart(8)}${at(of, 1).padStart(8)}`,
      )
      all.push(...of)
    }
    say()
    say(`search    p95 ${at(all, 0.95)} ms over the API   (aim: at most 50)`)
    await server.close()
    await store.close()
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

await measure()
