// Does a company move from one server's console to another's?

import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { type Console, run } from '../../server/jointkeep.ts'
import { openStore } from '../../server/store/open.ts'
import { aCast, type Cast, NOON, TEST_KEY } from '../support/cast.ts'
import { aSealedJob } from '../support/certified.ts'

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
  folder = mkdtempSync(join(tmpdir(), 'jointkeep-moving-'))
  writeFileSync(at('key.json'), JSON.stringify(TEST_KEY))
  said = []
  complained = []
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

const at = (name: string) => join(folder, name)
const jointkeep = (words: string[], environment: Record<string, string>) => {
  const console: Console = {
    environment,
    now: () => NOON,
    say: (line) => said.push(line),
    complain: (line) => complained.push(line),
    secret: async () => 'a long enough secret',
  }
  return run(words, console)
}
const here = () => ({
  DATABASE_URL: `sqlite:${cast.store.file}`,
  JOINTKEEP_FILES: at('files'),
  JOINTKEEP_SIGNING_KEY: at('key.json'),
  JOINTKEEP_PUBLIC_URL: 'https://old.example',
})
const there = () => ({
  DATABASE_URL: `sqlite:${at('new.db')}`,
  JOINTKEEP_FILES: at('new-files'),
  JOINTKEEP_SIGNING_KEY: at('new-key.json'),
})
const write = (...more: string[]) =>
  jointkeep(['export-company', cast.olga.companyId, at('company.tar'), ...more], here())
const all = () => [...said, ...complained].join('\n')

describe('export-company and import-company', () => {
  it('move it with its certificates, and let its people in by a new password', async () => {
    expect(await write(), all()).toBe(0)
    expect(all()).toContain('100 %')
    expect(existsSync(at('company.tar.part'))).toBe(false)
    expect(await jointkeep(['import-company', at('company.tar'), '--with-keys'], there()), all()).toBe(0)
    expect(all()).toMatch(/Took up North Ridge Air, .*: \d+ rows, 0 files; \d+ chains hold/)
    expect(all()).toContain('Added 1 keys of https://old.example')
    expect(all()).toContain('All as it was written.')
    expect(await jointkeep(['verify'], there()), all()).toBe(0)
    // The cast's own address has blanks in it.
    const store = await openStore(there().DATABASE_URL)
    await store.execute(
      "update people set email = 'o@n.example', email_lower = 'o@n.example' where name = 'Olga'",
    )
    await store.close()
    expect(await jointkeep(['reset-password', '--email', 'o@n.example'], there()), all()).toBe(0)
  })

  it('say that certificates can not be checked where the keys did not come along', async () => {
    await write()
    expect(await jointkeep(['import-company', at('company.tar')], there())).toBe(1)
    expect(all()).toContain('add-keys')
    expect(await jointkeep(['add-keys', at('published.json')], there())).toBe(1)
  })

  it('write over nothing unasked, and take up nothing where a company is', async () => {
    writeFileSync(at('company.tar'), 'mine')
    expect(await write()).toBe(1)
    expect(readFileSync(at('company.tar'), 'utf8')).toBe('mine')
    expect(await write('--force'), all()).toBe(0)
    expect(await jointkeep(['import-company', at('company.tar'), '--with-keys'], there()), all()).toBe(0)
    expect(await jointkeep(['import-company', at('company.tar')], there())).toBe(1)
    expect(all()).toContain('There is a company on this server already')
  })

  it('leave nothing half-written when there is no such company', async () => {
    expect(await jointkeep(['export-company', 'nobody', at('company.tar')], here())).toBe(1)
    expect(existsSync(at('company.tar'))).toBe(false)
    expect(existsSync(at('company.tar.part'))).toBe(false)
  })

  it.each([[['export-company']], [['export-company', 'one']], [['import-company']]])(
    'understand %j only with what belongs to it',
    async (words) => {
      expect(await jointkeep(words, here())).toBe(2)
    },
  )
})
