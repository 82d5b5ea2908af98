import { spawnSync } from 'node:child_process'
import {
  appendFileSync,
  existsSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { passwordMatches } from '../../server/access/passwords.ts'
import { verifyRecord } from '../../server/certificate/verify-record.ts'
import { type Console, run } from '../../server/jointkeep.ts'
import { ROOT } from '../../server/root.ts'
import { copyStore } from '../../server/store/copy.ts'
import { migrate } from '../../server/store/migrate.ts'
import { openStore } from '../../server/store/open.ts'
import type { Store } from '../../server/store/store.ts'
import { aCast, type Cast, NOON, TEST_KEY } from '../support/cast.ts'
import { aSealedJob } from '../support/certified.ts'
import { freshStore } from '../support/stores.ts'

let folder: string
let cast: Cast
let said: string[]
let complained: string[]

beforeAll(async () => {
  cast = await aCast()
  await aSealedJob(cast)
})
afterAll(() => cast.remove())
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'jointkeep-cli-'))
  writeFileSync(join(folder, 'key.json'), JSON.stringify(TEST_KEY))
  said = []
  complained = []
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

const at = (name: string) => join(folder, name)
const consoleFor = (environment: Record<string, string> = {}, secret = 'a long enough secret'): Console => ({
  environment: {
    DATABASE_URL: `sqlite:${at('jk.db')}`,
    JOINTKEEP_SIGNING_KEY: at('key.json'),
    ...environment,
  },
  now: () => NOON,
  say: (line) => said.push(line),
  complain: (line) => complained.push(line),
  secret: async () => secret,
})
const jointkeep = (words: string, environment?: Record<string, string>, secret?: string) =>
  run(words.split(' ').filter(Boolean), consoleFor(environment, secret))
/** In an entry's content; a page may hold leftovers of rows that were moved, so each place is changed. */
function withAByteChanged(bytes: Buffer): Buffer {
  const words = '"kind":"line-set-laid"'
  expect(bytes.indexOf(words)).toBeGreaterThan(0)
  for (let place = bytes.indexOf(words); place >= 0; place = bytes.indexOf(words, place + 1))
    bytes[place + 8] = 'L'.charCodeAt(0)
  return bytes
}
/** The database of the cast, which has one certificate. */
const ofCast = () => ({ DATABASE_URL: `sqlite:${cast.store.file}` })
const all = () => [...said, ...complained].join('\n')

describe('what is not understood', () => {
  it.each([
    ['', 2],
    ['dance', 2],
    ['migrate now', 2],
    ['verify --everything', 2],
    ['verify --company', 2],
    ['backup', 2],
    ['backup a b', 2],
    ['create-owner --email a@b.example', 2],
    ['create-owner --email a@b.example --name A', 2],
    ['create-owner --email a@b.example --name A --company C --company-id D', 2],
    ['reset-password', 2],
    ['--help', 0],
  ])('%j ends with %i and the usage or what is missing', async (words, code) => {
    expect(await jointkeep(words)).toBe(code)
    expect(all()).toMatch(/Use: npm run jointkeep|Give either/)
    expect(all()).not.toMatch(/\n\s+at /)
    expect(existsSync(at('jk.db'))).toBe(false)
  })

  it('bad settings are named, without a stack', async () => {
    expect(await jointkeep('migrate', { PORT: 'x' })).toBe(1)
    expect(complained.join()).toMatch(/PORT/)
  })
})

describe('migrate', () => {
  it('makes the tables, and does nothing the second time', async () => {
    expect(await jointkeep('migrate')).toBe(0)
    expect(said[0]).toMatch(/^Applied: 0000_foundation/)
    expect(await jointkeep('migrate')).toBe(0)
    expect(said[1]).toBe('Nothing to do: up to date.')
  })

  it('refuses a database newer than the program', async () => {
    await jointkeep('migrate')
    const database = new Database(at('jk.db'))
    database.exec("insert into migrations values ('9999_later', 'x')")
    database.close()
    expect(await jointkeep('migrate')).toBe(1)
    expect(complained.join()).toMatch(/newer than the program: it has 9999_later/)
  })
})

