// Does a company move whole? Written out, taken up elsewhere, written out again: the same bytes, on both databases and across.

import { createHash } from 'node:crypto'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { z } from 'zod'
import { verifyRecord } from '../../server/certificate/verify-record.ts'
import { type Command, runCommand } from '../../server/commands/command.ts'
import { decideCorrection } from '../../server/commands/corrections/decide-correction.ts'
import { leaveOutJoint } from '../../server/commands/jobs/leave-out-joint.ts'
import { removeUnit } from '../../server/commands/places/remove-unit.ts'
import { retireJoint } from '../../server/commands/places/retire-joint.ts'
import { grantConcession } from '../../server/commands/release/grant-concession.ts'
import { ABOUT, MANIFEST, type Manifest } from '../../server/moving/archive-form.ts'
import { exportCompany } from '../../server/moving/export-company.ts'
import { BrokenArchive, importCompany, openArchive } from '../../server/moving/import-company.ts'
import { MOVES, movedTables } from '../../server/moving/moved-tables.ts'
import { TAR_END, TarFile, tarHeader, tarPadding } from '../../server/moving/tar.ts'
import { type Files, localFiles } from '../../server/store/files.ts'
import { rebuildRollups } from '../../server/store/rollups.ts'
import type { Store } from '../../server/store/store.ts'
import { COMMAND_EXAMPLES } from '../shape/examples.ts'
import { aWorld, teamA, teamB, type World } from '../shape/world.ts'
import { aCast, type Cast, NOON } from '../support/cast.ts'
import { freshStore, STORE_KINDS, type StoreKind, type TestStore } from '../support/stores.ts'

let folder: string
const casts = new Map<StoreKind, Cast>()
const others: TestStore[] = []
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'jointkeep-moving-'))
  for (const kind of STORE_KINDS) {
    const cast = await aCast(kind)
    casts.set(kind, cast)
    await filled(cast, await aWorld(cast, teamA(cast), 'Aldermoor'))
    await aWorld(cast, await teamB(cast), 'Birchwick')
  }
}, 120_000)
afterAll(async () => {
  for (const cast of casts.values()) await cast.remove()
  for (const other of others) await other.remove()
  rmSync(folder, { recursive: true, force: true })
})
/** What the world of the shape tests has none of. */
async function filled(cast: Cast, world: World) {
  const commands = { removeUnit, retireJoint, leaveOutJoint, grantConcession, decideCorrection }
  for (const command of Object.values(commands)) {
    const example = COMMAND_EXAMPLES[command.name]?.(world, cast.clock.now)
    if (!example?.by) throw new Error(`no example for ${command.name}`)
    const { by, input } = example
    await runCommand(cast.machinery, command as unknown as Command<z.ZodType, unknown>, input, {
      actor: world.team[by],
      idempotencyKey: `key of ${command.name} Ä ${by}`,
    })
  }
}
const castOf = (kind: StoreKind): Cast => {
  const cast = casts.get(kind)
  if (!cast) throw new Error(`nobody made ${kind}`)
  return cast
}
const at = (name: string) => join(folder, name)

async function writeOut(store: Store, files: Files, companyId: string, name: string, now = NOON) {
  const chunks: Uint8Array[] = []
  const progress: number[] = []
  const { manifest } = await exportCompany(store, companyId, {
    files,
    now,
    about: { from: `https://${name}.example`, program: '1', keys: [] },
    write: async (bytes) => void chunks.push(bytes),
    onProgress: ({ done, total }) => progress.push(done / total),
  })
  writeFileSync(at(name), Buffer.concat(chunks))
  expect(progress.at(-1)).toBe(1)
  expect(progress.every((share, index) => share >= (progress[index - 1] ?? 0) && share <= 1)).toBe(true)
  return manifest
}

/** Everything but what is the server's own. */
function contentOf(path: string): Map<string, string> {
  const tar = new TarFile(path)
  try {
    return new Map(
      [...tar.entries.keys()]
        .filter((name) => name !== ABOUT)
        .map((name) => [name, tar.read(name).toString('base64')]),
    )
  } finally {
    tar.close()
  }
}

