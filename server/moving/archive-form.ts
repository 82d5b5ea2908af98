// What is in the archive of a company, under which names? What says so itself comes first and last.

/** Changes only when an older program could no longer read it. */
export const FORM = 'jointkeep-company'
export const FORM_VERSION = 1

/** Where and when it was made: the server's own, and nothing of it is the company's. Comes first. */
export const ABOUT = 'about.json'
/** What there is, with its hashes. Comes last, since an archive is written as it is read. */
export const MANIFEST = 'manifest.json'
export const filePlace = (sha256: string) => `files/${sha256}`
export const tablePlace = (sqlName: string, part: number) =>
  `tables/${sqlName}.${String(part).padStart(5, '0')}.jsonl`

export interface About {
  form: typeof FORM
  version: number
  company: { id: string; name: string }
  exportedAt: string
  /** The address of the server it was made on. */
  from: string
  program: string
  /** Public keys that certificates of the company may have been signed with there. */
  keys: unknown[]
}

export interface ManifestPart {
  name: string
  bytes: number
  sha256: string
}

export interface Manifest {
  form: typeof FORM
  version: number
  company: { id: string; name: string }
  tables: { table: string; rows: number; parts: ManifestPart[] }[]
  /** Photos and gauges' logs, under the hash of what they hold. */
  files: { sha256: string; bytes: number }[]
  /** Files that the record names and that were not there any more, or not what they were. */
  missing: string[]
}

export interface MovingProgress {
  /** Of rows and files together. */
  done: number
  total: number
}
