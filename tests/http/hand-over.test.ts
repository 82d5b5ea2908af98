// Does a job go from one person to another, by those who may, with a note that both see and the record keeps?

import { parse } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { handOverJob } from '../../server/commands/jobs/hand-over-job.ts'
import { openJob } from '../../server/commands/jobs/open-job.ts'
import { addCrewPerson } from '../../server/commands/people/add-crew-person.ts'
import { changeCrewPerson } from '../../server/commands/people/change-crew-person.ts'
import { newId } from '../../server/ids.ts'
import { verifyChain } from '../../server/store/record.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, type Cast } from '../support/cast.ts'
import { aJobAtASite, aSite, singleZone } from '../support/setups.ts'
import { STORE_KINDS } from '../support/stores.ts'
import { twoFaces } from '../support/two-faces.ts'

describe.each(STORE_KINDS)('a job in hand, on %s', (kind) => {
  let cast: Cast
  let faces: Awaited<ReturnType<typeof twoFaces>>
  let jobId: string
  let systemId: string
  let colleague: string
  beforeAll(async () => {
    cast = await aCast(kind)
    faces = await twoFaces(cast)
    ;({ jobId } = await aJobAtASite(cast))
    ;({ systemId } = await singleZone(cast, { jobId }))
    colleague = (await cast.run(cast.sam, addCrewPerson, { name: 'Noor', credentials: [] })).id
  })
  afterAll(() => cast.remove())

  const path = () => `/jobs/${jobId}/hand-over`
  const yours = async (player: typeof cast.tess) =>
    (await faces.get(player, '/jobs?stage=open&assignedTo=me'))
      .json()
      .items.map((job: { id: string }) => job.id)

  it('is nobody’s at first, and a technician takes it but gives it to nobody else', async () => {
    expect(await yours(cast.tess)).toEqual([])
    const before = await faces.entries()
    const given = await faces.post(cast.tess, path(), { to: colleague })
    expect(given.statusCode).toBe(403)
    expect(given.json().code).toBe('not-yours-to-hand-over')
    expect(await faces.entries()).toBe(before)
    const taken = await faces.post(cast.tess, path(), { to: cast.tess.memberId })
    expect(taken.statusCode, taken.body).toBe(200)
    expect(taken.json().assignedTo).toBe(cast.tess.crewId)
    expect(await yours(cast.tess)).toEqual([jobId])
  })

  it('goes on with a note, which is kept once however often it is sent', async () => {
    const body = {
      id: newId(),
      to: cast.sam.memberId,
      note: 'Two joints are left; the key hangs in the shed.',
    }
    const before = await faces.entries()
    const first = await faces.post(cast.tess, path(), body)
    expect(first.statusCode, first.body).toBe(200)
    const again = await faces.post(cast.tess, path(), body)
    expect(again.statusCode).toBe(200)
    expect(again.json()).toEqual(first.json())
    expect(await faces.entries()).toBe(before + 1)
    expect(first.json().handOvers.at(-1)).toMatchObject({
      id: body.id,
      by: cast.tess.memberId,
      from: cast.tess.crewId,
      to: cast.sam.crewId,
      note: body.note,
    })
    const other = await faces.post(cast.tess, path(), { ...body, note: 'Another.' })
    expect([other.statusCode, other.json().code]).toEqual([409, 'id-reused'])
  })

  it('is seen by both: on the job’s page and in the lists', async () => {
    for (const player of [cast.tess, cast.sam]) {
      const { body } = await faces.look(player, `/jobs/${jobId}`)
      expect(parse(body).querySelector('.events')?.text).toMatch(/Handed over to Sam by Tess/)
      expect(body).toContain('the key hangs in the shed')
    }
    expect(
      parse((await faces.look(cast.sam, `/jobs/${jobId}`)).body).querySelector('.flash')?.text,
    ).toContain('Tess handed this job to you.')
    expect(parse((await faces.look(cast.tess, `/jobs/${jobId}`)).body).querySelector('.flash')).toBeNull()
    expect(await yours(cast.tess)).toEqual([])
    expect(await yours(cast.sam)).toEqual([jobId])
    const list = parse((await faces.look(cast.tess, '/jobs')).body)
    expect(list.querySelector('main')?.text).toContain('Yours (0)')
    expect(list.querySelector('main')?.text).toContain('Sam (1)')
    const theirs = await faces.look(cast.tess, `/jobs?stage=open&assignedTo=${cast.sam.crewId}`)
    expect(theirs.body).toContain('Mill Lane')
  })

  it('is written into the chain of its system, without the note, and the chain holds', async () => {
    const scope = scopeOf(cast.store.store.reader(), cast.tess.companyId)
    const rows = await cast.store.store.query<{ content: string }>(
      `select content from entries where chain_id = '${systemId}' and kind = 'job-handed-over' order by number`,
    )
    expect(rows).toHaveLength(2)
    expect(JSON.parse(rows[1]?.content ?? '{}').body).toMatchObject({
      from: cast.tess.crewId,
      to: cast.sam.crewId,
    })
    expect(rows[1]?.content).not.toContain('shed')
    expect(await verifyChain(scope, systemId)).toEqual([])
  })

  it('is not handed over by whom it does not belong to, except by a manager', async () => {
    const before = await faces.entries()
    const asked = [
      [null, { to: colleague }, 401],
      [cast.wren, { to: colleague }, 403],
      [cast.tess, { to: colleague }, 403],
      [cast.zoe, { to: cast.zoe.memberId }, 404],
      [cast.sam, { to: cast.zoe.crewId }, 404],
      [cast.sam, { to: cast.sam.crewId }, 409],
      [cast.sam, {}, 400],
      [cast.sam, { to: 'Noor' }, 400],
      [cast.sam, { to: colleague, note: '' }, 400],
      [cast.sam, { to: colleague, note: 'x'.repeat(2001) }, 400],
      [cast.sam, { to: colleague, stage: 'sealed' }, 400],
    ] as const
    for (const [player, body, status] of asked) {
      const answer = await faces.post(player, path(), body)
      expect([answer.statusCode, JSON.stringify(body)]).toEqual([status, JSON.stringify(body)])
    }
    expect(await faces.entries()).toBe(before)
    const given = await faces.send(cast.olga, path(), { id: newId(), to: colleague, note: '' })
    expect(given.statusCode).toBe(303)
    expect(given.headers.location).toBe(`/jobs/${jobId}`)
    expect((await faces.get(cast.tess, `/jobs/${jobId}`)).json().assignedTo).toBe(colleague)
  })

  it('is refused on the page beside the field, which keeps what was typed', async () => {
    const answer = await faces.send(cast.sam, path(), { id: newId(), to: colleague, note: 'Keep me.' })
    expect(answer.statusCode).toBe(409)
    const page = parse(answer.body)
    expect(page.querySelector('#in-hand .message')?.text).toBe('Noor has this job already.')
    expect(page.querySelector('#in-hand textarea')?.text).toBe('Keep me.')
  })

  it('goes to nobody who has left, and offers nothing to who may not give it', async () => {
    await cast.run(cast.sam, handOverJob, { jobId, to: cast.tess.memberId })
    await cast.run(cast.sam, changeCrewPerson, { crewId: colleague, active: false })
    const answer = await faces.post(cast.tess, path(), { to: colleague })
    expect([answer.statusCode, answer.json().errors[0].path]).toEqual([400, 'to'])
    const page = parse((await faces.look(cast.wren, `/jobs/${jobId}`)).body)
    expect(page.querySelector('#in-hand')?.text).toContain('Tess has this job.')
    expect(page.querySelector('#in-hand form')).toBeNull()
    expect(page.querySelector('#in-hand select')).toBeNull()
  })

  it('without a system is written into the company’s own chain', async () => {
    const site = await aSite(cast)
    const job = await cast.run(cast.tess, openJob, { siteId: site.id, kind: 'repair' })
    await cast.run(cast.tess, handOverJob, { jobId: job.id, to: cast.tess.memberId })
    const [row] = await cast.store.store.query<{ chain_id: string }>(
      `select chain_id from entries where kind = 'job-handed-over' and job_id = '${job.id}'`,
    )
    expect(row?.chain_id).toBe(cast.tess.companyId)
  })
})
