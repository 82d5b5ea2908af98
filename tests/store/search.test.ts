// Is everything found by its serial, tag, name, address or reference, whole, in part or mistyped; alike on each database?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { addInstrument } from '../../server/commands/instruments/add-instrument.ts'
import { changeJob } from '../../server/commands/jobs/change-job.ts'
import { openJob } from '../../server/commands/jobs/open-job.ts'
import { addLineSet } from '../../server/commands/places/add-line-set.ts'
import { addSite } from '../../server/commands/places/add-site.ts'
import { addSystem } from '../../server/commands/places/add-system.ts'
import { addUnit } from '../../server/commands/places/add-unit.ts'
import { changeSite } from '../../server/commands/places/change-site.ts'
import { copyStore } from '../../server/store/copy.ts'
import { migrate } from '../../server/store/migrate.ts'
import { type SearchHit, search } from '../../server/store/queries/search.ts'
import { rebuildSearch } from '../../server/store/search-terms.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, type Cast, type Player } from '../support/cast.ts'
import { inches, metres } from '../support/setups.ts'
import { freshStore, STORE_KINDS } from '../support/stores.ts'

interface Place {
  siteId: string
  jobId: string
  systemId: string
}

async function aPlace(
  cast: Cast,
  by: Player,
  told: {
    customer: string
    address: string
    reference?: string
    prefix: string
    outdoor: string
    indoor: string
  },
): Promise<Place> {
  const site = await cast.run(by, addSite, { customerName: told.customer, address: told.address })
  const job = await cast.run(by, openJob, {
    siteId: site.id,
    kind: 'installation',
    ...(told.reference ? { reference: told.reference } : {}),
  })
  const { system } = await cast.run(by, addSystem, {
    jobId: job.id,
    name: 'Ground floor',
    refrigerant: 'R-32',
    outdoorModel: 'LS-35 outdoor',
    outdoorSerial: told.outdoor,
    tagPrefix: told.prefix,
  })
  await cast.run(by, addLineSet, {
    systemId: system.id,
    jobId: job.id,
    name: 'Kitchen',
    indoorModel: 'LS-35 indoor',
    indoorSerial: told.indoor,
    liquidOd: inches(0.25),
    gasOd: inches(0.375),
    length: metres(6),
    jointKind: 'flare',
    tubing: 'new',
  })
  return { siteId: site.id, jobId: job.id, systemId: system.id }
}

