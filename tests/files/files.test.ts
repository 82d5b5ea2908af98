// Are bytes kept under what they are, whole or not at all, and each company's apart?

import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { readConfig } from '../../server/config.ts'
import { newId } from '../../server/ids.ts'
import { copyFiles, hashOf, localFiles } from '../../server/store/files.ts'

let folder: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'jointkeep-files-test-'))
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

const bytes = (text: string) => Buffer.from(text)
const everything = (where = folder) =>
  readdirSync(where, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile())

describe('a folder of files', () => {
  it('keeps bytes under their hash, and gives them back', async () => {
    const files = localFiles(folder)
    const company = newId()
    const hash = await files.put(company, bytes('a gauge'))
    expect(hash).toBe(hashOf(bytes('a gauge')))
    expect(await files.get(company, hash)).toEqual(bytes('a gauge'))
    expect(await files.has(company, hash)).toBe(true)
    expect(await files.list(company)).toEqual([hash])
  })

  it('keeps the same bytes once, and leaves nothing half written', async () => {
    const files = localFiles(folder)
    const company = newId()
    await Promise.all(Array.from({ length: 8 }, () => files.put(company, bytes('the same'))))
    expect(everything().map((entry) => entry.name)).toEqual([hashOf(bytes('the same'))])
  })

  it('finds nothing of another company, and nothing that is not there', async () => {
    const files = localFiles(folder)
    const hash = await files.put(newId(), bytes('a gauge'))
    const other = newId()
    expect(await files.get(other, hash)).toBeNull()
    expect(await files.has(other, hash)).toBe(false)
    expect(await files.list(other)).toEqual([])
  })

  it('is not led out of its place by a name', async () => {
    const files = localFiles(folder)
    const hash = hashOf(bytes('x'))
    for (const [company, name] of [
      ['../elsewhere', hash],
      [newId(), '../../../etc/passwd'],
      [newId(), hash.toUpperCase()],
      ['', hash],
    ] as const)
      await expect(files.get(company, name)).rejects.toThrow('names no file')
  })

  it('does not count what was left by a power cut', async () => {
    const files = localFiles(folder)
    const company = newId()
    const hash = await files.put(company, bytes('a gauge'))
    writeFileSync(join(folder, company, hash.slice(0, 2), 'made-up.part'), 'half')
    expect(await files.list(company)).toEqual([hash])
  })
})

describe('a copy of the files', () => {
  it('brings what is missing, leaves what is there, and names what is broken', async () => {
    const files = localFiles(join(folder, 'from'))
    const company = newId()
    const first = await files.put(company, bytes('first'))
    const to = join(folder, 'to')
    expect(await copyFiles(join(folder, 'from'), to)).toEqual({ copied: 1, alreadyThere: 0, broken: [] })
    const second = await files.put(company, bytes('second'))
    writeFileSync(join(folder, 'from', company, second.slice(0, 2), second), 'sEcond')
    expect(await copyFiles(join(folder, 'from'), to)).toEqual({
      copied: 0,
      alreadyThere: 1,
      broken: [`${company}/${second}`],
    })
    expect(await localFiles(to).list(company)).toEqual([first])
  })

  it('of nothing is nothing', async () => {
    expect(await copyFiles(join(folder, 'none'), join(folder, 'to'))).toEqual({
      copied: 0,
      alreadyThere: 0,
      broken: [],
    })
  })
})

describe('the setting', () => {
  it('takes a folder, and says that object storage is not there yet', () => {
    expect(readConfig({ JOINTKEEP_FILES: './kept' }).files).toBe('./kept')
    expect(() => readConfig({ JOINTKEEP_FILES: 's3://bucket/prefix' })).toThrow(/object storage/)
  })
})