async function takeUp(kind: StoreKind, path: string) {
  const fresh = await freshStore(kind)
  others.push(fresh)
  const files = localFiles(mkdtempSync(join(folder, 'files-')))
  const archive = await openArchive(path)
  try {
    return { store: fresh.store, files, sum: await importCompany(fresh.store, archive, { files, now: NOON }) }
  } finally {
    archive.tar.close()
  }
}

const pairs = STORE_KINDS.flatMap((from) => STORE_KINDS.map((to) => [from, to] as const))

describe('a company that moves', () => {
  it.each(pairs)('from %s to %s is there byte by byte, and its chains hold', async (from, to) => {
    const cast = castOf(from)
    const { companyId } = cast.tess
    const files = cast.machinery.files
    const first = `first-${from}-${to}`
    const before = await writeOut(cast.store.store, files, companyId, first)
    const there = await takeUp(to, at(first))
    expect(there.sum.companyId).toBe(companyId)
    expect(there.sum.rows).toBe(before.tables.reduce((sum, { rows }) => sum + rows, 0))
    const second = `second-${from}-${to}`
    await writeOut(there.store, there.files, companyId, second, NOON + 86_400_000)
    expect(contentOf(at(second))).toEqual(contentOf(at(first)))
    expect(readFileSync(at(second)).equals(readFileSync(at(first)))).toBe(false)
    const faults: unknown[] = []
    const keys = cast.machinery.signer.publicKeys
    const sum = await verifyRecord(there.store, {
      keys,
      files: there.files,
      onFault: (one) => faults.push(one),
    })
    expect(faults).toEqual([])
    expect(sum).toMatchObject({ companies: 1, faults: 0 })
    expect(sum?.certificates).toBeGreaterThan(0)
    expect(sum?.files).toBeGreaterThan(0)
    // What is made from the facts is as it was, and nothing of the other company came along.
    expect((await rebuildRollups(there.store, companyId, NOON)).differed).toBe(0)
    expect(await there.store.query('select id from companies')).toEqual([{ id: companyId }])
    const found = `select kind, term from search_terms where company_id = '${companyId}' order by kind, term`
    const sorted = (rows: Record<string, unknown>[]) => rows.map((row) => `${row.kind} ${row.term}`).sort()
    expect(sorted(await there.store.query(found))).toEqual(sorted(await cast.store.store.query(found)))
  })

  it('is the same archive whichever database it was written from', async () => {
    // Rows that hold the same: taken up from one archive on each kind of database.
    const cast = castOf('sqlite')
    await writeOut(cast.store.store, cast.machinery.files, cast.tess.companyId, 'one')
    const contents = []
    for (const kind of STORE_KINDS) {
      const there = await takeUp(kind, at('one'))
      await writeOut(there.store, there.files, cast.tess.companyId, `one-${kind}`)
      contents.push(contentOf(at(`one-${kind}`)))
    }
    for (const content of contents) expect(content).toEqual(contents[0])
  })

  it('brings every table of the record, or there is a reason', async () => {
    const cast = castOf('sqlite')
    const manifest = await writeOut(cast.store.store, cast.machinery.files, cast.tess.companyId, 'all')
    const tables = await cast.store.store.query<{ name: string }>(
      "select name from sqlite_master where type = 'table' and name not like 'sqlite_%' and name <> 'migrations'",
    )
    expect(Object.keys(MOVES)).toHaveLength(tables.length)
    const moved = new Set(movedTables().map(({ sqlName }) => sqlName))
    expect(new Set(manifest.tables.map(({ table }) => table))).toEqual(moved)
    // A table that is empty here was tried by nobody.
    const empty = manifest.tables.filter(({ rows }) => rows === 0).map(({ table }) => table)
    expect(empty).toEqual([])
    const owned = await Promise.all(
      tables.map(async ({ name }) => {
        const columns = await cast.store.store.query<{ name: string }>(`pragma table_info(${name})`)
        return columns.some((column) => column.name === 'company_id') ? name : null
      }),
    )
    const left = owned.filter((name) => name !== null && !moved.has(name)).sort()
    expect(left).toEqual([
      'identity_providers',
      'provider_domains',
      'provider_identities',
      'search_keys',
      'search_terms',
      'service_cohorts',
      'service_lives',
      'service_rollups',
      'sessions',
      'sign_in_steps',
      'sign_ins',
      'tokens',
      'webhook_attempts',
      'webhook_deliveries',
      'webhook_endpoints',
    ])
  })

  it('leaves behind whatever somebody could sign in with', async () => {
    const cast = castOf('sqlite')
    await cast.store.store.execute("update people set password_hash = 'the hash of a secret'")
    await writeOut(cast.store.store, cast.machinery.files, cast.tess.companyId, 'secrets')
    const text = readFileSync(at('secrets'), 'latin1')
    expect(text).toContain('Tess@North Ridge Air.example')
    expect(text).not.toContain('the hash of a secret')
    expect(text).not.toContain('passwordHash')
    expect(text).not.toContain('tokenHash')
    expect(text).not.toContain(cast.zoe.companyId)
    expect(text).not.toContain('Birchwick')
    const there = await takeUp('sqlite', at('secrets'))
    expect(await there.store.query('select distinct password_hash as hash from people')).toEqual([
      { hash: 'none' },
    ])
  })

  it('names what was lost before, and moves all the same', async () => {
    const cast = castOf('sqlite')
    const files: Files = { ...cast.machinery.files, get: async () => null }
    const manifest = await writeOut(cast.store.store, files, cast.tess.companyId, 'lost')
    expect(manifest.files).toEqual([])
    expect(manifest.missing.length).toBeGreaterThan(0)
    expect((await takeUp('sqlite', at('lost'))).sum.files).toBe(0)
  })
})

