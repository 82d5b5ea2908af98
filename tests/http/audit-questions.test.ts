// Do questions of an audit reach the technician and come back answered, bound to the entry, on both faces?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { newId } from '../../server/ids.ts'
import { listEntriesAbout } from '../../server/store/queries/entries.ts'
import { verifyChain } from '../../server/store/record.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, type Cast, HOUR } from '../support/cast.ts'
import { STORE_KINDS } from '../support/stores.ts'
import { twoFaces } from '../support/two-faces.ts'
import { Visitor } from '../support/visitor.ts'
import { aWholeJob, type Whole } from '../support/worked.ts'

describe.each(STORE_KINDS)('an audit on %s', (kind) => {
  let cast: Cast
  let faces: Awaited<ReturnType<typeof twoFaces>>
  let work: Whole
  let torqueEntry: string
  let jointId: string
  const scope = () => scopeOf(cast.store.store.reader(), cast.sam.companyId)

  beforeAll(async () => {
    cast = await aCast(kind)
    faces = await twoFaces(cast)
    work = await aWholeJob(cast, 'asked')
    jointId = work.zone.joints.indoorGas
    const entries = await listEntriesAbout(scope(), jointId)
    torqueEntry = entries.find((entry) => entry.kind === 'torque-recorded')?.id ?? ''
    expect((await faces.post(cast.tess, `/jobs/${work.jobId}/submit`, {})).statusCode).toBe(200)
  })
  afterAll(() => cast.remove())

  const ask = (fields: object = {}, by = cast.sam) =>
    faces.post(by, `/jobs/${work.jobId}/audit-questions`, {
      entryId: torqueEntry,
      words: 'Why so near the limit?',
      ...fields,
    })

  it('binds a question to the entry it is about, and to the joint of that entry', async () => {
    const asked = await ask()
    expect(asked.statusCode).toBe(201)
    expect(asked.json()).toMatchObject({
      subjectKind: 'joint',
      subjectId: jointId,
      entryId: torqueEntry,
      state: 'for-crew',
      askedBy: cast.sam.memberId,
      replies: [],
    })
    const visitor = new Visitor(faces.server)
    visitor.carry(cast.tess.cookie)
    const joint = await visitor.go(`/joints/${jointId}?job=${work.jobId}`)
    expect(joint.text).toContain('Why so near the limit?')
    expect(joint.text).toContain('Torque recorded')
    const other = await faces.look(cast.tess, `/joints/${work.zone.joints.outdoorGas}?job=${work.jobId}`)
    expect(other.body).not.toContain('Why so near the limit?')
  })

  it('goes back and forth until the manager settles it, and each word stays with its time', async () => {
    const { id } = (await ask({ words: 'Which adapter?' })).json()
    cast.clock.pass(HOUR)
    const phone = cast.clock.now - 40 * 60_000
    const answered = await faces.post(
      cast.tess,
      `/audit-questions/${id}/answers`,
      { words: 'None was used.' },
      { 'device-time': new Date(phone).toISOString() },
    )
    expect(answered.statusCode).toBe(201)
    expect(answered.json()).toMatchObject({
      state: 'for-manager',
      replies: [
        {
          kind: 'answer',
          words: 'None was used.',
          saidBy: cast.tess.memberId,
          saidAt: new Date(cast.clock.now).toISOString(),
          deviceAt: new Date(phone).toISOString(),
        },
      ],
    })
    const again = await faces.post(cast.olga, `/audit-questions/${id}/questions`, { words: 'Sure?' })
    expect(again.json().state).toBe('for-crew')
    // The other technician's form, from the page.
    const sent = await faces.send(cast.tess, `/audit-questions/${id}/answers?from=joint`, {
      _form: 'answer',
      id: newId(),
      words: 'Yes, seen by both.',
    })
    expect(sent.headers.location).toBe(`/joints/${jointId}?job=${work.jobId}#question-${id}`)
    const settled = await faces.send(cast.sam, `/audit-questions/${id}/settlement?from=job`, { id: newId() })
    expect(settled.headers.location).toBe(`/jobs/${work.jobId}#question-${id}`)
    const list = (await faces.get(cast.wren, `/jobs/${work.jobId}/audit-questions`)).json().items
    const thread = list.find((one: { id: string }) => one.id === id)
    expect(thread.state).toBe('settled')
    expect(thread.replies.map((reply: { kind: string }) => reply.kind)).toEqual([
      'answer',
      'question',
      'answer',
      'settled',
    ])
    const late = await faces.post(cast.tess, `/audit-questions/${id}/answers`, { words: 'One more thing' })
    expect(late.statusCode).toBe(409)
    expect(late.json().code).toBe('question-settled')
    const reopened = await faces.post(cast.sam, `/audit-questions/${id}/questions`, { words: 'And the nut?' })
    expect(reopened.json().state).toBe('for-crew')
    await faces.post(cast.sam, `/audit-questions/${id}/settlement`, {})
  })

  it('says the same once when it is sent twice', async () => {
    const { id } = (await ask({ words: 'Twice?' })).json()
    const answer = { id: newId(), words: 'Once.' }
    const path = `/audit-questions/${id}/answers`
    const first = await faces.post(cast.tess, path, answer)
    const second = await faces.post(cast.tess, path, answer)
    expect([first.statusCode, second.statusCode]).toEqual([201, 200])
    expect(second.json().replies).toHaveLength(1)
    expect((await faces.post(cast.tess, path, { ...answer, words: 'Twice.' })).statusCode).toBe(409)
    await faces.post(cast.sam, `/audit-questions/${id}/settlement`, {})
  })

  it('refuses who may not, what is not there, and what says nothing; nothing is written', async () => {
    const { id } = (await ask({ words: 'Still open' })).json()
    const before = await faces.entries()
    const path = `/jobs/${work.jobId}/audit-questions`
    const refusals: [string, ReturnType<typeof ask>, number, string?][] = [
      ['a technician does not ask', ask({}, cast.tess), 403],
      ['the warranty desk neither', ask({}, cast.wren), 403],
      ['a technician of another company', ask({}, cast.zoe), 403],
      ['nobody signed in', faces.post(null, path, { words: 'x', entryId: torqueEntry }), 401],
      ['a stranger answers', faces.post(cast.zoe, `/audit-questions/${id}/answers`, { words: 'x' }), 404],
      ['the desk answers', faces.post(cast.wren, `/audit-questions/${id}/answers`, { words: 'x' }), 403],
      ['a technician settles', faces.post(cast.tess, `/audit-questions/${id}/settlement`, {}), 403],
      ['no words', ask({ words: '  ' }), 400, 'words'],
      ['words too long', ask({ words: 'x'.repeat(2001) }), 400, 'words'],
      ['no subject', faces.post(cast.sam, path, { words: 'x' }), 400, 'subjectId'],
      ['no kind', faces.post(cast.sam, path, { words: 'x', subjectId: jointId }), 400, 'subjectKind'],
      ['no such entry', ask({ entryId: newId() }), 404, 'entryId'],
      ['an entry of something else', ask({ subjectId: work.zone.joints.outdoorGas }), 400, 'subjectId'],
      [
        'a joint that is not of this job',
        faces.post(cast.sam, path, { words: 'x', subjectKind: 'joint', subjectId: newId() }),
        404,
        'subjectId',
      ],
      ['unknown field', ask({ mood: 'cross' }), 400, 'mood'],
    ]
    for (const [what, sent, status, field] of refusals) {
      const answer = await sent
      expect(answer.statusCode, what).toBe(status)
      if (field) expect(answer.json().errors[0].path, what).toBe(field)
    }
    expect(await faces.entries()).toBe(before)
    const page = await faces.send(cast.tess, `/audit-questions/${id}/answers?from=job`, {
      _form: 'answer',
      id: newId(),
      words: '',
    })
    expect(page.statusCode).toBe(400)
    expect(page.body).toContain('Enter some text.')
    await faces.post(cast.sam, `/audit-questions/${id}/settlement`, {})
  })

  it('keeps a job from being signed off or accepted while a question is open', async () => {
    const { id } = (await ask({ words: 'Before I sign' })).json()
    const [first] = (await faces.get(cast.sam, `/jobs/${work.jobId}/audit-questions`)).json().items
    await faces.post(cast.sam, `/audit-questions/${first.id}/settlement`, {})
    const mark = { subjectKind: 'job', subjectId: work.jobId, mark: 'accepted' }
    const marks = `/jobs/${work.jobId}/audit-marks`
    expect((await faces.post(cast.sam, marks, mark)).json().code).toBe('question-open')
    expect((await faces.post(cast.sam, `/jobs/${work.jobId}/sign-off`, {})).json().code).toBe('question-open')
    // Another joint may be accepted meanwhile.
    const other = { subjectKind: 'joint', subjectId: work.zone.joints.outdoorGas, mark: 'accepted' }
    expect((await faces.post(cast.sam, marks, other)).statusCode).toBe(201)
    await faces.post(cast.tess, `/audit-questions/${id}/answers`, { words: 'Here it is.' })
    expect((await faces.post(cast.sam, `/jobs/${work.jobId}/sign-off`, {})).json().code).toBe('question-open')
    await faces.post(cast.sam, `/audit-questions/${id}/settlement`, {})
    expect((await faces.post(cast.sam, marks, mark)).statusCode).toBe(201)
    expect((await faces.post(cast.tess, marks, mark)).statusCode).toBe(403)
    expect((await faces.post(cast.zoe, marks, mark)).statusCode).toBe(403)
    expect((await faces.post(cast.sam, marks, { ...mark, mark: 'liked' })).statusCode).toBe(400)
    expect((await faces.post(cast.sam, `/jobs/${work.jobId}/sign-off`, {})).statusCode).toBe(200)
    expect(await verifyChain(scope(), work.zone.systemId)).toEqual([])
  })

  it('takes no mark on a job that is being worked on, nor by whoever did the work', async () => {
    const own = await aWholeJob(cast, 'own')
    const marks = `/jobs/${own.jobId}/audit-marks`
    const mark = { subjectKind: 'job', subjectId: own.jobId, mark: 'accepted' }
    expect((await faces.post(cast.sam, marks, mark)).json().code).toBe('not-submitted')
    const worked = await aWholeJob(cast, 'worked', { by: cast.sam })
    await faces.post(cast.sam, `/jobs/${worked.jobId}/submit`, {})
    const refused = await faces.post(cast.sam, `/jobs/${worked.jobId}/audit-marks`, {
      ...mark,
      subjectId: worked.jobId,
    })
    expect(refused.json().code).toBe('own-work')
  })
})
