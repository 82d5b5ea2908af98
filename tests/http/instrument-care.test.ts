// What looking after instruments comes to: what is due, uses counted, certificates kept as they came, labels.

import { parse } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { correctFact } from '../../server/commands/corrections/correct-fact.ts'
import { addInstrument } from '../../server/commands/instruments/add-instrument.ts'
import { countUsesByHand } from '../../server/commands/instruments/count-uses.ts'
import { recordCalibration } from '../../server/commands/instruments/record-calibration.ts'
import { newId } from '../../server/ids.ts'
import { hashOf } from '../../server/store/files.ts'
import { countUses, listSpentChecks } from '../../server/store/queries/instrument-uses.ts'
import { listInstrumentsById } from '../../server/store/queries/instruments-used.ts'
import { verifyChain } from '../../server/store/record.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, asBrowser, asProgram, type Cast, DAY, HOUR, MINUTE, type Player } from '../support/cast.ts'
import { aForm, aJpeg, aPng, aWebp } from '../support/pictures.ts'
import { STORE_KINDS } from '../support/stores.ts'
import { twoFaces } from '../support/two-faces.ts'
import { aFreshJob, makeJoint, type Work } from '../support/worked.ts'

const PDF = Buffer.from('%PDF-1.7\n1 0 obj << /Type /Catalog >> endobj\n%%EOF\n')
const FOREVER = Number.MAX_SAFE_INTEGER

let serial = 0
const wrenchOf = async (cast: Cast, name = 'Wrench') => {
  serial += 1
  const made = await cast.run(cast.sam, addInstrument, {
    kind: 'torque-wrench',
    name: `${name} ${serial}`,
    serial: `TW-${serial}`,
    accuracyPercent: 4,
  })
  return made.id
}
const checkOf = (cast: Cast, instrumentId: string, daysAgo = 0) =>
  cast.run(cast.sam, recordCalibration, {
    instrumentId,
    at: new Date(cast.clock.now - daysAgo * DAY).toISOString(),
    result: 'in-tolerance',
    basis: 'certificate',
    reference: 'C-1',
  })

