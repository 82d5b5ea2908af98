// A step is corrected on its joint's page without script, and both faces tell what it said before.

import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { correctFact } from '../../server/commands/corrections/correct-fact.ts'
import { decideCorrection } from '../../server/commands/corrections/decide-correction.ts'
import { listEntriesAbout } from '../../server/store/queries/entries.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, type Cast, MINUTE, type Player } from '../support/cast.ts'
import { twoFaces } from '../support/two-faces.ts'
import { type Seen, Visitor } from '../support/visitor.ts'
import { aFreshJob, type Made, makeJoint, pressureTest, type Work } from '../support/worked.ts'

let cast: Cast
let faces: Awaited<ReturnType<typeof twoFaces>>
let work: Work
let made: Made
let marks = 0
beforeAll(async () => {
  cast = await aCast()
  faces = await twoFaces(cast)
})
afterAll(() => cast.remove())
beforeEach(async () => {
  marks += 1
  work = await aFreshJob(cast, `page-${marks}`)
  made = await makeJoint(cast, work, 'outdoorGas', { torque: low(), leakCheck: null })
})

/** 20 N·m where 34–42 are wanted, typed in another unit than the page's first. */
const low = () => ({
  indication: 'set-and-clicked',
  reading: { value: 177, unit: 'in.lbf' },
  instrumentId: work.zone.instruments.torqueWrench,
  adapter: { offset: { value: 3, unit: 'cm' }, wrenchLength: { value: 0.3, unit: 'm' }, angleDegrees: 90 },
  witnessMark: true,
})
const address = () => `/joints/${work.zone.joints.outdoorGas}?job=${work.jobId}`
const visitorOf = (player: Player) => {
  const visitor = new Visitor(faces.server)
  visitor.carry(player.cookie)
  return visitor
}

/** The form that corrects this fact, as the visitor's helper finds forms: by a page that has no other. */
function onlyForm(seen: Seen, factId: string): Seen {
  for (const form of seen.page.querySelectorAll('form')) {
    const fact = form.querySelector('input[name="factId"]')
    if (form.getAttribute('action') === '/corrections' && fact?.getAttribute('value') !== factId)
      form.remove()
  }
  return seen
}
const correct = async (
  player: Player,
  factId: string,
  given: Record<string, string>,
  button?: { name: string; value: string },
) => {
  const visitor = visitorOf(player)
  return visitor.send(onlyForm(await visitor.go(address()), factId), '/corrections', given, button)
}
const joint = async () => (await faces.get(cast.tess, `/joints/${work.zone.joints.outdoorGas}`)).json()
const history = async () =>
  (await faces.get(cast.tess, `/joints/${work.zone.joints.outdoorGas}/history`)).json()
const stepOf = async (kind: string) =>
  (await joint()).makes[0].steps.find((step: { kind: string }) => step.kind === kind)