describe('verify', () => {
  it('finds nothing in an untouched record', async () => {
    expect(await jointkeep('verify', ofCast())).toBe(0)
    expect(said.at(-1)).toMatch(
      /^2 companies, 3 chains, \d+ entries, 1 certificates, 0 files: all as it was written\.$/,
    )
  })

  it('finds one changed byte in the file, says where, and ends with 1', async () => {
    expect(await jointkeep(`backup ${at('copy.db')}`, ofCast())).toBe(0)
    writeFileSync(at('jk.db'), withAByteChanged(readFileSync(at('copy.db'))))
    expect(await jointkeep('verify')).toBe(1)
    expect(said.join('\n')).toMatch(/North Ridge Air: chain \S+, entry 2: its content was changed/)
    expect(said.at(-1)).toMatch(/faults\.$/)
  })

  it('looks at one company when asked, and knows when there is none', async () => {
    expect(await jointkeep(`verify --company ${cast.zoe.companyId}`, ofCast())).toBe(0)
    expect(said.at(-1)).toMatch(/^1 companies, 1 chains/)
    expect(await jointkeep('verify --company nobody', ofCast())).toBe(1)
    expect(complained.join()).toBe('There is no company nobody.')
  })

  it('says that signatures could not be checked when the key is not there, and makes none', async () => {
    const environment = { ...ofCast(), JOINTKEEP_SIGNING_KEY: at('none.json') }
    expect(await jointkeep('verify', environment)).toBe(1)
    expect(complained.join()).toMatch(/no signing key/)
    expect(said.join()).toMatch(/not a key of this server/)
    expect(existsSync(at('none.json'))).toBe(false)
  })

  it('says so when there is no record yet', async () => {
    expect(await jointkeep('verify')).toBe(1)
    expect(complained.join()).toMatch(/no record in this database yet/)
  })
})

describe('backup', () => {
  it('copies a database in use, beside a writer, into one checked file', async () => {
    expect(await jointkeep(`backup ${at('deep/copy.db')}`, ofCast())).toBe(0)
    expect(said[0]).toMatch(/bytes, checked\.$/)
    expect(said[1]).toMatch(/signing key/)
    expect(existsSync(at('deep/copy.db-wal'))).toBe(false)
    expect(existsSync(at('deep/copy.db.making'))).toBe(false)
    expect(await jointkeep('verify', { DATABASE_URL: `sqlite:${at('deep/copy.db')}` })).toBe(0)
  })

  it('writes over nothing, and needs something to copy', async () => {
    writeFileSync(at('there.db'), 'precious')
    expect(await jointkeep(`backup ${at('there.db')}`, ofCast())).toBe(1)
    expect(readFileSync(at('there.db'), 'utf8')).toBe('precious')
    expect(await jointkeep(`backup ${at('new.db')}`)).toBe(1)
    expect(complained.at(-1)).toMatch(/There is no database at/)
    expect(existsSync(at('jk.db'))).toBe(false)
  })

  it('names the means of a database server', async () => {
    expect(await jointkeep(`backup ${at('x')}`, { DATABASE_URL: 'postgres://h/d' })).toBe(1)
    expect(complained.join()).toMatch(/pg_dump/)
  })
})

