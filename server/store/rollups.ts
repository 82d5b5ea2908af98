// How do the projections of time in service follow the facts? What a change touches is made anew from the facts in the
// same transaction, and the sums move by the difference; `rebuildRollups` makes all of a company's anew.

import { and, asc, eq, inArray, sql } from 'drizzle-orm'
import { addedUp, type CohortRow, type Life, nameOf } from '../rules/cohorts.ts'
import { prepared } from './prepared.ts'
import { listFieldJointIds, listFieldJointIdsOfJob, listFoundJointIds, listLivesOf } from './queries/lives.ts'
import { holdChain } from './queries/systems.ts'
import { type Scope, type Store, scopeOf } from './store.ts'

/** Raised when what is projected, or how, becomes another: a service that starts then rebuilds. */
export const ROLLUP_VERSION = 1

/** Well below how many values either database takes in one statement. */
const ROWS = 200
const JOINTS = 1000

/** After anything that may change how long these joints served, or how they were made. */
export async function keepLives(scope: Scope, jointIds: readonly string[]): Promise<void> {
  if (jointIds.length === 0) return
  const { db, t, companyId } = scope
  const ids = [...new Set(jointIds)]
  await holdJoints(scope, ids)
  const before = (await db
    .select()
    .from(t.serviceLives)
    .where(and(eq(t.serviceLives.companyId, companyId), inArray(t.serviceLives.jointId, ids)))) as LifeRow[]
  const after = await listLivesOf(scope, ids)
  const was = new Map(before.map((row) => [row.id, row]))
  const changed = after.filter((life) => !alike(was.get(life.id), life))
  const kept = new Set(after.map(({ id }) => id))
  const gone = before.filter(({ id }) => !kept.has(id))
  const replaced = [...changed.flatMap(({ id }) => was.get(id) ?? []), ...gone]
  if (replaced.length > 0)
    await db.delete(t.serviceLives).where(
      and(
        eq(t.serviceLives.companyId, companyId),
        inArray(
          t.serviceLives.id,
          replaced.map(({ id }) => id),
        ),
      ),
    )
  await insertLives(scope, changed)
  await moveCohorts(
    scope,
    addedUp([
      ...replaced.map((life) => ({ life, sign: -1 as const })),
      ...changed.map((life) => ({ life, sign: 1 as const })),
    ]),
  )
}

/** After a job was signed off. */
export async function keepLivesOfJob(scope: Scope, jobId: string): Promise<void> {
  await keepLives(scope, await listFieldJointIdsOfJob(scope, jobId))
}

/** After a callback was taken in, changed or closed: what it found, and when. */
export async function keepLivesOfCallback(scope: Scope, callbackId: string): Promise<void> {
  await keepLives(scope, await listFoundJointIds(scope, callbackId))
}

/** After a unit came or went: the model that stood there when the joints were made may be another. */
export async function keepLivesOfSystem(scope: Scope, systemId: string): Promise<void> {
  const { db, t, companyId } = scope
  const rows = await db
    .select({ id: t.joints.id })
    .from(t.joints)
    .where(and(eq(t.joints.companyId, companyId), eq(t.joints.systemId, systemId)))
  await keepLives(
    scope,
    rows.map(({ id }) => id),
  )
}

/** After a step was recorded: nearly always on a joint that no sign-off has released yet, and then there is nothing to do. */
export async function keepLivesAfterStep(scope: Scope, jointId: string): Promise<void> {
  if (await hasServed(scope, jointId)) await keepLives(scope, [jointId])
}

/** After a making was started: it ends the one before, and on a job that was reopened it may count as released. */
export async function keepLivesAfterMake(scope: Scope, jointId: string, jobId: string): Promise<void> {
  if ((await hasServed(scope, jointId)) || (await wasSignedOff(scope, jobId)))
    await keepLives(scope, [jointId])
}

/** After a correction of a step was accepted. */
export async function keepLivesOfStep(scope: Scope, stepId: string): Promise<void> {
  const { db, t, companyId } = scope
  const rows = await db
    .select({ jointId: t.steps.jointId })
    .from(t.steps)
    .where(and(eq(t.steps.companyId, companyId), eq(t.steps.id, stepId)))
  await keepLives(
    scope,
    rows.map(({ jointId }) => jointId),
  )
}

async function hasServed(scope: Scope, jointId: string): Promise<boolean> {
  const known = await prepared<{ id: string }>(scope, 'life_of_joint', ({ db, t }) =>
    db
      .select({ id: t.serviceLives.id })
      .from(t.serviceLives)
      .where(
        and(
          eq(t.serviceLives.companyId, sql.placeholder('companyId')),
          eq(t.serviceLives.jointId, sql.placeholder('jointId')),
        ),
      )
      .limit(1),
  ).execute({ companyId: scope.companyId, jointId })
  return known.length > 0
}

async function wasSignedOff(scope: Scope, jobId: string): Promise<boolean> {
  const found = await prepared<{ id: string }>(scope, 'sign_off_of_job', ({ db, t }) =>
    db
      .select({ id: t.jobEvents.id })
      .from(t.jobEvents)
      .where(
        and(
          eq(t.jobEvents.companyId, sql.placeholder('companyId')),
          eq(t.jobEvents.jobId, sql.placeholder('jobId')),
          eq(t.jobEvents.event, 'signed-off'),
        ),
      )
      .limit(1),
  ).execute({ companyId: scope.companyId, jobId })
  return found.length > 0
}

