// Does the worklist show what waits, in the order of its risk, and does the audit page show each part with what it rests on?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { listEntriesAbout } from '../../server/store/queries/entries.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, type Cast, DAY, HOUR } from '../support/cast.ts'
import { STORE_KINDS } from '../support/stores.ts'
import { twoFaces } from '../support/two-faces.ts'
import { Visitor } from '../support/visitor.ts'
import { aWholeJob, type Whole } from '../support/worked.ts'

interface Item {
  jobId: string
  score: number
  reasons: { code: string; adds: number; count: number; joints: string[]; words: string }[]
  notes: { code: string; words: string }[]
  waitingSince: string
  accepted: { by: string; at: string } | null
}

describe.each(STORE_KINDS)('the audit list on %s', (kind) => {
  let cast: Cast
  let faces: Awaited<ReturnType<typeof twoFaces>>
  /** Clean, but the first to be handed in. */
  let clean: Whole
  /** As clean, and handed in a day later. */
  let later: Whole
  const list = async (query = '', by = cast.sam): Promise<Item[]> =>
    (await faces.get(by, `/audit-list${query}`)).json().items
  const orderOf = (items: Item[]) => items.map(({ jobId }) => jobId)
  const submit = (work: Whole) => faces.post(cast.tess, `/jobs/${work.jobId}/submit`, {})
  const accept = (work: Whole, more = {}) =>
    faces.post(cast.sam, `/jobs/${work.jobId}/audit-marks`, {
      subjectKind: 'job',
      subjectId: work.jobId,
      mark: 'accepted',
      ...more,
    })

  beforeAll(async () => {
    cast = await aCast(kind)
    faces = await twoFaces(cast)
    clean = await aWholeJob(cast, 'clean')
    expect((await submit(clean)).statusCode).toBe(200)
    cast.clock.pass(DAY)
    later = await aWholeJob(cast, 'later')
    expect((await submit(later)).statusCode).toBe(200)
    cast.clock.pass(HOUR)
  })
  afterAll(() => cast.remove())

  it('has every job that waits, with its reasons, the same on both faces', async () => {
    const items = await list()
    expect(orderOf(items).toSorted()).toEqual([clean.jobId, later.jobId].toSorted())
    const page = await faces.look(cast.sam, '/audit-list')
    expect(page.statusCode).toBe(200)
    for (const { jobId } of items) expect(page.body).toContain(`/jobs/${jobId}/audit?list=`)
    // Nothing has leaked yet in this company, so the joints add nothing by themselves.
    expect(items[0]?.reasons.find(({ code }) => code === 'expected-leaks')).toMatchObject({
      adds: 0,
      count: 4,
    })
  })

  it('stands in the order of waiting where that is asked for, and where the risk is the same', async () => {
    expect(orderOf(await list('?order=waiting'))).toEqual([clean.jobId, later.jobId])
    expect((await list())[0]?.jobId).toBe(clean.jobId)
    expect(orderOf(await list('?days=1'))).toEqual([clean.jobId])
    expect(await list('?days=7')).toEqual([])
    expect(await list('?standsOut=pass-after-fail')).toEqual([])
    expect((await faces.get(cast.sam, '/audit-list?limit=1')).json()).toMatchObject({ nextCursor: '1' })
    expect(orderOf(await list('?limit=1&cursor=1'))).toEqual([later.jobId])
  })

  it('takes filters from the address alone, and refuses what is none', async () => {
    for (const [query, field] of [
      ['?view=all', 'view'],
      ['?order=name', 'order'],
      ['?technician=tess', 'technician'],
      ['?standsOut=bad-mood', 'standsOut'],
      ['?days=2', 'days'],
      ['?cursor=x', 'cursor'],
    ] as const) {
      const answer = await faces.get(cast.sam, `/audit-list${query}`)
      expect(answer.statusCode, query).toBe(400)
      expect(answer.json().errors[0].path).toBe(field)
    }
    // A form sends its empty choices along.
    const empty = '?technician=&standsOut=&days=&drawn=&order=risk'
    expect(await list(empty)).toHaveLength(2)
    const page = await faces.look(cast.sam, '/audit-list?view=sealed&order=waiting')
    expect(page.body).toContain('<option selected value="waiting">')
  })

  it('is for those who audit', async () => {
    const who = [
      [cast.tess, 403],
      [cast.wren, 403],
      [cast.zoe, 403],
      [cast.olga, 200],
    ] as const
    for (const [player, status] of who) {
      expect((await faces.get(player, '/audit-list')).statusCode).toBe(status)
      expect((await faces.look(player, '/audit-list')).statusCode).toBe(status)
      expect((await faces.get(player, `/jobs/${clean.jobId}/audit`)).statusCode).toBe(status)
    }
    expect((await faces.server.inject({ url: '/api/v1/audit-list' })).statusCode).toBe(401)
    expect((await faces.look(cast.sam, `/jobs/${newId()}/audit`)).statusCode).toBe(404)
  })

  it('lets a whole row be accepted, and goes on to the next; taken back it waits again', async () => {
    const sent = await faces.send(
      cast.sam,
      `/jobs/${clean.jobId}/audit-marks?list=order%3Dwaiting&next=${later.jobId}`,
      { id: newId(), subjectKind: 'job', subjectId: clean.jobId, mark: 'accepted' },
    )
    expect(sent.headers.location).toBe(`/audit-list?order=waiting#job-${later.jobId}`)
    expect(orderOf(await list())).toEqual([later.jobId])
    expect((await list('?view=accepted'))[0]).toMatchObject({
      jobId: clean.jobId,
      accepted: { by: cast.sam.memberId },
    })
    expect((await accept(clean, { mark: 'withdrawn' })).statusCode).toBe(201)
    expect(orderOf(await list())).toContain(clean.jobId)
    // An address of somebody else's making goes nowhere else.
    const odd = await faces.send(
      cast.sam,
      `/jobs/${clean.jobId}/audit-marks?list=${encodeURIComponent('//elsewhere.example')}&next=%0d%0a`,
      { id: newId(), subjectKind: 'job', subjectId: clean.jobId, mark: 'accepted' },
    )
    expect(odd.headers.location).toBe('/audit-list?')
  })

  it('says beside the row why it was not accepted', async () => {
    const asked = await faces.post(cast.sam, `/jobs/${later.jobId}/audit-questions`, {
      subjectKind: 'joint',
      subjectId: later.zone.joints.indoorGas,
      words: 'Seen twice?',
    })
    const refused = await faces.send(cast.sam, `/jobs/${later.jobId}/audit-marks?list=`, {
      id: newId(),
      subjectKind: 'job',
      subjectId: later.jobId,
      mark: 'accepted',
    })
    expect(refused.statusCode).toBe(409)
    expect(refused.body).toContain('A question about this is not settled yet.')
    expect((await list('?standsOut=question'))[0]?.notes).toEqual([
      { code: 'question', words: '1 question waits for the crew' },
    ])
    await faces.post(cast.tess, `/audit-questions/${asked.json().id}/answers`, { words: 'Yes.' })
    expect(orderOf(await list('?standsOut=answered'))).toEqual([later.jobId])
    await faces.post(cast.sam, `/audit-questions/${asked.json().id}/settlement`, {})
  })

  it('is read on one page: findings, each joint with its numbers, times and entries, tests, instruments', async () => {
    const visitor = new Visitor(faces.server)
    visitor.carry(cast.sam.cookie)
    const { page, text } = await visitor.go(`/jobs/${later.jobId}/audit?list=`)
    expect(text).toContain('Nothing holds this job')
    const entries = await listEntriesAbout(
      scopeOf(cast.store.store.reader(), cast.sam.companyId),
      later.zone.joints.indoorGas,
    )
    const torque = entries.find((entry) => entry.kind === 'torque-recorded')
    const joint = page.querySelector(`#joint-${later.zone.joints.indoorGas}`)
    const line = [...(joint?.querySelectorAll('tbody tr') ?? [])].find((row) =>
      row.textContent.includes('Torque'),
    )
    expect(line?.textContent).toContain('38.0 N·m, in range')
    expect(line?.textContent).toContain(cast.tess.name)
    expect(line?.querySelector('[data-label="Entry"]')?.textContent).toBe(String(torque?.number))
    const asking = await visitor.go(`/jobs/${later.jobId}/audit?ask=joint-${later.zone.joints.indoorGas}`)
    expect(asking.page.querySelectorAll('textarea[autofocus]')).toHaveLength(1)
    expect(asking.page.querySelector(`.audit-ask option[value="${torque?.id}"]`)).not.toBeNull()
    expect(joint?.querySelectorAll('.judged').length).toBeGreaterThan(0)
    for (const id of [later.pressureTestId, later.evacuationId])
      expect(page.querySelector(`[id$="-${id}"] svg`), id).not.toBeNull()
    expect(page.querySelector('#instruments')?.textContent).toContain('Confirmed on')
    expect(page.querySelector('[data-previous-job], [data-next-job]')).toBeNull()
  })

  it('keeps the mark of a part until something is recorded of it, and names what was sent back', async () => {
    const jointId = later.zone.joints.outdoorGas
    const part = { subjectKind: 'joint', subjectId: jointId, mark: 'accepted' }
    const marked = await faces.send(
      cast.sam,
      `/jobs/${later.jobId}/audit-marks?from=audit&part=joint-${jointId}`,
      {
        id: newId(),
        ...part,
      },
    )
    expect(marked.headers.location).toBe(`/jobs/${later.jobId}/audit#joint-${jointId}`)
    const partOf = async () => {
      const visitor = new Visitor(faces.server)
      visitor.carry(cast.sam.cookie)
      return (await visitor.go(`/jobs/${later.jobId}/audit`)).page.querySelector(`#joint-${jointId}`)
        ?.textContent
    }
    expect(await partOf()).toContain('Accepted by')
    // Without a reason nothing goes back, and the tick is still there.
    const fields = { _form: 'send-back', [`_subject.${jointId}`]: 'yes', reason: '' }
    const path = `/jobs/${later.jobId}/send-back?from=audit&list=`
    const again = await faces.send(cast.sam, path, fields)
    expect(again.statusCode).toBe(400)
    expect(again.body).toMatch(new RegExp(`name="_subject.${jointId}" value="yes" checked`))
    const sent = await faces.send(cast.sam, path, { ...fields, reason: 'Check it again.' })
    expect(sent.headers.location).toBe('/audit-list?')
    expect(orderOf(await list())).not.toContain(later.jobId)
    const visitor = new Visitor(faces.server)
    visitor.carry(cast.tess.cookie)
    const job = await visitor.go(`/jobs/${later.jobId}`)
    expect(job.page.querySelector(`.flash a[href^="/joints/${jointId}"]`)).not.toBeNull()
    expect((await visitor.go(`/joints/${jointId}?job=${later.jobId}`)).text).toContain(
      'Sent back with this joint.',
    )
    cast.clock.pass(HOUR)
    const check = await faces.post(cast.tess, `/joints/${jointId}/leak-checks`, {
      jobId: later.jobId,
      method: 'bubble',
      medium: 'nitrogen',
      gaugePressure: { value: 4.15, unit: 'MPa' },
      result: 'none-found',
    })
    expect(check.statusCode).toBe(201)
    expect((await submit(later)).statusCode).toBe(200)
    expect(await partOf()).toContain('Changed since it was accepted')
    expect(await partOf()).toContain('Recorded since it was sent back')
    const [item] = (await list()).filter(({ jobId }) => jobId === later.jobId)
    expect(item?.notes).toEqual([{ code: 'sent-back', words: '1 time sent back before' }])
  })

  it('shows what was signed off lately, by what it was signed by', async () => {
    expect((await faces.post(cast.sam, `/jobs/${clean.jobId}/sign-off`, {})).statusCode).toBe(200)
    expect(orderOf(await list('?view=sealed'))).toEqual([])
    expect((await accept(clean, { mark: 'withdrawn' })).statusCode).toBe(201)
    expect(orderOf(await list('?view=sealed'))).toEqual([clean.jobId])
    expect((await faces.look(cast.sam, `/jobs/${clean.jobId}/audit`)).statusCode).toBe(200)
    cast.clock.pass(91 * DAY)
    expect(await list('?view=sealed')).toEqual([])
  })
})
