// Do criteria come into force one after the other, each with its reason?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { criteriaJson } from '../../../server/commands/people/criteria.ts'
import { setPolicy } from '../../../server/commands/people/set-policy.ts'
import { BUILT_IN_POLICY } from '../../../server/rules/policy.ts'
import { findPolicy, findPolicyVersion } from '../../../server/store/queries/policy.ts'
import { verifyChain } from '../../../server/store/record.ts'
import { scopeOf } from '../../../server/store/store.ts'
import { aCast, type Cast } from '../../support/cast.ts'
import { STORE_KINDS } from '../../support/stores.ts'

const TIGHTER = { ...BUILT_IN_POLICY, decisionRule: 'guarded' as const }
const LOOSER = { ...BUILT_IN_POLICY, selfSignOff: true }

describe.each(STORE_KINDS)('setting criteria on %s', (kind) => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast(kind)
  })
  afterAll(() => cast.remove())
  const scope = () => scopeOf(cast.store.store.reader(), cast.sam.companyId)
  const version = async () => (await findPolicy(scope())).version

  it('adds a version and leaves the earlier ones as they were', async () => {
    const before = await findPolicy(scope())
    const set = await cast.run(cast.sam, setPolicy, { criteria: criteriaJson(TIGHTER) })
    expect(set).toMatchObject({ version: before.version + 1, changedByName: 'Sam', reason: null })
    expect(await findPolicy(scope())).toEqual({ version: before.version + 1, criteria: TIGHTER })
    expect(await findPolicyVersion(scope(), before.version)).toEqual(before)
    expect(await verifyChain(scope(), cast.sam.companyId)).toEqual([])
  })

  it('needs a reason when a criterion is looser than the built-in one', async () => {
    const before = await version()
    await expect(cast.run(cast.sam, setPolicy, { criteria: criteriaJson(LOOSER) })).rejects.toMatchObject({
      status: 400,
      errors: [{ path: 'reason', message: expect.stringContaining('selfSignOff') }],
    })
    expect(await version()).toBe(before)
    const set = await cast.run(cast.sam, setPolicy, {
      criteria: criteriaJson(LOOSER),
      reason: 'One person works alone on the island.',
    })
    expect(set).toMatchObject({ version: before + 1, reason: 'One person works alone on the island.' })
  })

  it('has in the record which were looser', async () => {
    const rows = await cast.store.store.query<{ content: string }>(
      `select content from entries where kind = 'policy-set' order by number desc`,
    )
    expect(JSON.parse(rows[0]?.content ?? '{}').body).toMatchObject({ looser: ['selfSignOff'] })
  })

  it('refuses what starts from a version that is no longer in force', async () => {
    const basedOnVersion = await version()
    const change = { criteria: criteriaJson(TIGHTER), basedOnVersion }
    const answers = await Promise.allSettled([
      cast.run(cast.sam, setPolicy, change),
      cast.run(cast.olga, setPolicy, change),
    ])
    expect(answers.map((answer) => answer.status).sort()).toEqual(['fulfilled', 'rejected'])
    const refused = answers.find((answer) => answer.status === 'rejected')
    expect(refused?.reason).toMatchObject({ status: 409, code: 'policy-changed' })
    expect(await version()).toBe(basedOnVersion + 1)
  })

  it('lets two at the same moment take turns when neither names a version', async () => {
    const before = await version()
    await Promise.all([1, 2, 3].map(() => cast.run(cast.sam, setPolicy, { criteria: criteriaJson(TIGHTER) })))
    expect(await version()).toBe(before + 3)
  })

  it.each(['tess', 'wren'] as const)('is not for %s', async (name) => {
    await expect(cast.run(cast[name], setPolicy, { criteria: criteriaJson(TIGHTER) })).rejects.toMatchObject({
      status: 403,
    })
  })

  it('touches no other company', async () => {
    const other = scopeOf(cast.store.store.reader(), cast.zoe.companyId)
    expect((await findPolicy(other)).version).toBe(1)
  })
})