type LifeRow = Life & { companyId: string }

function alike(row: LifeRow | undefined, life: Life): boolean {
  return (
    row !== undefined && (Object.keys(life) as (keyof Life)[]).every((column) => row[column] === life[column])
  )
}

/** Two at once on PostgreSQL would both count the difference: the second waits for the first, and for a rebuild. */
async function holdJoints(scope: Scope, jointIds: readonly string[]): Promise<void> {
  const { db, t, companyId, dialect } = scope
  if (dialect === 'sqlite') return
  await lockLives(scope, 'row exclusive')
  const systems = await db
    .selectDistinct({ id: t.joints.systemId })
    .from(t.joints)
    .where(and(eq(t.joints.companyId, companyId), inArray(t.joints.id, [...jointIds])))
  for (const id of systems.map(({ id }) => id).sort()) await holdChain(scope, id)
}

async function lockLives({ db, t }: Scope, mode: 'row exclusive' | 'exclusive'): Promise<void> {
  // Only PostgreSQL's builder has `execute`; both are typed as SQLite's (store.ts).
  const { execute } = db as unknown as { execute(statement: unknown): Promise<unknown> }
  await execute.call(db, sql`lock table ${t.serviceLives} in ${sql.raw(mode)} mode`)
}

async function insertLives({ db, t, companyId }: Scope, lives: readonly Life[]): Promise<void> {
  for (let start = 0; start < lives.length; start += ROWS)
    await db
      .insert(t.serviceLives)
      .values(lives.slice(start, start + ROWS).map((life) => ({ ...life, companyId })))
}

/** In one order for everybody, so that two at once wait for each other and never in a circle. */
async function moveCohorts({ db, t, companyId }: Scope, rows: readonly CohortRow[]): Promise<void> {
  const { companyId: owner, dimension, key, part, period, count, offsetMs } = t.serviceCohorts
  for (let start = 0; start < rows.length; start += ROWS)
    await db
      .insert(t.serviceCohorts)
      .values(rows.slice(start, start + ROWS).map((row) => ({ ...row, companyId })))
      .onConflictDoUpdate({
        target: [owner, dimension, key, part, period],
        set: { count: sql`${count} + excluded.count`, offsetMs: sql`${offsetMs} + excluded.offset_ms` },
      })
}

// ---------------------------------------------------------------- anew

export interface Rebuilt {
  lives: number
  sums: number
  /** How many sums were not what the facts say. */
  differed: number
}

/** Makes the projections of one company anew from its facts; whoever writes waits, whoever reads sees the old until it is done. */
export async function rebuildRollups(store: Store, companyId: string, now: number): Promise<Rebuilt> {
  return store.transaction(async (session) => {
    const scope = scopeOf(session, companyId)
    const { db, t } = scope
    if (session.dialect === 'postgres') await lockLives(scope, 'exclusive')
    const before = new Map(
      (await db.select().from(t.serviceCohorts).where(eq(t.serviceCohorts.companyId, companyId)))
        .filter(({ count }) => count !== 0)
        .map((row) => [nameOf(row), row]),
    )
    await db.delete(t.serviceLives).where(eq(t.serviceLives.companyId, companyId))
    await db.delete(t.serviceCohorts).where(eq(t.serviceCohorts.companyId, companyId))
    await db.delete(t.serviceRollups).where(eq(t.serviceRollups.companyId, companyId))
    const sums = new Map<string, CohortRow>()
    let lives = 0
    let after = ''
    for (;;) {
      const ids = await listFieldJointIds(scope, after, JOINTS)
      const last = ids.at(-1)
      if (last === undefined) break
      after = last
      const page = await listLivesOf(scope, ids)
      lives += page.length
      await insertLives(scope, page)
      for (const row of addedUp(page.map((life) => ({ life, sign: 1 as const })))) {
        const name = nameOf(row)
        const sum = sums.get(name)
        if (sum) {
          sum.count += row.count
          sum.offsetMs += row.offsetMs
        } else sums.set(name, row)
      }
    }
    await moveCohorts(scope, [...sums.values()])
    await db.insert(t.serviceRollups).values({ companyId, version: ROLLUP_VERSION, builtAt: now })
    const names = new Set([...before.keys(), ...sums.keys()])
    const differed = [...names].filter((name) => {
      const [was, is] = [before.get(name), sums.get(name)]
      return was?.count !== is?.count || was?.offsetMs !== is?.offsetMs
    }).length
    return { lives, sums: sums.size, differed }
  })
}

export async function listCompanies(store: Store): Promise<string[]> {
  const { db, t } = store.reader()
  const rows = await db.select({ id: t.companies.id }).from(t.companies).orderBy(asc(t.companies.id))
  return rows.map(({ id }) => id)
}

/** Where this version's definitions never made them; answers for how many companies that was done. */
export async function rebuildWhereNeeded(store: Store, now: number): Promise<number> {
  const { db, t } = store.reader()
  const done = new Set(
    (
      await db
        .select({ id: t.serviceRollups.companyId })
        .from(t.serviceRollups)
        .where(eq(t.serviceRollups.version, ROLLUP_VERSION))
    ).map(({ id }) => id),
  )
  const needed = (await listCompanies(store)).filter((id) => !done.has(id))
  for (const companyId of needed) await rebuildRollups(store, companyId, now)
  return needed.length
}
