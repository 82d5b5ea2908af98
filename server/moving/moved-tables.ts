// What goes along when a company moves to another server? Every table of the record has its answer here.

import { getTableColumns, getTableName } from 'drizzle-orm'
import { getTableConfig, type SQLiteColumn, type SQLiteTable } from 'drizzle-orm/sqlite-core'
import { defineTables, type Tables } from '../store/tables/index.ts'

/**
 * `rows`: the company's own rows, as they are. `persons`: of the people that are or were its members, without what they
 * sign in with, since that is theirs and not the company's. `anew`: made from the rest where it arrives. `stays`: belongs to
 * the server, or to whoever signs in.
 */
export type Move = 'rows' | 'persons' | 'anew' | 'stays'

/** The compiler misses a table that has no answer. */
export const MOVES: Record<keyof Tables, Move> = {
  companies: 'rows',
  people: 'persons',
  members: 'rows',
  invitations: 'rows',
  policies: 'rows',
  crew: 'rows',
  sites: 'rows',
  equipmentSheets: 'rows',
  systems: 'rows',
  units: 'rows',
  unitRemovals: 'rows',
  lineSets: 'rows',
  instruments: 'rows',
  calibrations: 'rows',
  calibrationFiles: 'rows',
  instrumentUses: 'rows',
  recalls: 'rows',
  recallItems: 'rows',
  jobs: 'rows',
  jobSystems: 'rows',
  jobEvents: 'rows',
  concessionRequests: 'rows',
  concessions: 'rows',
  nonconformities: 'rows',
  nonconformityDisposals: 'rows',
  joints: 'rows',
  jointRetirements: 'rows',
  jointExclusions: 'rows',
  makes: 'rows',
  steps: 'rows',
  sectionTests: 'rows',
  sectionReadings: 'rows',
  readingLogs: 'rows',
  sectionConclusions: 'rows',
  charges: 'rows',
  runningChecks: 'rows',
  chains: 'rows',
  entries: 'rows',
  corrections: 'rows',
  correctionDecisions: 'rows',
  // A phone that sends once more what the old server took gets the old answer.
  idempotencyKeys: 'rows',
  certificates: 'rows',
  photos: 'rows',
  callbacks: 'rows',
  callbackFindings: 'rows',
  followUps: 'rows',
  auditMarks: 'rows',
  auditQuestions: 'rows',
  auditReplies: 'rows',
  serviceLives: 'anew',
  serviceCohorts: 'anew',
  serviceRollups: 'anew',
  searchTerms: 'anew',
  searchKeys: 'anew',
  sessions: 'stays',
  // They open the old server to programs; a copy of the company is not to be opened by them too.
  tokens: 'stays',
  signIns: 'stays',
  authenticators: 'stays',
  passkeys: 'stays',
  recoveryCodes: 'stays',
  signInSteps: 'stays',
  // Its secret is kept under a key of the server.
  identityProviders: 'stays',
  // The same; and what was told from the old server is not told again from the new one.
  webhookEndpoints: 'stays',
  webhookDeliveries: 'stays',
  webhookAttempts: 'stays',
  providerDomains: 'stays',
  providerIdentities: 'stays',
}

/** Of a person: the rest is what they sign in with. */
const LEFT_OF_A_PERSON = new Set(['passwordHash'])
/** In their place: nobody signs in with it. */
export const NOTHING_TO_SIGN_IN_WITH: Record<string, unknown> = { passwordHash: 'none' }

export interface MovedTable {
  name: keyof Tables
  /** As the database calls it. */
  sqlName: string
  persons: boolean
  columns: readonly string[]
  /** The columns of its key beside the company, in their order. */
  key: readonly string[]
  /** Columns by which a row may name another row of the same table. */
  namesAnother: readonly string[]
  /** Columns that name a file by its hash. */
  files: readonly string[]
  /** Columns that are text and may hold anything: their order differs between databases, unless it is asked for. */
  anyText: ReadonlySet<string>
}

/** In the order in which nothing refers to what is not there yet. */
export function movedTables(): MovedTable[] {
  const tables = defineTables('sqlite')
  return (Object.entries(tables) as [keyof Tables, SQLiteTable][])
    .filter(([name]) => MOVES[name] === 'rows' || MOVES[name] === 'persons')
    .map(([name, table]) => {
      const columns = getTableColumns(table) as Record<string, SQLiteColumn>
      const propertyOf = (column: { name: string }) =>
        Object.entries(columns).find(([, one]) => one.name === column.name)?.[0] ?? column.name
      const { primaryKeys, foreignKeys } = getTableConfig(table)
      const keyColumns = primaryKeys[0]?.columns ?? Object.values(columns).filter((column) => column.primary)
      const key = keyColumns.map(propertyOf).filter((property) => property !== 'companyId')
      const persons = MOVES[name] === 'persons'
      return {
        name,
        sqlName: getTableName(table),
        persons,
        columns: Object.keys(columns).filter((column) => !persons || !LEFT_OF_A_PERSON.has(column)),
        key,
        namesAnother: foreignKeys
          .map((one) => one.reference())
          .filter(({ foreignTable }) => foreignTable === table)
          .map(({ columns: from }) => propertyOf(from.at(-1) ?? { name: '' })),
        files: Object.keys(columns).filter((column) => /sha256$/i.test(column)),
        anyText: new Set(key.filter((property) => property === 'key')),
      }
    })
}