describe('an archive', () => {
  const whole = () => readFileSync(at('one'))
  const withEntries = (change: (entries: Map<string, Buffer>) => void): Buffer => {
    const tar = new TarFile(at('one'))
    const entries = new Map([...tar.entries.keys()].map((name) => [name, tar.read(name)]))
    tar.close()
    change(entries)
    return Buffer.concat([
      ...[...entries].flatMap(([name, bytes]) => [
        tarHeader(name, bytes.length),
        bytes,
        tarPadding(bytes.length),
      ]),
      TAR_END,
    ])
  }
  const rewritten = (change: (line: string) => string, table: string) =>
    withEntries((entries) => {
      // With a manifest that fits: whoever changed it took the trouble.
      const manifest = JSON.parse(String(entries.get(MANIFEST))) as Manifest
      const part = manifest.tables.find((one) => one.table === table)?.parts[0]
      if (!part) throw new Error(`no ${table}`)
      const bytes = Buffer.from(String(entries.get(part.name)).split('\n').map(change).join('\n'))
      entries.set(part.name, bytes)
      part.bytes = bytes.length
      part.sha256 = createHash('sha256').update(bytes).digest('hex')
      entries.set(MANIFEST, Buffer.from(JSON.stringify(manifest)))
    })
  const opened = (bytes: Buffer) => {
    writeFileSync(at('changed'), bytes)
    return openArchive(at('changed'))
  }
  const nothingTaken = async (bytes: Buffer) => {
    const archive = await opened(bytes)
    const fresh = await freshStore('sqlite')
    others.push(fresh)
    const files = localFiles(mkdtempSync(join(folder, 'files-')))
    const problem = await importCompany(fresh.store, archive, { files, now: NOON }).then(
      () => null,
      (one: unknown) => one,
    )
    archive.tar.close()
    for (const table of ['companies', 'people', 'entries', 'steps', 'sites'])
      expect(await fresh.store.query(`select * from ${table}`)).toEqual([])
    return String((problem as Error | null)?.message)
  }

  it('that breaks off anywhere is not opened', async () => {
    const bytes = whole()
    for (const share of [0, 0.1, 0.5, 0.9, 0.999])
      await expect(
        opened(bytes.subarray(0, Math.floor(bytes.length * share))),
        String(share),
      ).rejects.toThrow(BrokenArchive)
  })

  it('with one byte changed anywhere, but for what says where it comes from, is not opened', async () => {
    const bytes = whole()
    const begin = bytes.indexOf('tables/')
    // Padding and the end carry nothing.
    const tried = Array.from(
      { length: 60 },
      (_, index) => begin + Math.floor(((bytes.length - begin) * index) / 60),
    )
    let refused = 0
    for (const place of tried) {
      if (bytes[place] === 0) continue
      const changed = Buffer.from(bytes)
      changed[place] = (changed[place] ?? 0) ^ 1
      await expect(opened(changed), `byte ${place}`).rejects.toThrow(BrokenArchive)
      refused += 1
    }
    expect(refused).toBeGreaterThan(40)
  })

  it('with a file too many, or one too few, is not opened', async () => {
    await expect(
      opened(withEntries((entries) => entries.set('files/more', Buffer.from('x')))),
    ).rejects.toThrow(/does not name/)
    await expect(
      opened(
        withEntries((entries) =>
          entries.delete([...entries.keys()].find((name) => name.startsWith('files/')) ?? ''),
        ),
      ),
    ).rejects.toThrow(BrokenArchive)
  })

  it.each([
    ['nothing', Buffer.alloc(0)],
    ['a text', Buffer.from('maker;model\n'.repeat(200))],
    ['empty blocks', Buffer.alloc(2048)],
    ['another archive', Buffer.concat([tarHeader('readme', 2), Buffer.from('hi'), tarPadding(2), TAR_END])],
  ])('that is %s is not opened', async (_name, bytes) => {
    await expect(opened(bytes)).rejects.toThrow(BrokenArchive)
  })

  it('of a later form, or with a table or a column from one, is refused with its reason', async () => {
    const later = withEntries((entries) => {
      const manifest = JSON.parse(String(entries.get(MANIFEST)))
      entries.set(MANIFEST, Buffer.from(JSON.stringify({ ...manifest, version: 2 })))
    })
    await expect(opened(later)).rejects.toThrow(/newer program/)
    const table = withEntries((entries) => {
      const manifest = JSON.parse(String(entries.get(MANIFEST)))
      manifest.tables.push({ table: 'hover_boards', rows: 0, parts: [] })
      entries.set(MANIFEST, Buffer.from(JSON.stringify(manifest)))
    })
    await expect(opened(table)).rejects.toThrow(/hover_boards/)
    const column = rewritten((line) => line.replace(/^\{/, '{"colour":"red",'), 'sites')
    expect(await nothingTaken(column)).toContain('sites.colour')
  })

  it('whose facts were changed together with its list is not taken: the chain does not hold', async () => {
    const changed = rewritten((line) => line.replace('"reason":null', '"reason":"better"'), 'makes')
    expect(await nothingTaken(changed)).toMatch(/Nothing was taken: entry \d+ of chain .* was changed/)
  })

  it('with rows of another company is not taken', async () => {
    const { companyId, ...other } = castOf('sqlite').zoe
    const changed = rewritten(
      (line) => line.replace(/"companyId":"[^"]+"/, `"companyId":"${companyId}"`),
      'sites',
    )
    expect(other.companyName).not.toBe('')
    expect(await nothingTaken(changed)).toContain('sites')
  })

  it('is not taken where there is a company', async () => {
    const cast = castOf('pglite')
    const archive = await openArchive(at('one'))
    const files = cast.machinery.files
    await expect(importCompany(cast.store.store, archive, { files, now: NOON })).rejects.toMatchObject({
      code: 'not-empty',
    })
    archive.tar.close()
  })
})
