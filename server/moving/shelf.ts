// Where does an archive lie while it is written, and until it is fetched? One for each company, for a day.

import { createReadStream } from 'node:fs'
import { mkdir, open, readFile, rename, rm, stat, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import type { Readable } from 'node:stream'
import type { MovingProgress } from './archive-form.ts'

const DAY_MS = 86_400_000
/** Whoever writes says so more often than this; else it has ended, and the archive with it. */
const SILENT_MS = 60_000

export interface OnShelf {
  id: string
  state: 'writing' | 'whole' | 'failed'
  done: number
  total: number
  begunAt: number
  /** When it was heard of last. */
  seenAt: number
  bytes: number | null
  /** Files that the record names and that are not there. */
  missing: number
}

type Write = (bytes: Uint8Array) => Promise<void>
type Work = (
  write: Write,
  onProgress: (progress: MovingProgress) => void,
) => Promise<{ bytes: number; missing: number }>

interface Run {
  now: OnShelf
  stopped: boolean
  ended: Promise<void>
}

/** Kept in the folder of files, so that several processes of one service see the same. */
export class Shelf {
  readonly #folder: string
  readonly #clock: () => number
  /** What this process writes now. */
  readonly #running = new Map<string, Run>()

  constructor(files: string, clock: () => number) {
    this.#folder = join(files, 'archives')
    this.#clock = clock
  }

  #place(companyId: string, what: 'json' | 'part' | 'tar'): string {
    if (!/^[0-9a-f-]{36}$/.test(companyId)) throw new Error('That names no company.')
    return join(this.#folder, `${companyId}.${what}`)
  }

  /** Null when there is none, or none any more. */
  async look(companyId: string): Promise<OnShelf | null> {
    const running = this.#running.get(companyId)
    if (running) return running.now
    const now = this.#clock()
    const found = await readFile(this.#place(companyId, 'json'), 'utf8').then(
      (text) => JSON.parse(text) as OnShelf,
      () => null,
    )
    if (!found) return null
    if (found.state === 'writing' && now - found.seenAt > SILENT_MS) return { ...found, state: 'failed' }
    if (found.state !== 'writing' && now - found.seenAt > DAY_MS) {
      await this.#clear(companyId)
      return null
    }
    return found
  }

  async #clear(companyId: string): Promise<void> {
    for (const what of ['json', 'part', 'tar'] as const)
      await rm(this.#place(companyId, what), { force: true })
  }

  /** Begins to write one, unless one is being written; answers at once. */
  async begin(companyId: string, id: string, work: Work): Promise<OnShelf> {
    const running = this.#running.get(companyId)
    if (running) return running.now
    const begunAt = this.#clock()
    const now: OnShelf = {
      id,
      state: 'writing',
      done: 0,
      total: 0,
      begunAt,
      seenAt: begunAt,
      bytes: null,
      missing: 0,
    }
    const run: Run = { now, stopped: false, ended: Promise.resolve() }
    const there = this.look(companyId)
    this.#running.set(companyId, run)
    run.ended = there
      .then(async (found) => {
        // Sent twice, or begun by another process: what there is goes on.
        if (found?.id === id || found?.state === 'writing') run.now = found
        else await this.#write(companyId, work, run)
      })
      .finally(() => this.#running.delete(companyId))
    const found = await there
    return found?.id === id || found?.state === 'writing' ? found : now
  }

  async #write(companyId: string, work: Work, run: Run): Promise<void> {
    await mkdir(this.#folder, { recursive: true })
    await this.#clear(companyId)
    await this.#tell(companyId, run.now)
    let telling = Promise.resolve()
    const file = await open(this.#place(companyId, 'part'), 'w', 0o600)
    try {
      const { bytes, missing } = await work(
        async (chunk) => {
          if (run.stopped) throw new Error('The service ends.')
          await file.writeFile(chunk)
        },
        ({ done, total }) => {
          const before = run.now
          run.now = { ...before, done, total, seenAt: this.#clock() }
          // A line for each hundredth: more would only be written.
          const hundredth = (one: OnShelf) => Math.floor((100 * one.done) / (one.total || 1))
          if (hundredth(run.now) === hundredth(before)) return
          const told = run.now
          telling = telling.then(() => this.#tell(companyId, told))
        },
      )
      await file.sync()
      await file.close()
      await rename(this.#place(companyId, 'part'), this.#place(companyId, 'tar'))
      run.now = { ...run.now, state: 'whole', bytes, missing }
    } catch {
      run.now = { ...run.now, state: 'failed' }
      await rm(this.#place(companyId, 'part'), { force: true })
    } finally {
      await file.close()
      await telling
      run.now = { ...run.now, seenAt: this.#clock() }
      await this.#tell(companyId, run.now)
    }
  }

  async #tell(companyId: string, what: OnShelf): Promise<void> {
    const place = this.#place(companyId, 'json')
    await writeFile(`${place}.part`, JSON.stringify(what), { mode: 0o600 })
    await rename(`${place}.part`, place)
  }

  /** The bytes, where it is whole. */
  async take(companyId: string): Promise<{ content: Readable; bytes: number } | null> {
    if ((await this.look(companyId))?.state !== 'whole') return null
    const place = this.#place(companyId, 'tar')
    const size = await stat(place).then(
      (found) => found.size,
      () => null,
    )
    return size === null ? null : { content: createReadStream(place), bytes: size }
  }

  /** For who waits until it is done: a test, and the service that ends. */
  async ended(companyId: string): Promise<void> {
    await this.#running.get(companyId)?.ended
  }

  /** Whatever is being written is given up. */
  async stop(): Promise<void> {
    const running = [...this.#running.values()]
    for (const run of running) run.stopped = true
    await Promise.all(running.map(({ ended }) => ended))
  }
}
