// Where are the bytes of pictures kept? Under the hash of what they hold, a folder for each company; never changed.

import { createHash, randomUUID } from 'node:crypto'
import { type FileHandle, mkdir, open, readdir, readFile, rename, rm, stat } from 'node:fs/promises'
import { dirname, join } from 'node:path'

/**
 * Content-addressed: the same bytes are the same file, so a repeat writes nothing. Who asks says which company they
 * ask for, as every query does. Object storage can stand behind the same four when a company outgrows one disk.
 */
export interface Files {
  /** Answers the SHA-256 that the bytes are kept under, once they are safely on disk. */
  put(companyId: string, bytes: Uint8Array): Promise<string>
  /** Null when there is no such file. */
  get(companyId: string, sha256: string): Promise<Buffer | null>
  has(companyId: string, sha256: string): Promise<boolean>
  /** Every hash that a company keeps something under. */
  list(companyId: string): Promise<string[]>
}

export const hashOf = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex')

const HASH = /^[0-9a-f]{64}$/
const COMPANY = /^[0-9a-f-]{36}$/

/** Names are checked here too: no company and no hash can lead out of the folder. */
function placeOf(folder: string, companyId: string, sha256: string): string {
  if (!COMPANY.test(companyId) || !HASH.test(sha256)) throw new Error('That names no file.')
  return join(folder, companyId, sha256.slice(0, 2), sha256)
}

export function localFiles(folder: string): Files {
  return {
    async put(companyId, bytes) {
      const sha256 = hashOf(bytes)
      const place = placeOf(folder, companyId, sha256)
      if ((await sizeOf(place)) === bytes.byteLength) return sha256
      await writeWhole(place, bytes)
      return sha256
    },
    async get(companyId, sha256) {
      try {
        return await readFile(placeOf(folder, companyId, sha256))
      } catch (problem) {
        if (isNotThere(problem)) return null
        throw problem
      }
    },
    async has(companyId, sha256) {
      return (await sizeOf(placeOf(folder, companyId, sha256))) !== null
    },
    async list(companyId) {
      if (!COMPANY.test(companyId)) throw new Error('That names no company.')
      const names = await readdir(join(folder, companyId), { recursive: true }).catch((problem) => {
        if (isNotThere(problem)) return []
        throw problem
      })
      return names.map((name) => name.slice(-64)).filter((name) => HASH.test(name))
    },
  }
}

export interface CopiedFiles {
  copied: number
  alreadyThere: number
  /** Files whose bytes are not what their name says: not copied. */
  broken: string[]
}

/** Brings what is missing into another folder; what is there is left alone. Each file is checked as it is copied. */
export async function copyFiles(from: string, to: string): Promise<CopiedFiles> {
  const done: CopiedFiles = { copied: 0, alreadyThere: 0, broken: [] }
  const target = localFiles(to)
  const companies = await readdir(from).catch((problem) => {
    if (isNotThere(problem)) return []
    throw problem
  })
  for (const companyId of companies.filter((name) => COMPANY.test(name))) {
    const source = localFiles(from)
    for (const sha256 of await source.list(companyId)) {
      const bytes = await source.get(companyId, sha256)
      if (!bytes || hashOf(bytes) !== sha256) done.broken.push(`${companyId}/${sha256}`)
      else if ((await sizeOf(placeOf(to, companyId, sha256))) === bytes.byteLength) done.alreadyThere += 1
      else {
        await target.put(companyId, bytes)
        done.copied += 1
      }
    }
  }
  return done
}

/** Under another name first, so that a power cut leaves a whole file or none. */
async function writeWhole(place: string, bytes: Uint8Array): Promise<void> {
  const folder = dirname(place)
  await mkdir(folder, { recursive: true })
  const making = join(folder, `${randomUUID()}.part`)
  try {
    await withFile(making, 'wx', async (file) => {
      await file.writeFile(bytes)
      await file.sync()
    })
    await rename(making, place)
    // The name is kept by the folder, and the folder's own name by the one above.
    for (const one of [folder, dirname(folder)]) await withFile(one, 'r', (file) => file.sync())
  } catch (problem) {
    await rm(making, { force: true })
    throw problem
  }
}

async function withFile(path: string, flags: string, work: (file: FileHandle) => Promise<void>) {
  const file = await open(path, flags, 0o640)
  try {
    await work(file)
  } finally {
    await file.close()
  }
}

async function sizeOf(path: string): Promise<number | null> {
  try {
    return (await stat(path)).size
  } catch (problem) {
    if (isNotThere(problem)) return null
    throw problem
  }
}

const isNotThere = (problem: unknown) => (problem as NodeJS.ErrnoException).code === 'ENOENT'