describe.each(STORE_KINDS)('the uses of a wrench, on %s', (kind) => {
  let cast: Cast
  let work: Work
  let wrench: string
  let checkId: string
  const scope = () => scopeOf(cast.machinery.store.reader(), cast.tess.companyId)
  const counted = async (limit?: number) =>
    (await countUses(scope(), [{ instrumentId: wrench, since: since(), until: FOREVER }], limit))[0]
  let checkedAt = 0
  const since = () => checkedAt
  const torque = (place: Parameters<typeof makeJoint>[2], reason?: string) =>
    makeJoint(cast, work, place, {
      torque: {
        indication: 'read',
        reading: { value: place.endsWith('Liquid') ? 16 : 38, unit: 'N.m' },
        instrumentId: wrench,
      },
      leakCheck: null,
      ...(reason === undefined ? {} : { reason }),
    })

  beforeAll(async () => {
    cast = await aCast(kind)
    wrench = await wrenchOf(cast)
    work = await aFreshJob(cast, 'uses')
    await torque('outdoorGas')
    cast.clock.pass(HOUR)
    checkedAt = cast.clock.now
    checkId = (await checkOf(cast, wrench)).calibration.id
    cast.clock.pass(HOUR)
  }, 60_000)
  afterAll(() => cast.remove())

  it('are counted from the last check: what came before it is not among them', async () => {
    expect(await counted()).toEqual({ recorded: 0, byHand: 0, total: 0, limit: 5000, reachedAt: null })
    await torque('outdoorLiquid')
    await torque('indoorLiquid')
    expect(await counted()).toMatchObject({ recorded: 2, total: 2 })
  })

  it('count one torque once when it is corrected, whether the correction stands at once or waits', async () => {
    const { torque: slip } = await torque('indoorGas')
    const correct = (entryId: string, value: number) =>
      cast.run(cast.tess, correctFact, {
        entryId,
        reason: 'A slip of the finger.',
        replacement: { indication: 'read', reading: { value, unit: 'N.m' }, instrumentId: wrench },
      })
    // Within minutes and with the same outcome it stands at once.
    await correct(slip.entryId, 38.5)
    expect(await counted()).toMatchObject({ recorded: 3, total: 3 })
    const { torque: late } = await torque('outdoorGas', 'Made again')
    cast.clock.pass(2 * DAY)
    // Days later, and out of range: it waits for a manager, and neither of the two counts twice.
    await correct(late.entryId, 90)
    expect(await counted()).toMatchObject({ recorded: 4, total: 4 })
  })

  it('take what was counted by hand along, and take it back again', async () => {
    const hand = (uses: number, change: object = {}) =>
      cast.run(cast.tess, countUsesByHand, { instrumentId: wrench, uses, ...change })
    await hand(60, { note: 'Pipe rack in the yard' })
    expect(await counted()).toMatchObject({ recorded: 4, byHand: 60, total: 64 })
    await hand(10, { takenBack: true, note: 'Counted with wrench 2' })
    expect(await counted()).toMatchObject({ recorded: 4, byHand: 50, total: 54 })
    await expect(hand(10, { takenBack: true })).rejects.toMatchObject({ kind: 'malformed' })
  })

  it('say with which use a limit was reached, and which check was used up', async () => {
    const steps = await cast.store.store.query<{ at: number | string }>(
      `select performed_at as at from steps where instrument_id = '${wrench}' and performed_at > ${checkedAt}
       and id not in (select fact_id from corrections) order by performed_at`,
    )
    const [, second] = steps.map(({ at }) => Number(at))
    expect((await counted(2))?.reachedAt).toBe(second)
    expect((await counted(54))?.reachedAt).not.toBeNull()
    expect((await counted(55))?.reachedAt).toBeNull()
    const spent = await listSpentChecks(
      scope(),
      [{ id: wrench, checks: [{ id: checkId, at: checkedAt }] }],
      2,
    )
    expect([...spent]).toEqual([[checkId, second]])
    const [known] = await listInstrumentsById(scope(), [wrench])
    expect(known?.calibrations.map((one) => one.spentAt)).toEqual([undefined])
  })

  it('end a confirmation with the five thousandth: from then on it is due, and a check sets it back', async () => {
    await cast.run(cast.tess, countUsesByHand, { instrumentId: wrench, uses: 4946, note: 'A big yard' })
    expect(await counted()).toMatchObject({ total: 5000, reachedAt: cast.clock.now })
    const faces = await twoFaces(cast)
    cast.clock.pass(MINUTE)
    const after = (await faces.get(cast.tess, `/instruments/${wrench}`)).json()
    expect(after.uses).toMatchObject({ sinceCheck: 5000, limit: 5000, byHand: 4996, recorded: 4 })
    expect(after.confirmation).toMatchObject({ state: 'out-of-date', confirmed: false })
    expect(after.confirmation.reason).toMatch(/the 5000 uses since its confirmation of .* had been made/)
    const due = (await faces.get(cast.tess, '/instruments/due?within=overdue&by=uses')).json()
    expect(due.items).toMatchObject([{ instrumentId: wrench, by: 'uses', within: 'overdue' }])
    // What a job rests on is judged by the same.
    const [known] = await listInstrumentsById(scope(), [wrench])
    expect(known?.calibrations[0]?.spentAt).toBe(cast.clock.now - MINUTE)
    cast.clock.pass(MINUTE)
    await checkOf(cast, wrench)
    cast.clock.pass(MINUTE)
    expect((await faces.get(cast.tess, `/instruments/${wrench}`)).json()).toMatchObject({
      confirmation: { state: 'confirmed' },
      uses: { sinceCheck: 0, reachedAt: null },
    })
  })
})