describe('restore', () => {
  beforeEach(async () => {
    expect(await jointkeep(`backup ${at('copy.db')}`, ofCast())).toBe(0)
    said = []
  })

  it('puts a backup in an empty place, leaves the backup as it was, and it verifies', async () => {
    const before = readFileSync(at('copy.db'))
    expect(await jointkeep(`restore ${at('copy.db')}`)).toBe(0)
    expect(readFileSync(at('copy.db')).equals(before)).toBe(true)
    expect(said.join('\n')).toMatch(/2 companies/)
    expect(await jointkeep('verify')).toBe(0)
    expect(existsSync(at('jk.db.arriving'))).toBe(false)
  })

  it('replaces nothing that holds companies, unless forced; then keeps what was there', async () => {
    expect(await jointkeep(`restore ${at('copy.db')}`)).toBe(0)
    expect(await jointkeep(`restore ${at('copy.db')}`)).toBe(1)
    expect(complained.at(-1)).toMatch(/holds companies already/)
    expect(await jointkeep(`restore ${at('copy.db')} --force`)).toBe(0)
    expect(said.join('\n')).toMatch(/What was there is now .*jk\.db\.replaced-20260304/)
    expect(existsSync(at('jk.db.replaced-20260304150000000'))).toBe(true)
    expect(await jointkeep('verify')).toBe(0)
  })

  it('replaces a database that was only migrated without being forced', async () => {
    await jointkeep('migrate')
    expect(await jointkeep(`restore ${at('copy.db')}`)).toBe(0)
  })

  it('refuses while the service has the database open, and changes nothing', async () => {
    expect(await jointkeep(`restore ${at('copy.db')}`)).toBe(0)
    const store = await openStore(`sqlite:${at('jk.db')}`)
    try {
      // As the service does when it starts.
      await migrate(store)
      expect(await jointkeep(`restore ${at('copy.db')} --force`)).toBe(1)
      expect(complained.at(-1)).toMatch(/is in use\. Stop the service first/)
    } finally {
      await store.close()
    }
    expect(await jointkeep('verify')).toBe(0)
  })

  it('refuses a backup with a changed byte, unless forced, and says which', async () => {
    writeFileSync(at('copy.db'), withAByteChanged(readFileSync(at('copy.db'))))
    expect(await jointkeep(`restore ${at('copy.db')}`)).toBe(1)
    expect(complained.join('\n')).toMatch(/its content was changed/)
    expect(existsSync(at('jk.db'))).toBe(false)
    expect(await jointkeep(`restore ${at('copy.db')} --force`)).toBe(0)
  })

  it('refuses what is cut short, no database, another database, or from a newer program', async () => {
    const bytes = readFileSync(at('copy.db'))
    writeFileSync(at('short.db'), bytes.subarray(0, Math.floor(bytes.length / 2 / 4096) * 4096))
    writeFileSync(at('text.db'), 'hello, this is not a database at all')
    const other = new Database(at('other.db'))
    other.exec('create table t (x)')
    other.close()
    const later = new Database(at('copy.db'))
    later.exec("insert into migrations values ('9999_later', 'x')")
    later.close()
    for (const [name, words] of [
      ['short.db', /not sound|not a database of this program/],
      ['text.db', /not a database of this program/],
      ['other.db', /not a database of this program/],
      ['none.db', /There is no file/],
      ['copy.db', /newer than this program/],
    ] as const) {
      expect(await jointkeep(`restore ${at(name)} --force`), name).toBe(1)
      expect(complained.at(-1), name).toMatch(words)
    }
    expect(existsSync(at('jk.db'))).toBe(false)
  })

  it('is forced over a damaged database, which is kept', async () => {
    writeFileSync(at('jk.db'), 'not a database')
    expect(await jointkeep(`restore ${at('copy.db')}`)).toBe(1)
    expect(complained.at(-1)).toMatch(/cannot be looked into/)
    expect(await jointkeep(`restore ${at('copy.db')} --force`)).toBe(0)
    expect(readFileSync(at('jk.db.replaced-20260304150000000'), 'utf8')).toBe('not a database')
    appendFileSync(at('key.json'), '')
    expect(statSync(at('jk.db')).size).toBeGreaterThan(1000)
  })
})