describe('the form that corrects a step', () => {
  it('comes filled in with all that was recorded, so that only what was wrong is touched', async () => {
    const before = await stepOf('torque')
    const page = await correct(cast.tess, made.torque.step.id, { reason: 'Same again.' })
    expect(page.status, page.text).toBe(200)
    const after = await stepOf('torque')
    expect(after.corrects).toBe(before.id)
    for (const name of [
      'indication',
      'reading',
      'instrumentId',
      'adapter',
      'witnessMark',
      'circuitState',
      'performedBy',
    ])
      expect(after[name], name).toEqual(before[name])
    expect(after.verdict).toBe(before.verdict)
  })

  it.each(['preparation', 'flare', 'inspection', 'assembly'] as const)('stands beside a %s', async (kind) => {
    const { step } = made[kind]
    const before = await stepOf(kind)
    const page = await correct(cast.tess, step.id, { reason: 'Nothing to change.' })
    expect(page.status, page.text).toBe(200)
    const after = await stepOf(kind)
    expect(after.corrects).toBe(step.id)
    // Marked one by one is another statement than "all as listed"; the answers are the same.
    for (const name of [
      'points',
      'instrumentId',
      'method',
      'depthStopUsed',
      'outcome',
      'diameterCheck',
      'lubricated',
    ])
      expect(after[name], name).toEqual(before[name])
    if (before.allAsListed) expect(after.allAsListed).toBe(false)
  })

  it('keeps what its fields do not show: the photos of an inspection, the cutter of a preparation', async () => {
    const before = made.inspection.step.id
    const page = await visitorOf(cast.tess).go(address())
    expect(page.page.querySelector(`input[name="factId"][value="${before}"]`)).not.toBeNull()
    const photo = '01890a5d-ac96-774b-bcce-b302099a8057'
    const inspected = await faces.post(cast.tess, `/makes/${made.makeId}/inspection`, {
      allAsListed: true,
      outcome: 'accepted',
      photoIds: [photo],
    })
    expect(inspected.statusCode, inspected.body).toBe(201)
    await correct(cast.tess, inspected.json().id, {
      reason: 'Passed the gauge.',
      'replacement.diameterCheck': 'gauge-pass',
    })
    const last = (await joint()).makes[0].steps
      .filter((step: { kind: string }) => step.kind === 'inspection')
      .at(-1)
    expect(last).toMatchObject({
      corrects: inspected.json().id,
      diameterCheck: 'gauge-pass',
      photoIds: [photo],
    })
  })

  it('shows at once what it replaced, struck through, with the reason', async () => {
    const page = await correct(cast.tess, made.torque.step.id, {
      reason: 'Typed 177 for 337.',
      'replacement.reading.value': '337',
    })
    const struck = page.page.querySelectorAll('s').map((one) => one.structuredText)
    expect(struck.join()).toContain('20')
    expect(page.text).toContain('“Typed 177 for 337.”')
    expect(page.text).toMatch(/38\.1 N·m at the nut\), in range/)
    const [told] = (await history()).corrections
    expect(told).toMatchObject({
      state: 'accepted',
      reason: 'Typed 177 for 337.',
      original: { id: made.torque.step.id, reading: { value: 177, unit: 'in.lbf' }, verdict: 'low' },
      replacement: { reading: { value: 337, unit: 'in.lbf' }, verdict: 'in-range' },
    })
  })

  it('says that it waits for a manager, offers no second one, and the manager answers on the job’s page', async () => {
    cast.clock.pass(11 * MINUTE)
    const page = await correct(cast.tess, made.torque.step.id, {
      reason: 'Read again from the photo.',
      'replacement.reading.value': '337',
    })
    expect(page.text).toContain('Waits for a manager:')
    const folded = await correct(cast.tess, made.preparation.step.id, {
      reason: 'It was crooked.',
      'replacement.points.squareCut': 'no',
      'replacement.reasons.squareCut': 'Cut by hand.',
    })
    expect(folded.text).toContain('4 steps recorded, 1 correction waits for a manager')
    expect(page.page.querySelector(`input[name="factId"][value="${made.torque.step.id}"]`)).toBeNull()
    expect((await stepOf('torque')).verdict).toBe('low')

    const { id } = (await faces.get(cast.sam, `/jobs/${work.jobId}/corrections`)).json().items[0]
    const visitor = visitorOf(cast.sam)
    const answered = await visitor.press(
      await visitor.go(`/jobs/${work.jobId}`),
      `/corrections/${id}/decision`,
      'decision',
    )
    expect(answered.status, answered.text).toBe(200)
    expect((await stepOf('torque')).verdict).toBe('in-range')
    const after = await visitorOf(cast.tess).go(address())
    // The other one still does.
    expect(after.text.split('Waits for a manager:')).toHaveLength(2)
    expect(after.page.querySelectorAll('s')).toHaveLength(1)
  })

  it('comes back filled in, open, with the message at its field, when it is refused', async () => {
    const page = await correct(cast.tess, made.torque.step.id, {
      reason: 'Typed wrongly.',
      'replacement.reading.value': 'thirty',
    })
    expect(page.status).toBe(400)
    const field = page.page.querySelector('input[name="replacement.reading.value"]')
    expect(field?.getAttribute('value')).toBe('thirty')
    expect(field?.getAttribute('aria-invalid')).toBe('true')
    const form = field?.closest('form')
    expect(form?.querySelector('textarea[name="reason"]')?.text).toBe('Typed wrongly.')
    expect(form?.closest('details')?.hasAttribute('open')).toBe(true)
    // The step that comes next asks for its own figure, and is not filled in from this.
    expect(page.page.querySelector('input[name="reading.value"]')?.getAttribute('value') ?? '').toBe('')

    const without = await correct(cast.tess, made.torque.step.id, { 'replacement.reading.value': '337' })
    expect(without.status).toBe(400)
    expect(without.page.querySelector('textarea[name="reason"][aria-invalid="true"]')).not.toBeNull()
    expect((await stepOf('torque')).reading).toEqual({ value: 177, unit: 'in.lbf' })
  })

  it('takes an exception with its reason, and asks for the reason', async () => {
    const { id } = made.preparation.step
    const without = await correct(cast.tess, id, {
      reason: 'It was not.',
      'replacement.points.squareCut': 'no',
    })
    expect(without.status).toBe(400)
    expect(without.text).toContain('Say why, in a few words.')
    await correct(cast.tess, id, {
      reason: 'It was not.',
      'replacement.points.squareCut': 'no',
      'replacement.reasons.squareCut': 'Cut by hand in the corner.',
    })
    const now = await stepOf('preparation')
    expect(now).toMatchObject({
      points: { squareCut: 'no' },
      reasons: { squareCut: 'Cut by hand in the corner.' },
    })
    // And back, with the one button.
    const reason = 'It was square after all.'
    const visitor = visitorOf(cast.tess)
    const page = onlyForm(await visitor.go(address()), now.id)
    const sent = await visitor.send(
      page,
      '/corrections',
      { reason, 'replacement.points.squareCut': 'yes' },
      { name: 'replacement.allAsListed', value: 'true' },
    )
    expect(sent.status, sent.text).toBe(200)
    expect((await stepOf('preparation')).allAsListed).toBe(true)
    expect(sent.page.querySelectorAll('s')).toHaveLength(2)
  })

  it('is not there for who may not record, nor on a job that waits for audit', async () => {
    expect((await faces.look(cast.wren, address())).body).not.toContain('Correct this')
    expect((await faces.look(cast.tess, address())).body).toContain('Correct this')
    await cast.store.store.execute(`update jobs set stage = 'submitted' where id = '${work.jobId}'`)
    expect((await faces.look(cast.tess, address())).body).not.toContain('Correct this')
  })
})