describe.each(STORE_KINDS)('search on %s', (kind) => {
  let cast: Cast
  let mill: Place
  let quay: Place
  beforeAll(async () => {
    cast = await aCast(kind)
    mill = await aPlace(cast, cast.tess, {
      customer: 'Ida Fenwick',
      address: '12 Mill Lane, Brackwater',
      reference: 'JB-2041',
      prefix: 'SO4',
      outdoor: 'NW24-S103377',
      indoor: 'NX09-770215',
    })
    quay = await aPlace(cast, cast.tess, {
      customer: 'Thorsby Bakery',
      address: '140 Quay Street, Brackwater',
      reference: 'Oven room',
      prefix: 'QA17',
      outdoor: 'NW24-S103912',
      indoor: 'NX09-445810',
    })
    await cast.run(cast.tess, addInstrument, {
      kind: 'torque-wrench',
      name: 'Wrench 3',
      serial: 'TW-66120',
      accuracyPercent: 4,
    })
    await aPlace(cast, cast.zoe, {
      customer: 'Ida Fenwick',
      address: '12 Mill Lane, Brackwater',
      reference: 'JB-2041',
      prefix: 'SO4',
      outdoor: 'NW24-S103377',
      indoor: 'NX09-770215',
    })
  })
  afterAll(() => cast.remove())

  const ask = (typed: string, companyId = cast.tess.companyId) =>
    search(scopeOf(cast.machinery.store.reader(), companyId), typed)
  /** "unit NW24-S103377 exact" */
  const told = (hit: SearchHit) => `${hit.kind} ${hit.matched.value} ${hit.matched.how}`
  const found = async (typed: string) => (await ask(typed)).hits.map(told)

  it.each([
    ['NW24-S103377', 'unit NW24-S103377 exact'],
    ['nw24 s103377', 'unit NW24-S103377 exact'],
    ['NW24-5I03377', 'unit NW24-S103377 look-alike'],
    ['NX09-77', 'unit NX09-770215 beginning'],
    ['0215', 'unit NX09-770215 end'],
    ['W24-S103377', 'unit NW24-S103377 end'],
    ['SO4-3', 'joint SO4-3 exact'],
    ['so43', 'joint SO4-3 exact'],
    ['S04-3', 'joint SO4-3 look-alike'],
    ['504 3', 'joint SO4-3 look-alike'],
    ['QA17', 'system QA17 exact'],
    ['QA', 'system QA17 beginning'],
    ['JB-2041', 'job JB-2041 exact'],
    ['jb20', 'job JB-2041 beginning'],
    ['2041', 'job JB-2041 beginning'],
    ['oven', 'job Oven room beginning'],
    ['room oven', 'job Oven room beginning'],
    ['fenwick', 'site Ida Fenwick words'],
    ['Fenwick Ida', 'site Ida Fenwick words'],
    ['Fen', 'site Ida Fenwick beginning'],
    ['12 mill', 'site 12 Mill Lane, Brackwater words'],
    ['Mill La Brack', 'site 12 Mill Lane, Brackwater beginning'],
    ['Thorsby, Quay', 'site 140 Quay Street, Brackwater words'],
    ['TW-66120', 'instrument TW-66120 exact'],
  ])('%s finds %s first', async (typed, first) => {
    expect((await found(typed))[0]).toBe(first)
  })

  it.each([
    // The mistyped sign at each place; left out; put in; swapped; two of them.
    ['MW24-S103377', 1],
    ['NW24-S103378', 1],
    ['NW24-S10377', 1],
    ['NW24-S1033777', 1],
    ['NW42-S103377', 1],
    ['NW24-S103737', 1],
    ['NW24-S10337', 0],
    ['MW24-S103378', 2],
    ['NW2-S103377X', 2],
    ['NW24-S103388', 2],
    ['NV2A-S103377', 2],
  ])('%s is near to NW24-S103377 by %i slips', async (typed, slips) => {
    const [hit] = (await ask(typed)).hits
    expect(hit?.matched).toMatchObject({ value: 'NW24-S103377', slips })
    expect(hit).toMatchObject({ kind: 'unit', systemId: mill.systemId })
  })

  it('finds every serial with any one slip in it', async () => {
    const serial = 'NX09-445810'
    const slips = [...serial].flatMap((sign, at) => {
      if (sign === '-') return []
      const [before, after] = [serial.slice(0, at), serial.slice(at + 1)]
      return [`${before}7${after}`, `${before}W${after}`, `${before}${after}`, `${before}${sign}4${after}`]
    })
    expect(slips.length).toBe(40)
    for (const typed of slips) {
      const [hit] = (await ask(typed)).hits
      expect(hit?.matched.value, typed).toBe(serial)
    }
  })

  it.each(['TW-66210', 'TV-66120'])('%s is near to a wrench’s serial', async (typed) => {
    expect(await found(typed)).toEqual(['instrument TW-66120 near'])
  })

  it.each([
    ['QB17-3', 'joint QA17-3 near'],
    ['QA1-3', 'joint QA17-3 near'],
    ['AQ17-3', 'joint QA17-3 near'],
  ])('%s is a tag mistyped: %s', async (typed, first) => {
    expect((await found(typed))[0]).toBe(first)
  })

  it.each([
    ['Fenwik', 'site Ida Fenwick near'],
    ['Torsby Quay', 'site 140 Quay Street, Brackwater near'],
    ['Thorsbey', 'site Thorsby Bakery near'],
  ])('%s is a name mistyped: %s', async (typed, first) => {
    expect((await found(typed))[0]).toBe(first)
  })

  it.each(['', ' ', 'x', '--', 'Zanzibar', '9999999', 'SO4-99', "'; drop table sites; --", '%', '_____'])(
    'finds nothing for %j',
    async (typed) => {
      expect((await ask(typed)).hits).toEqual([])
    },
  )

  it('tells where a thing is', async () => {
    const [unit] = (await ask('NX09-770215')).hits
    expect(unit).toMatchObject({
      kind: 'unit',
      systemId: mill.systemId,
      systemName: 'Ground floor',
      model: 'LS-35 indoor',
      removed: false,
      siteId: mill.siteId,
      customerName: 'Ida Fenwick',
      address: '12 Mill Lane, Brackwater',
      matched: { by: 'serial', value: 'NX09-770215', how: 'exact', slips: 0 },
    })
    const [site] = (await ask('Thorsby')).hits
    expect(site).toMatchObject({
      kind: 'site',
      id: quay.siteId,
      systems: [{ id: quay.systemId, name: 'Ground floor' }],
    })
  })

  it('says that there is more than it shows', async () => {
    expect((await ask('Brackwater')).more).toBe(false)
    const answer = await search(scopeOf(cast.machinery.store.reader(), cast.tess.companyId), 'Brackwater', 1)
    expect(answer.hits).toHaveLength(1)
    expect(answer.more).toBe(true)
  })

  it('finds only what is the company’s own', async () => {
    const own = new Set([mill.siteId, mill.jobId, mill.systemId, quay.siteId, quay.jobId, quay.systemId])
    for (const typed of ['NW24-S103377', 'SO4-3', 'Fenwick', 'JB-2041', 'Brackwater']) {
      const ours = (await ask(typed)).hits
      const theirs = (await ask(typed, cast.zoe.companyId)).hits
      expect(ours.length, typed).toBeGreaterThan(0)
      expect(theirs.length, typed).toBeGreaterThan(0)
      expect(JSON.stringify(ours)).toMatch(new RegExp([...own].join('|')))
      expect(JSON.stringify(theirs)).not.toMatch(new RegExp([...own].join('|')))
    }
    expect((await ask('Thorsby', cast.zoe.companyId)).hits).toEqual([])
    expect((await ask('NW24-S103912', cast.zoe.companyId)).hits.map((hit) => hit.matched.how)).not.toContain(
      'exact',
    )
  })

  it('finds a unit that was replaced, and says so', async () => {
    const [before] = (await ask('NX09-445810')).hits
    if (before?.kind !== 'unit') throw new Error('No unit was found.')
    await cast.run(cast.tess, addUnit, {
      systemId: quay.systemId,
      role: 'indoor',
      model: 'LS-35 indoor',
      serial: 'NX11-000042',
      replacesUnitId: before.id,
      reason: 'Fan seized',
    })
    expect((await ask('NX09-445810')).hits[0]).toMatchObject({ kind: 'unit', removed: true })
    expect((await ask('NX11-000042')).hits[0]).toMatchObject({ kind: 'unit', removed: false })
  })

  it('puts the nearest first, however many units share a serial that is farther off', async () => {
    for (let copy = 0; copy < 12; copy++)
      await cast.run(cast.tess, addUnit, {
        systemId: quay.systemId,
        role: 'indoor',
        model: 'LS-35 indoor',
        serial: 'KW30-757021',
      })
    await cast.run(cast.tess, addUnit, {
      systemId: mill.systemId,
      role: 'indoor',
      model: 'LS-35 indoor',
      serial: 'KV30-777020',
    })
    // One slip from the one, two from the twelve.
    const answer = await ask('KV30-757020')
    expect(answer.hits[0]).toMatchObject({ matched: { value: 'KV30-777020', slips: 1 } })
    expect(answer.more).toBe(true)
  })

  it('finds what is kept alike whether it was kept with the work or made anew', async () => {
    const rows = async () => ({
      terms: await cast.store.store.query(
        'select company_id, kind, term, subject_id from search_terms order by 1, 2, 3, 4',
      ),
      keys: await cast.store.store.query('select company_id, key, term from search_keys order by 1, 2, 3'),
    })
    const before = await rows()
    expect(before.terms.length).toBeGreaterThan(40)
    expect(before.keys.length).toBeGreaterThan(100)
    // Two sites, two jobs, two systems, eighteen units, a wrench; one of each but two units in the other company.
    expect(await rebuildSearch(cast.store.store)).toBe(25 + 5)
    expect(await rows()).toEqual(before)
  })

  it('is made for a record that was there before there was a search', async () => {
    const before = await cast.store.store.query('select * from search_terms order by 1, 2, 3, 4')
    await cast.store.store.execute('drop table search_terms; drop table search_keys')
    await cast.store.store.execute(`delete from migrations where name like '%_search'`)
    expect(await migrate(cast.store.store)).toHaveLength(1)
    expect(await cast.store.store.query('select * from search_terms order by 1, 2, 3, 4')).toEqual(before)
    expect((await found('SO4-3'))[0]).toBe('joint SO4-3 exact')
  })

  it('is found elsewhere too, once the record was copied', async () => {
    const other = await freshStore('sqlite')
    await copyStore(cast.store.store, other.store)
    const hits = (await search(scopeOf(other.store.reader(), cast.tess.companyId), 'SO4-3')).hits
    expect(hits.map(told)).toEqual(['joint SO4-3 exact'])
    await other.remove()
  })

  it('forgets a name that was taken out, and keeps what others are called', async () => {
    const namesakes = await cast.run(cast.tess, addSite, {
      customerName: 'Nell Fenwick',
      address: '3 Rope Walk, Brackwater',
    })
    await cast.run(cast.sam, changeSite, {
      siteId: namesakes.id,
      customerName: 'Erased',
      address: 'Erased',
    })
    expect(await found('Rope Walk')).toEqual([])
    expect(await found('Nell')).toEqual([])
    expect((await found('Fenwik'))[0]).toBe('site Ida Fenwick near')
    for (const word of ['rope', 'walk', 'nell']) {
      const [left] = await cast.store.store.query<{ n: number }>(
        `select (select count(*) from search_terms where term = '${word}')
              + (select count(*) from search_keys where term = '${word}') as n`,
      )
      expect(Number(left?.n), word).toBe(0)
    }
  })

  it('finds a job by its new reference, not by the old one', async () => {
    await cast.run(cast.sam, changeJob, { jobId: mill.jobId, reference: 'JB-7788' })
    expect(await found('JB-2041')).not.toContain('job JB-2041 exact')
    expect((await found('7788'))[0]).toBe('job JB-7788 beginning')
    await cast.run(cast.sam, changeJob, { jobId: mill.jobId, reference: null })
    expect(await found('7788')).toEqual([])
  })
})