describe('copy-to', () => {
  it('moves the whole record into an empty database, where it verifies', async () => {
    const url = `sqlite:${at('other.db')}`
    expect(await jointkeep(`copy-to ${url}`, ofCast())).toBe(0)
    expect(said.join('\n')).toMatch(/2 companies\..*\nThe copy verifies/)
    expect(await jointkeep('verify', { DATABASE_URL: url })).toBe(0)
    expect(said.at(-1)).toMatch(/1 certificates, 0 files: all as it was written/)
    expect(await jointkeep(`copy-to ${url}`, ofCast())).toBe(1)
    expect(complained.at(-1)).toMatch(/holds companies already/)
  })

  it('carries it between the two kinds of database and back, unchanged', async () => {
    const postgres = await freshStore('pglite')
    const back = await freshStore('sqlite')
    try {
      const there = await copyStore(cast.store.store, postgres.store)
      expect(await copyStore(postgres.store, back.store)).toEqual(there)
      const faults: string[] = []
      for (const store of [postgres.store, back.store]) {
        const sum = await verifyRecord(store, {
          keys: cast.machinery.signer.publicKeys,
          onFault: ({ of, what }) => faults.push(`${of}: ${what}`),
        })
        expect(sum).toMatchObject({ companies: 2, certificates: 1 })
      }
      expect(faults).toEqual([])
      for (const { table } of there) {
        const rows = (store: Store) => store.query<Record<string, unknown>>(`select * from ${table}`)
        const sorted = (list: Record<string, unknown>[]) => list.map((row) => JSON.stringify(row)).sort()
        expect(sorted(await rows(back.store)), table).toEqual(sorted(await rows(cast.store.store)))
      }
    } finally {
      await postgres.remove()
      await back.remove()
    }
  })

  it('writes nothing when it fails half-way', async () => {
    const back = await freshStore('sqlite')
    try {
      await back.store.execute('drop table certificates')
      await expect(copyStore(cast.store.store, back.store)).rejects.toThrow()
      expect(await back.store.query('select id from companies')).toEqual([])
    } finally {
      await back.remove()
    }
  })
})

describe('people', () => {
  const passwordHashOf = (email: string) => {
    const database = new Database(at('jk.db'), { readonly: true })
    try {
      const row = database.prepare('select password_hash as hash from people where email = ?').get(email)
      return (row as { hash: string }).hash
    } finally {
      database.close()
    }
  }

  it('create-owner founds a company, with the password that was asked for', async () => {
    expect(
      await run(
        ['create-owner', '--email', 'ada@b.example', '--name', 'Ada Reed', '--company', 'Reed & Daughters'],
        consoleFor(),
      ),
    ).toBe(0)
    expect(said.join()).toMatch(/Owner of company [0-9a-f-]{36}/)
    expect(await passwordMatches(passwordHashOf('ada@b.example'), 'a long enough secret')).toBe(true)
    expect(await jointkeep('verify')).toBe(0)
  })

  it('create-owner refuses a short password and an unknown company, and writes nothing', async () => {
    const owner = ['create-owner', '--email', 'ada@b.example', '--name', 'Ada Reed']
    expect(await run([...owner, '--company', 'Reed'], consoleFor({}, 'short'))).toBe(1)
    expect(complained.join('\n')).toMatch(/password: Use at least 12 characters|at least 12/)
    const nobody = '01960000-0000-7000-8000-000000000000'
    expect(await run([...owner, '--company-id', nobody], consoleFor())).toBe(1)
    expect(complained.at(-1)).toMatch(/company was not found/i)
    expect(await jointkeep('verify')).toBe(0)
    expect(said.at(-1)).toMatch(/^0 companies/)
  })

  it('reset-password changes it, and knows when there is nobody of that name', async () => {
    await run(
      ['create-owner', '--email', 'ada@b.example', '--name', 'Ada', '--company', 'Reed'],
      consoleFor(),
    )
    expect(await jointkeep('reset-password --email ada@b.example', {}, 'another long secret')).toBe(0)
    expect(await passwordMatches(passwordHashOf('ada@b.example'), 'another long secret')).toBe(true)
    expect(await jointkeep('reset-password --email no@b.example', {}, 'another long secret')).toBe(1)
    expect(complained.at(-1)).toMatch(/was not found/)
  })

  it('reset-second-step says whether there was one, and knows when there is nobody of that name', async () => {
    await run(
      ['create-owner', '--email', 'ada@b.example', '--name', 'Ada', '--company', 'Reed'],
      consoleFor(),
    )
    expect(await jointkeep('reset-second-step --email ada@b.example')).toBe(0)
    expect(said.at(-1)).toMatch(/had no second step/)
    expect(await jointkeep('reset-second-step --email no@b.example')).toBe(1)
    expect(complained.at(-1)).toMatch(/was not found/)
    expect(await jointkeep('reset-second-step')).toBe(2)
  })
})