describe('a test whose reading is corrected after its end', () => {
  it('says on its page that the record judges it otherwise now, once a manager took the correction', async () => {
    const testId = await pressureTest(cast, work)
    const scope = scopeOf(cast.store.store.reader(), cast.tess.companyId)
    const entry = (await listEntriesAbout(scope, testId)).find(({ facts }) => facts.length > 1)
    const page = async () => (await faces.look(cast.tess, `/pressure-tests/${testId}`)).body
    expect(await page()).not.toContain('Judged otherwise today.')
    cast.clock.pass(20 * MINUTE)
    const { id: correctionId } = await cast.run(cast.tess, correctFact, {
      entryId: entry?.id,
      factId: entry?.facts.at(-1)?.id,
      reason: 'Misread.',
      replacement: { gaugePressure: { value: 4.0, unit: 'MPa' } },
    } as never)
    expect(await page()).not.toContain('Judged otherwise today.')
    await cast.run(cast.sam, decideCorrection, {
      correctionId,
      decision: 'accepted',
      reason: 'Saw the photo.',
    })
    expect(await page()).toMatch(/Judged otherwise today\..*<b>Falls\.<\/b>.*<b>Holds\.<\/b>/s)
  })
})

describe('an entry', () => {
  it('can be read with its hash, by a member alone', async () => {
    const entry = (await faces.get(cast.wren, `/entries/${made.torque.entryId}`)).json()
    expect(entry).toMatchObject({
      kind: 'torque-recorded',
      facts: [{ table: 'steps', id: made.torque.step.id }],
    })
    expect(entry.hash).toMatch(/^[0-9a-f]{64}$/)
    expect((await faces.get(cast.zoe, `/entries/${made.torque.entryId}`)).statusCode).toBe(404)
  })
})
