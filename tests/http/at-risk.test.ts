// Are the joints most like those that leaked found and put in order, and looked at again by jobs that are made once?

import { parse } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { closeCallback } from '../../server/commands/callbacks/close-callback.ts'
import { openCallback } from '../../server/commands/callbacks/open-callback.ts'
import { newId } from '../../server/ids.ts'
import { verifyChain } from '../../server/store/record.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, asBrowser, type Cast } from '../support/cast.ts'
import { aPlaceThatStandsOut, GROUP, LEAKED, MADE } from '../support/standing-out.ts'
import { STORE_KINDS } from '../support/stores.ts'
import { twoFaces } from '../support/two-faces.ts'
import type { Whole } from '../support/worked.ts'

const asked = (query: Record<string, string>) => `/reliability/at-risk?${new URLSearchParams(query)}`

describe.each(STORE_KINDS)('on %s', (kind) => {
  let cast: Cast
  let faces: Awaited<ReturnType<typeof twoFaces>>
  let works: Whole[]
  let callbacks: string[]
  beforeAll(async () => {
    cast = await aCast(kind)
    faces = await twoFaces(cast)
    ;({ works, callbacks } = await aPlaceThatStandsOut(cast))
  }, 240_000)
  afterAll(() => cast.remove())

  // biome-ignore lint/suspicious/noExplicitAny: an answer, as a program reads it
  const list = async (query: Record<string, string>, player = cast.sam): Promise<any> => {
    const answer = await faces.get(player, asked(query))
    expect(answer.statusCode, answer.body).toBe(200)
    return answer.json()
  }
  const inService = () => works.slice(LEAKED).map(({ zone }) => zone.joints.indoorGas)
  const jobsNow = async () =>
    Number((await cast.store.store.query<{ n: number }>('select count(*) as n from jobs'))[0]?.n)

  describe('joints most at risk', () => {
    it('are those of the group that are in service, the least proven first among equals', async () => {
      const found = await list(GROUP)
      expect(found).toMatchObject({
        grounds: { kind: 'group', by: 'position', key: GROUP.key, leaks: LEAKED },
        standsOut: true,
        joints: MADE - LEAKED,
        nextCursor: null,
      })
      // The same in everything but the day of their sign-off: the last first.
      expect(found.items.map(({ jointId }: { jointId: string }) => jointId)).toEqual(inService().reverse())
      // In service for less than a year: 2. A torque well inside, a detector: 0.
      for (const { points, reasons } of found.items) {
        expect(points).toBe(2)
        expect(reasons.map(({ code }: { code: string }) => code)).toEqual([
          'torque',
          'leak-check',
          'time-in-service',
        ])
      }
    })

    it('are those like the one that a callback found, by what its cause comes of', async () => {
      const found = await list({ callbackId: callbacks[0] ?? '' })
      expect(found.alikeBy).toEqual(['position', 'tubeOd', 'flaringTool'])
      expect(found.items.map(({ jointId }: { jointId: string }) => jointId).sort()).toEqual(
        inService().sort(),
      )
      // Place leads, the size is shared, the tool is another one on each job: 2, and 2 for the first year.
      expect(found.items[0]).toMatchObject({ points: 4, shared: ['position', 'tubeOd'] })
    })

    it('come page by page, the same on the page as on the API, with the filters in every address', async () => {
      const one = await list({ ...GROUP, limit: '2' })
      expect([one.items.length, one.nextCursor]).toEqual([2, '2'])
      const two = await list({ ...GROUP, limit: '2', cursor: one.nextCursor })
      expect(two.items.map(({ rank }: { rank: number }) => rank)).toEqual([3])
      const page = parse((await faces.look(cast.sam, asked({ ...GROUP, limit: '2' }))).body)
      const rows = page.querySelectorAll('tbody tr')
      expect(rows.map((row) => row.querySelector('.tag')?.text.trim())).toEqual(
        one.items.map(({ tag }: { tag: string }) => tag),
      )
      expect(rows[0]?.text).toContain(one.items[0].reasons[2].words)
      const next = page.querySelector('.pager a')?.getAttribute('href')?.replaceAll('&amp;', '&') ?? ''
      expect(Object.fromEntries(new URL(next, 'http://x').searchParams)).toEqual({ ...GROUP, cursor: '2' })
      // A group leads there, one by persons does not.
      const groups = await faces.look(cast.sam, '/reliability?by=position')
      expect(groups.body).toContain('/reliability/at-risk?by=position&amp;key=indoor-gas%2Fgas')
      const callback = await faces.look(cast.wren, `/callbacks/${callbacks[0]}`)
      expect(callback.body).toContain(`/reliability/at-risk?callbackId=${callbacks[0]}`)
    })

    it('are a table too', async () => {
      const answer = await faces.get(cast.tess, `${asked(GROUP).replace('?', '.csv?')}&decimal=point`)
      expect(answer.headers['content-type']).toBe('text/csv; charset=utf-8')
      const [head = '', ...lines] = answer.body.trimEnd().split('\r\n')
      const { items } = await list(GROUP)
      expect(lines.length).toBe(items.length)
      const at = (name: string) => head.split(',').indexOf(name)
      expect(lines.map((line) => line.split(',')[at('joint_id')])).toEqual(
        items.map(({ jointId }: { jointId: string }) => jointId),
      )
      expect(lines[0]?.split(',')[at('points')]).toBe('2')
    })

    it('are never picked by who made them', async () => {
      for (const query of [
        { by: 'technician', key: cast.tess.crewId },
        { by: 'position', also: 'technician', key: `indoor-gas/gas|${cast.tess.crewId}` },
      ]) {
        const answer = await faces.get(cast.sam, asked(query))
        expect(answer.statusCode).toBe(400)
        expect(answer.json().errors[0].message).toContain('not picked by who made them')
      }
      const page = await faces.look(cast.sam, '/reliability?by=technician')
      expect(page.body).not.toContain('/reliability/at-risk')
    })

    it('are asked for in a way that means one thing', async () => {
      for (const [query, path] of [
        [{ ...GROUP, callbackId: callbacks[0] ?? '' }, 'key'],
        [{ by: 'luck', key: 'x' }, 'by'],
        [{ ...GROUP, from: '2026-08-01', to: '2026-01-01' }, 'to'],
        [{ ...GROUP, from: 'yesterday' }, 'from'],
        [{ ...GROUP, cursor: '-1' }, 'cursor'],
        [{ callbackId: 'no id' }, 'callbackId'],
      ] as const) {
        const answer = await faces.get(cast.sam, asked(query))
        expect([answer.statusCode, answer.json().errors[0]?.path], JSON.stringify(query)).toEqual([400, path])
      }
      expect(await list({ by: 'position', key: 'nowhere/gas' })).toMatchObject({ grounds: null, items: [] })
      expect(await list({})).toMatchObject({ grounds: null, items: [] })
      expect((await faces.look(cast.sam, '/reliability/at-risk')).statusCode).toBe(200)
      expect((await faces.get(cast.sam, asked({ callbackId: newId() }))).statusCode).toBe(404)
      expect((await faces.get(cast.zoe, asked({ callbackId: callbacks[0] ?? '' }))).statusCode).toBe(404)
      // Another company's group of that name has nothing in it.
      expect((await faces.get(cast.zoe, asked(GROUP))).json().items).toEqual([])
      expect((await faces.server.inject({ url: `/api/v1${asked(GROUP)}` })).statusCode).toBe(401)
      expect((await faces.server.inject({ url: asked(GROUP) })).headers.location).toMatch(/^\/sign-in/)
    })
  })

  describe('follow-up jobs', () => {
    const post = (payload: object, player: Parameters<typeof faces.post>[0] = cast.sam, headers = {}) =>
      faces.post(player, '/follow-up-jobs', payload, headers)

    it('are opened by managers and owners alone, and nothing is written on refusal', async () => {
      const before = await faces.entries()
      const foreign = works[0]?.zone.joints.indoorLiquid ?? ''
      expect((await post({ ...GROUP, most: 1 }, null)).statusCode).toBe(401)
      expect((await post({ ...GROUP, most: 1 }, cast.tess)).statusCode).toBe(403)
      expect((await post({ ...GROUP, most: 1 }, cast.wren)).statusCode).toBe(403)
      for (const [body, status, path] of [
        [{ ...GROUP }, 400, 'most'],
        [{ ...GROUP, most: 1, jointIds: inService() }, 400, 'most'],
        [{ ...GROUP, most: 0 }, 400, 'most'],
        [{ ...GROUP, most: 1.5 }, 400, 'most'],
        [{ ...GROUP, most: 'all' }, 400, 'most'],
        [{ ...GROUP, most: 201 }, 400, 'most'],
        [{ ...GROUP, jointIds: [] }, 400, 'jointIds'],
        [{ ...GROUP, jointIds: ['x'] }, 400, 'jointIds.0'],
        [{ ...GROUP, jointIds: [foreign] }, 404, 'jointIds'],
        [{ ...GROUP, jointIds: [newId()] }, 404, 'jointIds'],
        [{ most: 1 }, 400, 'key'],
        [{ by: 'technician', key: cast.tess.crewId, most: 1 }, 400, 'by'],
        [{ by: 'position', key: 'nowhere/gas', most: 1 }, 404, 'key'],
        [{ callbackId: newId(), most: 1 }, 404, 'callbackId'],
        [{ ...GROUP, most: 1, why: 'luck' }, 400, 'why'],
      ] as const) {
        const answer = await post(body)
        expect([answer.statusCode, answer.json().errors?.[0]?.path], JSON.stringify(body)).toEqual([
          status,
          path,
        ])
      }
      const calm = await post({ by: 'position', key: 'outdoor-gas/gas', most: 1 })
      expect([calm.statusCode, calm.json().code]).toEqual([409, 'group-not-flagged'])
      const open = await cast.run(cast.wren, openCallback, {
        systemId: works[6]?.zone.systemId ?? '',
        symptom: 'Ice',
      })
      const early = await post({ callbackId: open.id, most: 1 })
      expect([early.statusCode, early.json().code]).toEqual([409, 'callback-open'])
      await cast.run(cast.wren, closeCallback, { callbackId: open.id, outcome: 'none-found' })
      const nothing = await post({ callbackId: open.id, most: 1 })
      expect([nothing.statusCode, nothing.json().code]).toEqual([409, 'nothing-to-follow-up'])
      // The callback itself, taken in and closed.
      expect(await faces.entries()).toBe(before + 2)
    })

    it('are one for each site, say why, and are not made twice', async () => {
      const before = await jobsNow()
      // The two that were signed off last stand at one site.
      const answer = await post({ ...GROUP, most: 2 }, cast.sam, { 'idempotency-key': 'two' })
      expect(answer.statusCode, answer.body).toBe(201)
      const { jobs, already } = answer.json()
      expect([jobs.length, already]).toEqual([1, []])
      expect(jobs[0].jointIds).toEqual(inService().slice(1).reverse())
      // The very request again, and the same anew: nothing more.
      const repeated = await post({ ...GROUP, most: 2 }, cast.sam, { 'idempotency-key': 'two' })
      expect([repeated.statusCode, repeated.json()]).toEqual([200, answer.json()])
      const anew = await post({ ...GROUP, most: 2 })
      expect(anew.json()).toEqual({
        jobs: [],
        already: jobs[0].jointIds.map((jointId: string) => ({ jointId, jobId: jobs[0].id })),
      })
      expect(await jobsNow()).toBe(before + 1)
      // All three: the one that is left gets its own, at its own site.
      const rest = await post({ ...GROUP, jointIds: inService() })
      expect(rest.json().jobs.map(({ jointIds }: { jointIds: string[] }) => jointIds)).toEqual([
        [inService()[0]],
      ])
      expect(rest.json().already).toHaveLength(2)
      expect(await jobsNow()).toBe(before + 2)

      const found = await list(GROUP)
      expect(found.items.map(({ followUp }: { followUp: unknown }) => followUp)).toEqual([
        { jobId: jobs[0].id, open: true },
        { jobId: jobs[0].id, open: true },
        { jobId: rest.json().jobs[0].id, open: true },
      ])
      const page = await faces.look(cast.sam, `/jobs/${jobs[0].id}`)
      expect(page.body).toContain('To be looked at again')
      expect(page.body).toContain('indoor end, gas line: 5 leaks on such joints')
      expect(page.body.match(/Not looked at yet/g)).toHaveLength(2)
      // What is checked on the job is said to be.
      const last = works.at(-1)
      const jointId = last?.zone.joints.indoorGas ?? ''
      const checked = await faces.post(cast.tess, `/joints/${jointId}/leak-checks`, {
        jobId: jobs[0].id,
        method: 'refrigerant-detector',
        medium: 'refrigerant',
        instrumentId: last?.zone.instruments.leakDetector,
        result: 'none-found',
      })
      expect(checked.statusCode, checked.body).toBe(201)
      const after = await faces.look(cast.sam, `/jobs/${jobs[0].id}`)
      expect(after.body.match(/Not looked at yet/g)).toHaveLength(1)
      expect(after.body).toContain('Checked for leaks on this job')
      const told = await faces.get(cast.tess, `/jobs/${jobs[0].id}/follow-ups`)
      expect(told.json().items).toMatchObject([
        { grounds: { kind: 'group', leaks: LEAKED }, openedBy: cast.sam.memberId },
        { grounds: { kind: 'group', leaks: LEAKED } },
      ])
      expect((await faces.get(cast.zoe, `/jobs/${jobs[0].id}/follow-ups`)).statusCode).toBe(404)
      const entries = await cast.store.store.query<{ job: string }>(
        `select job_id as job from entries where kind = 'follow-up-opened' order by number`,
      )
      expect(entries.map(({ job }) => job)).toEqual([jobs[0].id, rest.json().jobs[0].id])
      const scope = scopeOf(cast.store.store.reader(), cast.sam.companyId)
      expect(await verifyChain(scope, cast.sam.companyId)).toEqual([])
    })

    it('are opened anew once the one before is sealed', async () => {
      const found = await list(GROUP)
      const { jobId } = found.items[0].followUp
      await cast.store.store.execute(`update jobs set stage = 'sealed' where id = '${jobId}'`)
      const after = await list(GROUP)
      expect(after.items[0].followUp).toEqual({ jobId, open: false })
      const anew = await post({ callbackId: callbacks[1] ?? '', jointIds: [after.items[0].jointId] })
      expect(anew.json().jobs).toHaveLength(1)
      const page = await faces.look(cast.sam, `/jobs/${anew.json().jobs[0].id}`)
      expect(page.body).toContain('found one like it leaking: not aligned')
      expect(page.body).toContain(`/callbacks/${callbacks[1]}`)
    })

    it('are opened from the page by what is ticked, and what is refused stands beside its field', async () => {
      await cast.store.store.execute(`update jobs set stage = 'sealed' where reference like 'Follow-up%'`)
      const url = asked(GROUP)
      const page = parse((await faces.look(cast.sam, url)).body)
      const boxes = page.querySelectorAll('tbody input[type=checkbox]')
      expect(boxes.length).toBe(MADE - LEAKED)
      const hidden = Object.fromEntries(
        (page.querySelectorAll('form[method=post]').at(1)?.querySelectorAll('input[type=hidden]') ?? []).map(
          (one) => [one.getAttribute('name') ?? '', one.getAttribute('value') ?? ''],
        ),
      )
      const ticked = { ...hidden, [boxes[0]?.getAttribute('name') ?? '']: 'yes' }
      const before = await jobsNow()
      for (const _again of [1, 2]) {
        const sent = await faces.send(cast.sam, url, ticked)
        expect(sent.statusCode).toBe(303)
        expect(sent.headers.location).toBe(url)
      }
      expect(await jobsNow()).toBe(before + 1)
      const after = await faces.look(cast.sam, url)
      expect(parse(after.body).querySelectorAll('tbody input[type=checkbox]').length).toBe(MADE - LEAKED - 1)
      expect(after.body).toContain('in an open follow-up job')

      const wrong = await faces.send(cast.sam, url, { ...hidden, _key: 'other', 'most#': 'many' })
      expect(wrong.statusCode).toBe(400)
      expect(parse(wrong.body).querySelector('[aria-invalid=true]')?.getAttribute('name')).toBe('most#')
      const nothing = await faces.send(cast.sam, url, { ...hidden, _key: 'third' })
      expect(nothing.statusCode).toBe(400)
      // Who may not open jobs sees the list, and nothing to send.
      const reader = await faces.server.inject({ url, headers: asBrowser(cast.tess) })
      expect(parse(reader.body).querySelectorAll('tbody tr').length).toBe(MADE - LEAKED)
      expect(parse(reader.body).querySelectorAll('main form').length).toBe(0)
    })
  })
})