describe('as a program', () => {
  it('reads a password from what is piped in, and answers by its exit code', () => {
    const call = (words: string[], input = '') =>
      spawnSync(process.execPath, ['--import', 'tsx', join(ROOT, 'server/jointkeep.ts'), ...words], {
        env: { ...process.env, ...consoleFor().environment },
        input,
        encoding: 'utf8',
      })
    const made = call(
      ['create-owner', '--email', 'ada@b.example', '--name', 'Ada', '--company', 'Reed'],
      'a piped secret, long\nmore\n',
    )
    expect(made.stderr).toBe('')
    expect(made.status).toBe(0)
    expect(call(['verify']).status).toBe(0)
    expect(call([]).status).toBe(2)
    const wrong = call(['restore', at('none.db')])
    expect(wrong.status).toBe(1)
    expect(wrong.stderr).toBe(`There is no file ${at('none.db')}.\n`)
  })
})

describe('rebuild-sums', () => {
  it('makes the sums anew, says that they were as they should, and says so where they were not', async () => {
    expect(await jointkeep('rebuild-sums', ofCast())).toBe(0)
    expect(said.join('\n')).toMatch(/ makings, \d+ sums, all as they were/)
    await cast.store.store.execute(
      `insert into service_cohorts values ('${cast.tess.companyId}', 'kind', 'flare', 'entered', 600, 1, 0)`,
    )
    expect(await jointkeep(`rebuild-sums --company ${cast.tess.companyId}`, ofCast())).toBe(1)
    expect(said.at(-1)).toContain('were not what the facts say, and are now')
    expect(await jointkeep('rebuild-sums', ofCast())).toBe(0)
    expect(await jointkeep('rebuild-sums --company nobody', ofCast())).toBe(1)
    expect(all()).toContain('There is no company nobody.')
  })
})

describe('keys', () => {
  it('are listed with their fingerprints, changed, and old certificates still check', async () => {
    expect(await jointkeep('keys')).toBe(0)
    // RFC 8037, A.3, in hexadecimal.
    expect(all()).toMatch(
      /kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k, signs now\n {2}fingerprint 90facafe a9b15566/,
    )
    expect(await jointkeep('new-key')).toBe(0)
    expect(all()).toMatch(/Put away: kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k\./)
    said.length = 0
    expect(await jointkeep('keys')).toBe(0)
    expect(all()).toMatch(
      /signs now[\s\S]*kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k\n[\s\S]*put away 2026-03-04/,
    )
    expect(await jointkeep('verify', ofCast())).toBe(0)
  })

  it('can be forgotten once they are old, added from another server, and are never made by looking', async () => {
    expect(await jointkeep('forget-key kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k')).toBe(1)
    expect(complained.join()).toMatch(/make a new one first/)
    await jointkeep('new-key')
    expect(await jointkeep('forget-key kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k')).toBe(0)
    expect(await jointkeep('verify', ofCast())).toBe(1)
    writeFileSync(at('theirs.json'), JSON.stringify({ keys: cast.machinery.signer.publicKeys }))
    expect(await jointkeep(`add-keys ${at('theirs.json')}`)).toBe(0)
    expect(await jointkeep('verify', ofCast())).toBe(0)
    expect(await jointkeep(`add-keys ${at('none.json')}`)).toBe(1)
    expect(await jointkeep('keys', { JOINTKEEP_SIGNING_KEY: at('none.json') })).toBe(1)
    expect(existsSync(at('none.json'))).toBe(false)
  })
})
