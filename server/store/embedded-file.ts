// How is the embedded database copied while it runs, and put back? Always as a whole, and checked before it counts.

import { existsSync, linkSync, mkdirSync, renameSync, rmSync, statSync } from 'node:fs'
import { open } from 'node:fs/promises'
import { dirname } from 'node:path'
import Database from 'better-sqlite3'
import { migrationNames } from './migrate.ts'

/** In small steps a copy begins again whenever somebody writes, and beside a busy service would never end. */
const IN_ONE_GO = { progress: () => 2 ** 30 }

/** A copy as of one moment, made beside running writers; refuses to write over something. */
export async function backUp(from: string, to: string): Promise<{ bytes: number }> {
  if (!existsSync(from)) throw new Error(`There is no database at ${from}.`)
  if (existsSync(to)) throw new Error(`${to} is there already. Choose another name, or remove it first.`)
  mkdirSync(dirname(to), { recursive: true })
  const making = `${to}.making`
  rmSync(making, { force: true })
  const source = new Database(from, { readonly: true, fileMustExist: true })
  try {
    await source.backup(making, IN_ONE_GO)
  } finally {
    source.close()
  }
  try {
    // The copy is in the journal mode of its source; as one plain file it can be moved and kept.
    const copy = new Database(making)
    copy.pragma('journal_mode = delete')
    const faults = integrityFaults(copy)
    copy.close()
    if (faults.length > 0) throw new Error(`The copy is not sound: ${faults.join('; ')}`)
    await sync(making)
    // Unlike a rename, a link refuses a name that was taken in the meantime.
    linkSync(making, to)
    await sync(dirname(to))
  } finally {
    rmSync(making, { force: true })
  }
  return { bytes: statSync(to).size }
}

export interface BackupLook {
  /** What the database engine finds wrong; empty when it is sound. */
  faults: string[]
  companies: number
  /** Migrations that the file has and this program has not. */
  unknownMigrations: string[]
}

/** Looks into a file without changing it. Refuses what is no database of ours. */
export function lookInto(file: string): BackupLook {
  if (!existsSync(file)) throw new Error(`There is no file ${file}.`)
  let database: Database.Database | undefined
  try {
    database = new Database(file, { readonly: true, fileMustExist: true })
    const faults = integrityFaults(database)
    const names = database.prepare('select name from migrations').pluck().all() as string[]
    const known = migrationNames('sqlite')
    return {
      faults,
      companies: database.prepare('select count(*) from companies').pluck().get() as number,
      unknownMigrations: names.filter((name) => !known.includes(name)),
    }
  } catch (problem) {
    throw new Error(`${file} is not a database of this program (${said(problem)}).`)
  } finally {
    database?.close()
  }
}

/** Brings a copy of a backup beside the database, where it can be checked; the backup itself is left untouched. */
export async function bringBeside(from: string, to: string): Promise<string> {
  mkdirSync(dirname(to), { recursive: true })
  const arriving = `${to}.arriving`
  removeWhole(arriving)
  const source = new Database(from, { readonly: true, fileMustExist: true })
  try {
    await source.backup(arriving, IN_ONE_GO)
  } finally {
    source.close()
  }
  return arriving
}

export function removeWhole(file: string): void {
  for (const part of ['', '-wal', '-shm', '-journal']) rmSync(file + part, { force: true })
}

/**
 * Puts what was brought beside in the place of the database; what was there is kept, and its new name answered.
 * Refuses while anything has the database open.
 */
export async function takePlace(arriving: string, to: string, moment: string): Promise<string | null> {
  closeDown(arriving)
  await sync(arriving)
  let replaced: string | null = null
  if (existsSync(to)) {
    closeDown(to)
    replaced = `${to}.replaced-${moment.replace(/[^0-9]/g, '')}`
    // Of a damaged database the log may still be there; it belongs to it.
    for (const part of ['', '-wal', '-shm']) if (existsSync(to + part)) renameSync(to + part, replaced + part)
  }
  renameSync(arriving, to)
  await sync(dirname(to))
  return replaced
}

/** Brings the log into the file, which only who has it alone can do. */
function closeDown(file: string): void {
  const database = new Database(file, { fileMustExist: true, timeout: 0 })
  try {
    database.pragma('locking_mode = exclusive')
    database.exec('begin exclusive; commit')
    database.pragma('wal_checkpoint(truncate)')
    // As one plain file, without a log beside it, it can be moved.
    database.pragma('journal_mode = delete')
  } catch (problem) {
    if ((problem as { code?: string }).code?.startsWith('SQLITE_BUSY'))
      throw new Error(`${file} is in use. Stop the service first.`)
    if ((problem as { code?: string }).code !== 'SQLITE_NOTADB') throw problem
  } finally {
    database.close()
  }
}

function integrityFaults(database: Database.Database): string[] {
  const found = database.pragma('integrity_check(20)') as { integrity_check: string }[]
  const faults = found.map((row) => row.integrity_check).filter((line) => line !== 'ok')
  const links = database.pragma('foreign_key_check') as { table: string }[]
  if (links.length > 0) faults.push(`${links.length} links in ${links[0]?.table} lead nowhere`)
  return faults
}

async function sync(path: string): Promise<void> {
  const handle = await open(path, 'r')
  try {
    await handle.sync()
  } finally {
    await handle.close()
  }
}

const said = (problem: unknown) => (problem instanceof Error ? problem.message : String(problem))
