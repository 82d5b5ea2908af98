// Photos over both faces: what is taken, what is taken out of it, who sees it, and what leaves nothing behind.

import { existsSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { parse } from 'node-html-parser'
import sharp from 'sharp'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { startPressureTest } from '../../server/commands/section-tests/start-pressure-test.ts'
import { newId } from '../../server/ids.ts'
import { BUILT_IN_POLICY, type EvidencePhoto } from '../../server/rules/policy.ts'
import { localFiles } from '../../server/store/files.ts'
import { loadDossier } from '../../server/store/queries/dossier.ts'
import { listHandsOfJob } from '../../server/store/queries/jobs.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, asBrowser, asProgram, type Cast, NOON, type Player } from '../support/cast.ts'
import { aForm, aJpeg, aPhonesJpeg, aPng, aWebp } from '../support/pictures.ts'
import { aJobAtASite, type SingleZone, singleZone } from '../support/setups.ts'
import { faultsIn } from '../support/tampering.ts'
import { twoFaces } from '../support/two-faces.ts'

let cast: Cast
let faces: Awaited<ReturnType<typeof twoFaces>>
let jobId: string
let zone: SingleZone
let testId: string
beforeAll(async () => {
  cast = await aCast()
  faces = await twoFaces(cast)
  ;({ jobId } = await aJobAtASite(cast, { by: cast.tess }))
  zone = await singleZone(cast, { jobId, by: cast.tess })
  const { test } = await cast.run(cast.tess, startPressureTest, {
    systemId: zone.systemId,
    jobId,
    medium: 'nitrogen',
    gaugeInstrumentId: zone.instruments.pressureGauge,
  })
  testId = test.id
})
afterAll(() => cast.remove())

const ofTheTest = () => ({ subjectKind: 'pressure-test', subjectId: testId, shows: 'gauge-at-start' })

async function post(
  fields: Record<string, string>,
  bytes: Uint8Array | null,
  more: { by?: Player; fileName?: string; type?: string } = {},
) {
  const form = aForm(fields, bytes === null ? undefined : { ...more, bytes })
  return faces.server.inject({
    method: 'POST',
    url: '/api/v1/photos',
    headers: { ...asProgram(more.by ?? cast.tess), ...form.headers },
    payload: form.payload,
  })
}

async function send(fields: Record<string, string>, bytes: Uint8Array | null, by = cast.tess) {
  const form = aForm(fields, bytes === null ? { bytes: Buffer.alloc(0), fileName: '' } : { bytes })
  return faces.server.inject({
    method: 'POST',
    url: '/photos',
    headers: { ...asBrowser(by), ...form.headers },
    payload: form.payload,
  })
}

const folderOf = (player: Player) => join(cast.deps.config.files, player.companyId)
const filesOf = (player: Player) =>
  existsSync(folderOf(player))
    ? readdirSync(folderOf(player), { recursive: true, withFileTypes: true })
        .filter((entry) => entry.isFile())
        .map((entry) => entry.name)
        .sort()
    : []
const picture = (id: string, by = cast.tess) => faces.look(by, `/photos/${id}`)

describe('a photo', () => {
  it('is kept with what it shows, and told of', async () => {
    const id = newId()
    const answer = await post(
      { id, ...ofTheTest(), jobId, takenAt: '2026-03-04T14:00:00.000Z' },
      await aJpeg(),
    )
    expect(answer.statusCode, answer.body).toBe(201)
    const photo = answer.json()
    expect(photo).toMatchObject({
      id,
      width: 640,
      height: 480,
      takenAt: '2026-03-04T14:00:00.000Z',
      jobId,
      systemId: zone.systemId,
      ...ofTheTest(),
    })
    expect(photo.sha256).toMatch(/^[0-9a-f]{64}$/)
    expect((await faces.get(cast.wren, `/photos/${id}`)).json()).toEqual(photo)
    expect(filesOf(cast.tess)).toContain(photo.sha256)
    const kept = await localFiles(cast.deps.config.files).get(cast.tess.companyId, photo.sha256)
    expect((await picture(id)).rawPayload).toEqual(kept)
  })

  it('is evidence for the hold points of its job, and a hand in it', async () => {
    await post({ ...ofTheTest(), shows: 'gauge-at-end' }, await aJpeg({ shade: '#222222' }))
    const scope = scopeOf(cast.store.store.reader(), cast.tess.companyId)
    const { photos } = await loadDossier(scope, jobId, cast.clock.now)
    expect(photos?.map(({ shows }) => shows)).toEqual(
      expect.arrayContaining<EvidencePhoto>(['gauge-at-start', 'gauge-at-end']),
    )
    await post({ ...ofTheTest() }, await aJpeg({ shade: '#333333' }), { by: cast.olga })
    expect((await listHandsOfJob(scope, jobId)).memberIds).toContain(cast.olga.memberId)
  })

  it('is told of with its job and with the history of its joint', async () => {
    const { id } = (
      await post(
        { subjectKind: 'joint', subjectId: zone.joints.indoorGas },
        await aJpeg({ shade: '#0000aa' }),
      )
    ).json()
    const ids = (answer: { json(): { photos: { id: string }[] } }) =>
      answer.json().photos.map((photo) => photo.id)
    expect(ids(await faces.get(cast.sam, `/joints/${zone.joints.indoorGas}/history`))).toEqual([id])
    expect(ids(await faces.get(cast.sam, `/jobs/${jobId}`))).toContain(id)
  })

  it('need not be of anything', async () => {
    const answer = await post({}, await aPng({ shade: '#123456' }))
    expect(answer.json()).toMatchObject({ jobId: null, subjectKind: null, subjectId: null, shows: null })
  })

  it('sent again under its id is the first one again; with another picture it is refused', async () => {
    const id = newId()
    const bytes = await aJpeg({ shade: '#00aa00' })
    const first = await post({ id, ...ofTheTest() }, bytes)
    const [entries, files] = [await faces.entries(), filesOf(cast.tess)]
    const again = await post({ id, ...ofTheTest() }, bytes)
    expect([again.statusCode, again.json()]).toEqual([200, first.json()])
    const other = await post({ id, ...ofTheTest() }, await aJpeg({ shade: '#00bb00' }))
    expect([other.statusCode, other.json().code]).toEqual([409, 'id-reused'])
    expect(await faces.entries()).toBe(entries)
    // The other picture was read and then refused for its id alone: what it leaves is named by nothing, and no fault.
    expect(filesOf(cast.tess).filter((name) => files.includes(name))).toEqual(files)
  })

  it('sent twice at once is one', async () => {
    const id = newId()
    const bytes = await aJpeg({ shade: '#ab00cd' })
    const answers = await Promise.all([1, 2, 3].map(() => post({ id, ...ofTheTest() }, bytes)))
    expect(answers.map(({ statusCode }) => statusCode).sort()).toEqual([200, 200, 201])
    const [row] = await cast.store.store.query<{ n: number }>(
      `select count(*) as n from photos where id = '${id}'`,
    )
    expect(Number(row?.n)).toBe(1)
  })
})

describe('what a picture tells besides', () => {
  it('is gone from what is kept: place, make, owner, moment; it stands upright', async () => {
    const bytes = await aPhonesJpeg()
    const before = await sharp(bytes).metadata()
    expect(before.exif?.includes('Pocket 7')).toBe(true)
    expect(before.orientation).toBe(6)
    const { id, width, height } = (await post(ofTheTest(), bytes)).json()
    expect([width, height]).toEqual([600, 800])
    for (const url of [`/photos/${id}`, `/photos/${id}/thumbnail`]) {
      const kept = (await faces.look(cast.tess, url)).rawPayload
      const { exif, xmp, iptc, icc, orientation } = await sharp(kept).metadata()
      expect({ exif, xmp, iptc, icc, orientation }).toEqual({
        exif: undefined,
        xmp: undefined,
        iptc: undefined,
        icc: undefined,
        orientation: undefined,
      })
      for (const trace of ['Exif', 'Pocket', 'Invented', 'Brackwater', 'GPS', '2026:03:04'])
        expect(kept.includes(trace), trace).toBe(false)
    }
  })

  it.each([
    ['the moment with its zone', {}, '2026-03-04T13:20:30.000Z'],
    [
      'the satellites’ time where there is no zone',
      {
        IFD2: { OffsetTimeOriginal: 'unknown' },
        IFD3: { GPSDateStamp: '2026:03:04', GPSTimeStamp: '13/1 20/1 31/1' },
      },
      '2026-03-04T13:20:31.000Z',
    ],
    ['nothing where there is no zone at all', { IFD2: { OffsetTimeOriginal: 'unknown' } }, null],
    [
      'nothing where the camera’s clock is ahead',
      { IFD2: { DateTimeOriginal: '2031:03:04 15:20:30' } },
      null,
    ],
  ])('says when it was taken: %s', async (_what, exif, takenAt) => {
    const answer = await post(ofTheTest(), await aPhonesJpeg(exif as never))
    expect(answer.json().takenAt).toBe(takenAt)
  })

  it('is taken without its moment from a phone whose clock is ahead', async () => {
    const answer = await post({ ...ofTheTest(), takenAt: '2026-03-05T15:00:00.000Z' }, await aJpeg())
    expect([answer.statusCode, answer.json().takenAt]).toEqual([201, null])
  })

  it('outranks what the sender says of the moment', async () => {
    const answer = await post({ ...ofTheTest(), takenAt: '2026-03-01T00:00:00.000Z' }, await aPhonesJpeg())
    expect(answer.json().takenAt).toBe('2026-03-04T13:20:30.000Z')
  })
})

describe('a picture', () => {
  it.each([
    ['JPEG', aJpeg],
    ['PNG', aPng],
    ['WebP', aWebp],
  ])('may be %s; what is kept is JPEG', async (_kind, make) => {
    // Names and types are what a sender says; the bytes are what it is.
    const bytes = await make({ shade: '#445566', width: 300, height: 200 })
    const answer = await post(ofTheTest(), bytes, { fileName: 'photo.heic', type: 'image/heic' })
    expect(answer.statusCode, answer.body).toBe(201)
    const { format } = await sharp((await picture(answer.json().id)).rawPayload).metadata()
    expect([format, answer.json().mediaType]).toEqual(['jpeg', 'image/jpeg'])
  })

  it('is made no larger than 2400 on its long side, with a small one of 320', async () => {
    const { id, width, height } = (await post(ofTheTest(), await aJpeg({ width: 3000, height: 1500 }))).json()
    expect([width, height]).toEqual([2400, 1200])
    const small = await sharp((await faces.look(cast.tess, `/photos/${id}/thumbnail`)).rawPayload).metadata()
    expect([small.width, small.height]).toEqual([320, 160])
  })
})

describe('a photo is refused, and leaves nothing behind,', () => {
  const jpeg = () => aJpeg({ shade: '#987654', width: 900, height: 700 })
  const cut = async () => (await aPhonesJpeg()).subarray(0, 1200)
  const noise = async () => {
    const raw = Buffer.alloc(700 * 700 * 3)
    for (let at = 0; at < raw.length; at += 1) raw[at] = (at * 7919) % 251
    const whole = await sharp(raw, { raw: { width: 700, height: 700, channels: 3 } })
      .jpeg()
      .toBuffer()
    return whole.subarray(0, Math.floor(whole.length / 2))
  }
  /** A small file that unfolds to a hundred million points. */
  const bomb = () =>
    sharp({ create: { width: 12_000, height: 9000, channels: 3, background: '#fff' } })
      .png()
      .toBuffer()
  const heic = async () =>
    Buffer.concat([Buffer.from([0, 0, 0, 24]), Buffer.from('ftypheicxxxx'), Buffer.alloc(64)])

  it.each<[string, number, string, () => Promise<Uint8Array | null>, Record<string, string>?]>([
    ['without a file', 400, 'malformed', async () => null],
    ['when the file is empty', 400, 'malformed', async () => Buffer.alloc(0)],
    ['when it is a text', 415, 'unsupported-media-type', async () => Buffer.from('this is no photo')],
    [
      'when it is a drawing',
      415,
      'unsupported-media-type',
      async () => Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"/>'),
    ],
    ['when it is a GIF', 415, 'unsupported-media-type', async () => Buffer.from('GIF89a\0\0\0\0')],
    ['when it is HEIC', 415, 'unsupported-media-type', heic],
    ['when it is cut off at its head', 400, 'malformed', cut],
    ['when it is cut off in the middle', 400, 'malformed', noise],
    [
      'when it only begins like a picture',
      400,
      'malformed',
      async () => Buffer.concat([Buffer.from([0xff, 0xd8, 0xff]), Buffer.alloc(500, 7)]),
    ],
    ['when it unfolds to too much', 413, 'too-large', bomb],
    [
      'above 12 MB',
      413,
      'too-large',
      async () => Buffer.concat([await jpeg(), Buffer.alloc(12 * 1024 * 1024)]),
    ],
  ])('%s', async (_when, status, code, make, fields = ofTheTest()) => {
    const [entries, files] = [await faces.entries(), filesOf(cast.tess)]
    const answer = await post(fields, await make())
    expect([answer.statusCode, answer.json().code], answer.body).toEqual([status, code])
    expect(answer.headers['content-type']).toMatch(/^application\/problem\+json/)
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toEqual(['picture'])
    expect(await faces.entries()).toBe(entries)
    expect(filesOf(cast.tess)).toEqual(files)
  })

  it.each<[string, number, string, () => Record<string, string>]>([
    ['of a joint that is not there', 404, 'subjectId', () => ({ subjectKind: 'joint', subjectId: newId() })],
    ['of a kind of thing without the thing', 400, 'subjectId', () => ({ subjectKind: 'joint' })],
    ['of a thing without its kind', 400, 'subjectKind', () => ({ subjectId: zone.joints.indoorGas })],
    ['that shows something, of nothing', 400, 'subjectId', () => ({ shows: 'unit-plates' })],
    [
      'of a vacuum gauge at a pressure test',
      400,
      'shows',
      () => ({ ...ofTheTest(), shows: 'vacuum-at-end' }),
    ],
    ['of what nobody asks for', 400, 'shows', () => ({ ...ofTheTest(), shows: 'my-lunch' })],
    ['taken at no moment', 400, 'takenAt', () => ({ ...ofTheTest(), takenAt: 'yesterday' })],
    ['on a job that is not there', 404, 'jobId', () => ({ ...ofTheTest(), jobId: newId() })],
    [
      'of a step that is not there',
      404,
      'stepId',
      () => ({ subjectKind: 'joint', subjectId: zone.joints.indoorGas, stepId: newId() }),
    ],
    ['with a field nobody knows', 400, 'mood', () => ({ ...ofTheTest(), mood: 'fine' })],
  ])('%s', async (_when, status, path, fields) => {
    const [entries, files] = [await faces.entries(), filesOf(cast.tess)]
    const answer = await post(fields(), await jpeg())
    expect([answer.statusCode, answer.json().errors?.[0]?.path], answer.body).toEqual([status, path])
    expect(await faces.entries()).toBe(entries)
    expect(filesOf(cast.tess)).toEqual(files)
  })

  it('when the form ends in the middle', async () => {
    const form = aForm(ofTheTest(), { bytes: await jpeg() })
    const answer = await faces.server.inject({
      method: 'POST',
      url: '/api/v1/photos',
      headers: { ...asProgram(cast.tess), ...form.headers },
      payload: form.payload.subarray(0, form.payload.length - 400),
    })
    expect([answer.statusCode, answer.json().errors[0].path]).toEqual([400, 'picture'])
  })

  it('as JSON, where no picture can be', async () => {
    const answer = await faces.post(cast.tess, '/photos', ofTheTest())
    expect([answer.statusCode, answer.json().errors[0].path]).toEqual([400, 'picture'])
  })

  it('anywhere else: other routes take no files', async () => {
    const form = aForm({ reference: 'x' }, { bytes: await jpeg() })
    const answer = await faces.server.inject({
      method: 'POST',
      url: '/api/v1/jobs',
      headers: { ...asProgram(cast.tess), ...form.headers },
      payload: form.payload,
    })
    expect([answer.statusCode, answer.json().code]).toEqual([415, 'unsupported-media-type'])
  })

  it('on a job that waits or is sealed, while a repeat of one taken before still has its answer', async () => {
    const other = await aJobAtASite(cast, { by: cast.tess })
    const id = newId()
    const fields = { id, subjectKind: 'job', subjectId: other.jobId }
    const bytes = await jpeg()
    const first = await post(fields, bytes)
    expect(first.statusCode, first.body).toBe(201)
    await cast.store.store.execute(`update jobs set stage = 'submitted' where id = '${other.jobId}'`)
    const [entries, files] = [await faces.entries(), filesOf(cast.tess)]
    const late = await post({ ...fields, id: newId() }, await aJpeg({ shade: '#fedcba' }))
    expect([late.statusCode, late.json().code]).toEqual([409, 'job-submitted'])
    expect((await post(fields, bytes)).json()).toEqual(first.json())
    expect(await faces.entries()).toBe(entries)
    expect(filesOf(cast.tess)).toEqual(files)
  })
})

describe('who may', () => {
  it('add one: the crew, not the warranty desk, and nobody who is signed out', async () => {
    const bytes = await aJpeg({ shade: '#777777' })
    expect((await post(ofTheTest(), bytes, { by: cast.wren })).statusCode).toBe(403)
    const form = aForm(ofTheTest(), { bytes })
    const out = await faces.server.inject({ method: 'POST', url: '/api/v1/photos', ...form })
    expect(out.statusCode).toBe(401)
  })

  it('see one: members alone; a stranger is told that it is not there', async () => {
    const { id } = (await post(ofTheTest(), await aJpeg({ shade: '#0f0f0f' }))).json()
    for (const url of [`/photos/${id}`, `/photos/${id}/thumbnail`]) {
      const mine = await faces.look(cast.wren, url)
      expect([mine.statusCode, mine.headers['content-type']]).toEqual([200, 'image/jpeg'])
      expect(mine.headers).toMatchObject({
        'cache-control': expect.stringMatching(/^private, max-age=\d+$/),
        'content-disposition': 'inline',
        'x-content-type-options': 'nosniff',
        'content-security-policy': expect.stringContaining("default-src 'none'"),
      })
      expect((await faces.look(cast.zoe, url)).statusCode).toBe(404)
      expect((await faces.server.inject({ url })).statusCode).toBe(303)
    }
    expect((await faces.get(cast.zoe, `/photos/${id}`)).statusCode).toBe(404)
    const theirs = await post(ofTheTest(), await aJpeg(), { by: cast.zoe })
    expect(theirs.statusCode).toBe(404)
    expect(filesOf(cast.zoe)).toEqual([])
  })
})

describe('a browser', () => {
  const slotsIn = (body: string) =>
    parse(body)
      .querySelectorAll('form.photo-form')
      .map((form) => form.querySelector('[name=shows]')?.getAttribute('value'))

  it('finds a form for each photo on the page of the test, and comes back to it', async () => {
    const page = await faces.look(cast.tess, `/pressure-tests/${testId}`)
    expect(slotsIn(page.body)).toEqual(['gauge-at-start', 'gauge-at-end'])
    const form = parse(page.body).querySelector('form.photo-form')
    expect(form?.getAttribute('enctype')).toBe('multipart/form-data')
    expect(form?.querySelector('input[type=file]')?.getAttribute('capture')).toBe('environment')
    const fields = Object.fromEntries(
      (form?.querySelectorAll('input[type=hidden]') ?? []).map((field) => [
        field.getAttribute('name') ?? '',
        field.getAttribute('value') ?? '',
      ]),
    )
    const answer = await send(fields, await aJpeg({ shade: '#31415f' }))
    expect([answer.statusCode, answer.headers.location]).toEqual([303, `/pressure-tests/${testId}#photos`])
    const image = parse((await faces.look(cast.wren, `/pressure-tests/${testId}`)).body).querySelector(
      `img[src="/photos/${fields.id}/thumbnail"]`,
    )
    expect(image?.getAttribute('alt')).toMatch(/^Gauge at the start of the hold, pressure test of /)
    expect(image?.parentNode?.getAttribute('href')).toBe(`/photos/${fields.id}`)
  })

  it('without a photo, or with what is none, gets the form again with the reason beside it', async () => {
    for (const [bytes, status] of [
      [null, 400],
      [Buffer.from('no photo'), 415],
    ] as const) {
      const answer = await send({ id: newId(), jobId, ...ofTheTest() }, bytes)
      expect(answer.statusCode).toBe(status)
      const page = parse(answer.body)
      expect(page.querySelector('.field-wrong .message')?.text).toMatch(/Send (the|a) photo/)
      expect(page.querySelector('form.photo-form [name=shows]')?.getAttribute('value')).toBe('gauge-at-start')
      expect(page.text).toContain('Back without one')
    }
  })

  it('sees on the job which photos are asked for, and which are there', async () => {
    const asked = await aCast()
    try {
      const there = await twoFaces(asked)
      const job = await aJobAtASite(asked, { by: asked.tess })
      const house = await singleZone(asked, { jobId: job.jobId, by: asked.tess })
      await asked.store.store.execute('drop trigger policies_no_update')
      await asked.store.store.execute(
        `update policies set criteria = '${JSON.stringify(BUILT_IN_POLICY)}' where company_id = '${asked.tess.companyId}'`,
      )
      const look = async () =>
        parse((await there.look(asked.tess, `/jobs/${job.jobId}`)).body).querySelector(
          `#photos-${house.systemId}`,
        )
      expect((await look())?.text).toMatch(/Plates of the units, asked for/)
      const form = aForm(
        { subjectKind: 'system', subjectId: house.systemId, shows: 'unit-plates', jobId: job.jobId },
        { bytes: await aJpeg() },
      )
      const answer = await there.server.inject({
        method: 'POST',
        url: '/photos',
        headers: { ...asBrowser(asked.tess), ...form.headers },
        payload: form.payload,
      })
      expect(answer.headers.location).toBe(`/jobs/${job.jobId}#photos-${house.systemId}`)
      expect((await look())?.text).toMatch(/Plates of the units, there/)
      expect((await look())?.querySelectorAll('img')).toHaveLength(1)
    } finally {
      await asked.remove()
    }
  })
})

describe('the record', () => {
  it('finds a picture that was changed or lost, and nothing else', async () => {
    const { id, sha256 } = (await post(ofTheTest(), await aJpeg({ shade: '#c0ffee', width: 500 }))).json()
    expect(await faultsIn(cast)).toEqual([])
    const place = join(folderOf(cast.tess), sha256.slice(0, 2), sha256)
    const bytes = (await picture(id)).rawPayload
    const last = bytes.length - 3
    bytes[last] = (bytes[last] ?? 0) ^ 1
    writeFileSync(place, bytes)
    expect(await faultsIn(cast)).toMatchObject([{ of: `photo ${id}`, what: 'its picture was changed' }])
    rmSync(place)
    expect(await faultsIn(cast)).toMatchObject([{ of: `photo ${id}`, what: 'its picture is missing' }])
    expect((await picture(id)).statusCode).toBe(404)
  })

  it('holds no place and no name of the file', async () => {
    const rows = await cast.store.store.query<{ content: string }>(
      "select content from entries where kind = 'photo-attached'",
    )
    expect(rows.length).toBeGreaterThan(5)
    for (const { content } of rows) {
      expect(Object.keys(JSON.parse(content).body).sort()).toEqual(['photo', 'sha256', 'shows'])
      expect(content).not.toMatch(/photo\.jpg|Pocket|GPS/)
    }
    expect(cast.clock.now).toBeGreaterThanOrEqual(NOON)
  })
})
