// Somebody changes one byte of what was recorded, behind the service's back: does the record say so?

import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type RecordFault, verifyRecord } from '../../server/certificate/verify-record.ts'
import { openSqlite } from '../../server/store/sqlite.ts'
import type { Store } from '../../server/store/store.ts'
import type { Cast } from './cast.ts'

export async function faultsIn(cast: Cast, store: Store = cast.store.store): Promise<RecordFault[]> {
  const faults: RecordFault[] = []
  await verifyRecord(store, {
    keys: cast.machinery.signer.publicKeys,
    files: cast.machinery.files,
    onFault: (fault) => faults.push(fault),
  })
  return faults
}

/** The same text with its last digit one up: one byte. */
const oneUp = (text: string) => text.slice(0, -1) + String((Number(text.at(-1)) + 1) % 10)

/** What is found wrong after one byte of `text`, which some recorded step holds, was changed in the database. */
export async function faultsAfterChanging(cast: Cast, text: string): Promise<RecordFault[]> {
  return cast.store.file === null ? afterStatement(cast, text) : afterByteInFile(cast, cast.store.file, text)
}

async function afterByteInFile(cast: Cast, file: string, text: string): Promise<RecordFault[]> {
  await cast.store.store.query('pragma wal_checkpoint(truncate)')
  const folder = mkdtempSync(join(tmpdir(), 'jointkeep-tampered-'))
  try {
    const copy = join(folder, 'copy.db')
    copyFileSync(file, copy)
    const bytes = readFileSync(copy)
    const at = bytes.indexOf(text)
    if (at < 0) throw new Error(`The database file does not hold ${text}.`)
    bytes.write(oneUp(text), at)
    writeFileSync(copy, bytes)
    const store = openSqlite(copy)
    try {
      return await faultsIn(cast, store)
    } finally {
      await store.close()
    }
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

async function afterStatement(cast: Cast, text: string): Promise<RecordFault[]> {
  const { store } = cast.store
  await store.execute(
    `alter table steps disable trigger user;
     update steps set body = replace(body, '${text}', '${oneUp(text)}') where body like '%${text}%';
     alter table steps enable trigger user;`,
  )
  return faultsIn(cast)
}