describe('what is due', () => {
  let cast: Cast
  let faces: Awaited<ReturnType<typeof twoFaces>>
  const ids: Record<string, string> = {}
  beforeAll(async () => {
    cast = await aCast()
    faces = await twoFaces(cast)
    // Of 365 days: 400 ago is over by 35; 350, 320 and 290 ago leave 15, 45 and 75; 10 ago leaves 355.
    for (const daysAgo of [400, 350, 320, 290, 10]) {
      const id = await wrenchOf(cast, `Checked ${daysAgo}`)
      await checkOf(cast, id, daysAgo)
      ids[daysAgo] = id
    }
    ids.never = await wrenchOf(cast, 'Never')
    // 4,000 uses in 100 days are 40 a day: the last thousand last 25 days more.
    ids.busy = await wrenchOf(cast, 'Busy')
    await checkOf(cast, ids.busy, 100)
    await cast.run(cast.sam, countUsesByHand, { instrumentId: ids.busy, uses: 4000 })
    const old = await wrenchOf(cast, 'Out of use')
    await faces.server.inject({
      method: 'PATCH',
      url: `/api/v1/instruments/${old}`,
      headers: asProgram(cast.sam),
      payload: { active: false },
    })
  })
  afterAll(() => cast.remove())
  const due = async (query: string) => (await faces.get(cast.sam, `/instruments/due?${query}`)).json()
  const idsOf = (list: { items: { instrumentId: string }[] }) => list.items.map((one) => one.instrumentId)

  it('is told by span, by what it is due by and by kind, and the counts stay those of all', async () => {
    const all = await due('within=90')
    expect(idsOf(all)).toEqual([ids.never, ids[400], ids[350], ids.busy, ids[320], ids[290]])
    expect(all.counts).toEqual({ overdue: 2, 30: 4, 60: 5, 90: 6 })
    expect(idsOf(await due('within=overdue'))).toEqual([ids.never, ids[400]])
    const uses = await due('within=30&by=uses')
    expect(idsOf(uses)).toEqual([ids.busy])
    expect(uses.items[0].dueAt).toBe(new Date(cast.clock.now + 25 * DAY).toISOString())
    expect(uses.counts).toEqual(all.counts)
    expect(idsOf(await due('within=60&by=calendar'))).toEqual([ids.never, ids[400], ids[350], ids[320]])
    expect((await due('within=90&kind=scale')).items).toEqual([])
    const wrong = await faces.get(cast.sam, '/instruments/due?within=120')
    expect([wrong.statusCode, wrong.json().errors[0].path]).toEqual([400, 'within'])
  })

  it('stands on a page, in a table, and as a notice on a manager’s first page but nobody else’s', async () => {
    const page = (await faces.look(cast.sam, '/instruments/due?within=60&kind=torque-wrench')).body
    expect(page).toContain('Overdue (2)')
    expect(page).toContain('if it is used as often as since its check')
    const table = await faces.look(cast.sam, '/instruments/due.csv?within=overdue')
    expect(table.headers['content-type']).toMatch(/^text\/csv/)
    expect(table.body.split('\r\n')).toHaveLength(4)
    expect(table.body).toMatch(/^instrument_id,kind,name,serial,state,due_at/)
    const first = (await faces.look(cast.sam, '/jobs')).body
    expect(first).toContain('2 instruments are overdue, 2 are due within 30 days')
    expect((await faces.look(cast.tess, '/jobs')).body).not.toContain('instruments are overdue')
    const stranger = await faces.get(cast.zoe, '/instruments/due?within=90')
    expect(stranger.json()).toMatchObject({ items: [], counts: { overdue: 0, 90: 0 } })
    const out = await faces.server.inject({ method: 'GET', url: '/api/v1/instruments/due' })
    expect(out.statusCode).toBe(401)
  })

  it('hangs on each instrument as a label, whose picture leads to it in its company alone', async () => {
    const some = await faces.look(cast.tess, `/instruments/labels?_instrument.${ids[400]}=yes`)
    const labels = parse(some.body).querySelectorAll('.label')
    expect(labels).toHaveLength(1)
    expect(labels[0]?.text).toContain(ids[400]?.slice(-8))
    expect(labels[0]?.querySelector('svg.qr path')).not.toBeNull()
    const all = parse((await faces.look(cast.tess, '/instruments/labels')).body)
    expect(all.querySelectorAll('.label')).toHaveLength(7)
    const { items } = (await faces.get(cast.tess, '/instruments/labels')).json()
    const { link } = items.find((one: { instrumentId: string }) => one.instrumentId === ids[350])
    const { pathname } = new URL(link)
    const scanned = await faces.look(cast.tess, pathname)
    expect([scanned.statusCode, scanned.headers.location]).toEqual([303, `/instruments/${ids[350]}`])
    expect((await faces.look(cast.zoe, pathname)).statusCode).toBe(404)
    expect((await faces.look(cast.tess, pathname.replace(/.{8}$/, '00000000'))).statusCode).toBe(404)
  })
})

describe('uses counted by hand', () => {
  let cast: Cast
  let faces: Awaited<ReturnType<typeof twoFaces>>
  let id: string
  beforeAll(async () => {
    cast = await aCast()
    faces = await twoFaces(cast)
    id = await wrenchOf(cast)
  })
  afterAll(() => cast.remove())
  const post = (payload: object, player: Player | null = cast.tess, at = id) =>
    faces.post(player, `/instruments/${at}/uses`, payload)

  it.each([
    ['no number', {}, 'uses'],
    ['none', { uses: 0 }, 'uses'],
    ['half a use', { uses: 0.5 }, 'uses'],
    ['more than any wrench does', { uses: 1_000_000 }, 'uses'],
    ['a number taken back without a reason', { uses: 3, takenBack: true }, 'note'],
    ['a day to come', { uses: 3, at: new Date(Date.UTC(2027, 1, 1)).toISOString() }, 'at'],
    ['a field that is not known', { uses: 3, colour: 'red' }, 'colour'],
  ])('are refused with %s, and nothing is written', async (_what, payload, path) => {
    const before = await faces.entries()
    const answer = await post(payload)
    expect(answer.statusCode).toBe(400)
    expect(answer.json().errors[0].path).toBe(path)
    expect(await faces.entries()).toBe(before)
  })

  it('are for wrenches, for whoever keeps instruments, in their own company; sent twice they count once', async () => {
    const scale = (
      await faces.post(cast.tess, '/instruments', { kind: 'scale', name: 'S', serial: 'S' })
    ).json()
    expect((await post({ uses: 3 }, cast.tess, scale.id)).statusCode).toBe(400)
    expect((await post({ uses: 3 }, null)).statusCode).toBe(401)
    expect((await post({ uses: 3 }, cast.wren)).statusCode).toBe(403)
    expect((await post({ uses: 3 }, cast.zoe)).statusCode).toBe(404)
    const body = { id: newId(), uses: 40, note: 'Yard' }
    expect([(await post(body)).statusCode, (await post(body)).statusCode]).toEqual([201, 200])
    expect((await faces.get(cast.tess, `/instruments/${id}`)).json().uses.byHand).toBe(40)
  })

  it('stand on the page, where what was typed stays when it is refused', async () => {
    const path = `/instruments/${id}/uses`
    const wrong = await faces.send(cast.tess, path, {
      id: newId(),
      'uses#': '5',
      'takenBack?': 'true',
      note: '',
    })
    expect(wrong.statusCode).toBe(400)
    expect(wrong.body).toContain('Say why fewer count.')
    expect(wrong.body).toContain('value="5"')
    const right = await faces.send(cast.tess, path, { id: newId(), 'uses#': '2', note: 'More' })
    expect([right.statusCode, right.headers.location]).toEqual([303, `/instruments/${id}`])
    const page = (await faces.look(cast.tess, `/instruments/${id}`)).body
    expect(page).toContain('42 of 5000')
    expect(page).toContain('42 of them counted by hand.')
  })
})

describe('the certificate of a calibration', () => {
  let cast: Cast
  let faces: Awaited<ReturnType<typeof twoFaces>>
  let instrumentId: string
  let calibrationId: string
  beforeAll(async () => {
    cast = await aCast()
    faces = await twoFaces(cast)
    instrumentId = await wrenchOf(cast)
    calibrationId = (await checkOf(cast, instrumentId, 3)).calibration.id
  })
  afterAll(() => cast.remove())
  const send = (
    bytes: Uint8Array | null,
    {
      player = cast.tess,
      of = calibrationId,
      id = newId(),
    }: { player?: Player | null; of?: string; id?: string } = {},
  ) => {
    const form = aForm({ id }, bytes === null ? undefined : { name: 'certificate', fileName: 'c.exe', bytes })
    return faces.server.inject({
      method: 'POST',
      url: `/api/v1/calibrations/${of}/certificates`,
      headers: { ...(player ? asProgram(player) : {}), ...form.headers },
      payload: form.payload,
    })
  }

  it('comes with the check as a form sends it, and is handed out as it came, to be kept', async () => {
    const form = aForm(
      {
        id: newId(),
        result: 'in-tolerance',
        basis: 'certificate',
        reference: 'C-2',
        'points.0.nominal.value': '20',
        'points.0.nominal.unit': 'N.m',
        'points.0.asFoundErrorPercent#': '1',
        ...Object.fromEntries([1, 2, 3, 4].map((row) => [`points.${row}.nominal.unit`, 'N.m'])),
      },
      { name: 'certificate', fileName: 'c.pdf', type: 'text/html', bytes: PDF },
    )
    const answer = await faces.server.inject({
      method: 'POST',
      url: `/instruments/${instrumentId}/calibrations`,
      headers: { ...asBrowser(cast.tess), ...form.headers },
      payload: form.payload,
    })
    expect(answer.statusCode, answer.body).toBe(303)
    const { calibrations } = (await faces.get(cast.tess, `/instruments/${instrumentId}`)).json()
    const [file] = calibrations.at(-1).certificates
    expect(file).toMatchObject({ mediaType: 'application/pdf', bytes: PDF.length, sha256: hashOf(PDF) })
    for (const url of [`/calibration-files/${file.id}`, `/api/v1/calibration-files/${file.id}`]) {
      const got = await faces.server.inject({ method: 'GET', url, headers: asBrowser(cast.wren) })
      expect(got.rawPayload.equals(PDF)).toBe(true)
      expect(got.headers).toMatchObject({
        'content-type': 'application/pdf',
        'x-content-type-options': 'nosniff',
        'content-security-policy': "default-src 'none'; sandbox",
        'cache-control': 'no-store',
      })
      expect(got.headers['content-disposition']).toMatch(
        /^attachment; filename="certificate-\d{4}-\d\d-\d\d-[0-9a-f]{6}\.pdf"$/,
      )
    }
    const stranger = await faces.look(cast.zoe, `/calibration-files/${file.id}`)
    expect(stranger.statusCode).toBe(404)
    const out = await faces.server.inject({ method: 'GET', url: `/api/v1/calibration-files/${file.id}` })
    expect(out.statusCode).toBe(401)
  })

  it('is added later, each file once; a second one stands beside the first', async () => {
    const id = newId()
    const jpeg = await aJpeg({})
    const first = await send(jpeg, { id })
    expect([first.statusCode, first.json().mediaType]).toEqual([201, 'image/jpeg'])
    expect((await send(jpeg, { id })).statusCode).toBe(200)
    const again = await send(jpeg)
    expect([again.statusCode, again.json().code]).toEqual([409, 'certificate-there'])
    expect((await send(await aPng({}))).statusCode).toBe(201)
    const page = parse((await faces.look(cast.sam, `/instruments/${instrumentId}`)).body)
    expect(page.querySelectorAll('a[href^="/calibration-files/"]')).toHaveLength(3)
    expect(page.text).toContain('Certificate 2')
    // The entry of the record carries the hash of the bytes.
    const entries = await cast.store.store.query<{ content: string }>(
      "select content from entries where kind = 'certificate-attached' order by number",
    )
    expect(entries).toHaveLength(3)
    expect(entries[1]?.content).toContain(hashOf(jpeg))
    const { companyId } = cast.sam
    expect(await verifyChain(scopeOf(cast.store.store.reader(), companyId), companyId)).toEqual([])
  })

  it('is a PDF, JPEG or PNG by its bytes and not too large, else nothing is kept of it', async () => {
    const before = [await faces.entries(), (await cast.machinery.files.list(cast.tess.companyId)).length]
    const html = Buffer.from('<html><script>alert(1)</script></html>')
    for (const [bytes, status] of [
      [html, 400],
      [await aWebp({}), 400],
      [Buffer.from('%PDF'), 400],
      [Buffer.concat([PDF, Buffer.alloc(10 * 1024 * 1024)]), 413],
      [null, 400],
    ] as const) {
      const answer = await send(bytes)
      expect(answer.statusCode, answer.body).toBe(status)
      expect(answer.json().errors[0].path).toBe('certificate')
    }
    expect((await send(PDF, { player: null })).statusCode).toBe(401)
    expect((await send(PDF, { player: cast.wren })).statusCode).toBe(403)
    expect((await send(PDF, { player: cast.zoe })).statusCode).toBe(404)
    expect((await send(PDF, { of: newId() })).statusCode).toBe(404)
    const form = aForm({ id: newId() }, { name: 'certificate', bytes: html })
    const page = await faces.server.inject({
      method: 'POST',
      url: `/calibrations/${calibrationId}/certificates`,
      headers: { ...asBrowser(cast.tess), ...form.headers },
      payload: form.payload,
    })
    expect(page.statusCode).toBe(400)
    expect(page.body).toContain('That is no PDF, JPEG or PNG.')
    expect([await faces.entries(), (await cast.machinery.files.list(cast.tess.companyId)).length]).toEqual(
      before,
    )
  })
})
