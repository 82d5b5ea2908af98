// A step is corrected on its joint's page without script, and both faces tell what it said before.

import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { recordCharge } from '../../server/commands/charging/record-charge.ts'
import { recordRunningCheck } from '../../server/commands/charging/record-running-check.ts'
import { correctFact } from '../../server/commands/corrections/correct-fact.ts'
import { decideCorrection } from '../../server/commands/corrections/decide-correction.ts'
import { listEntriesAbout } from '../../server/store/queries/entries.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, type Cast, MINUTE, type Player } from '../support/cast.ts'
import { twoFaces } from '../support/two-faces.ts'
import { type Seen, Visitor } from '../support/visitor.ts'
import { aFreshJob, evacuate, type Made, makeJoint, pressureTest, type Work } from '../support/worked.ts'

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
    const job = await visitor.go(`/jobs/${work.jobId}`)
    // Both versions are there to be compared, and the answer wants a reason.
    expect(job.text).toMatch(/Recorded\s+Torque: 20\.0 N·m is below 34–42 N·m/)
    expect(job.text).toMatch(/Asked for\s+Torque 337\sin·lbf/)
    const mute = await visitor.press(job, `/corrections/${id}/decision`, 'decision')
    expect(mute.status).toBe(400)
    expect(mute.page.querySelector('textarea[name="reason"][aria-invalid="true"]')).not.toBeNull()
    expect((await stepOf('torque')).verdict).toBe('low')
    const answered = await visitor.press(job, `/corrections/${id}/decision`, 'decision', {
      reason: 'The photo shows 337.',
    })
    expect(answered.status, answered.text).toBe(200)
    expect(answered.text).toContain('“The photo shows 337.”')
    expect((await faces.get(cast.sam, `/jobs/${work.jobId}/corrections`)).json().items[0]).toMatchObject({
      decisionReason: 'The photo shows 337.',
    })
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

describe('what was measured once is corrected on its page', () => {
  /** Follows the link beside the line that has these words, and sends the form as it stands but for what is given. */
  const correctLine = async (player: Player, url: string, line: RegExp, given: Record<string, string>) => {
    const visitor = visitorOf(player)
    const page = await visitor.go(url)
    const link = page.page
      .querySelectorAll('#recorded li')
      .find((one) => line.test(one.text))
      ?.querySelector('a[href*="correct="]')
    if (!link) throw new Error(`Nothing on ${url} reads like ${line} and can be corrected.\n${page.text}`)
    const form = await visitor.go(link.getAttribute('href')?.split('#')[0] ?? '')
    return { form, sent: await visitor.send(form, '/corrections', given) }
  }
  const waitingOf = async () =>
    (await faces.get(cast.sam, `/jobs/${work.jobId}/corrections`))
      .json()
      .items.filter(({ state }: { state: string }) => state === 'waiting')

  it('a reading of a pressure test: filled in as typed, and the next reading is not filled in from it', async () => {
    const testId = await pressureTest(cast, work, { conclude: false })
    const url = `/pressure-tests/${testId}`
    const { form, sent } = await correctLine(cast.tess, url, /Raising, 1\.5/, {
      reason: 'Bar for MPa.',
      'replacement.gaugePressure.value': '1,6',
    })
    expect(
      form.page.querySelector('input[name="replacement.gaugePressure.value"]')?.getAttribute('value'),
    ).toBe('1.5')
    expect(form.page.querySelector('input[name="readings.0.gaugePressure.value"]')).not.toBeNull()
    expect(sent.status, sent.text).toBe(200)
    expect(
      sent.page
        .querySelectorAll('s')
        .map((one) => one.text)
        .join(),
    ).toMatch(/Raising, 1\.5/)
    const [reading] = (await faces.get(cast.tess, url)).json().readings
    expect(reading).toMatchObject({
      stage: 'raise',
      gaugePressure: { value: 1.6, unit: 'MPa' },
      temperature: { value: 20, unit: 'degC' },
    })
    // And what is wrong with it stands at its field.
    const { sent: wrong } = await correctLine(cast.tess, url, /Raising, 1\.6/, {
      reason: 'Again.',
      'replacement.gaugePressure.value': 'much',
    })
    expect(wrong.status).toBe(400)
    const field = wrong.page.querySelector('input[name="replacement.gaugePressure.value"]')
    expect(field?.getAttribute('value')).toBe('much')
    expect(field?.getAttribute('aria-invalid')).toBe('true')
    expect(
      wrong.page.querySelector('input[name="readings.0.gaugePressure.value"]')?.getAttribute('value') ?? '',
    ).toBe('')
  })

  it('a reading of an evacuation that was concluded: it waits, and the manager sees both', async () => {
    const evacuationId = await evacuate(cast, work)
    cast.clock.pass(30 * MINUTE)
    const { sent } = await correctLine(cast.tess, `/evacuations/${evacuationId}`, /Isolated, 618/, {
      reason: 'Read again from the photo.',
      'replacement.absolutePressure.value': '1800',
    })
    expect(sent.text).toContain('Waits for a manager:')
    const [{ id }] = await waitingOf()
    const visitor = visitorOf(cast.sam)
    const job = await visitor.go(`/jobs/${work.jobId}`)
    expect(job.text).toMatch(/Evacuation\. Waits for a manager\.[\s\S]*Isolated, 618[\s\S]*Isolated, 1800/)
    await visitor.press(job, `/corrections/${id}/decision`, 'decision', { reason: 'So it is.' })
    const page = await visitor.go(`/evacuations/${evacuationId}`)
    expect(page.text).toContain('Judged otherwise today.')
  })

  it('a charge, its scale and cylinder kept, and a second time too', async () => {
    const { systemId } = work.zone
    const url = `/systems/${systemId}/charge?jobId=${work.jobId}`
    await cast.run(cast.tess, recordCharge, {
      systemId,
      jobId: work.jobId,
      direction: 'in',
      mass: { value: 100, unit: 'g' },
      scaleInstrumentId: work.zone.instruments.scale,
      source: 'virgin',
      cylinderId: 'C-7',
      performedBy: cast.wren.crewId,
    })
    const charges = async () => (await faces.get(cast.tess, `/systems/${systemId}/charge`)).json().charges
    for (const [line, value] of [
      [/100/, '120'],
      [/120/, '130'],
    ] as const) {
      const { sent } = await correctLine(cast.tess, url, line, {
        reason: 'Misread.',
        'replacement.mass.value': value,
      })
      expect(sent.status, sent.text).toBe(200)
      expect(await charges()).toMatchObject([
        {
          direction: 'in',
          mass: { value: Number(value), unit: 'g' },
          scaleInstrumentId: work.zone.instruments.scale,
          source: 'virgin',
          cylinderId: 'C-7',
          performedBy: cast.wren.crewId,
        },
      ])
    }
    const page = await visitorOf(cast.tess).go(url)
    expect(page.page.querySelectorAll('#recorded s')).toHaveLength(2)
  })

  it('a running check that was not possible: the day stays, and both go when it was run after all', async () => {
    const { systemId } = work.zone
    const url = `/systems/${systemId}/running-checks?jobId=${work.jobId}`
    const dueAt = new Date(cast.clock.now + 5 * 24 * 60 * MINUTE).toISOString()
    await cast.run(cast.tess, recordRunningCheck, {
      systemId,
      jobId: work.jobId,
      mode: 'heating',
      notPossible: { reason: 'No power yet.', dueAt },
    })
    const checks = async () => (await faces.get(cast.tess, url)).json().items
    const first = await correctLine(cast.tess, url, /not possible: No power yet/, {
      reason: 'Said wrongly.',
      'replacement.notPossible.reason': 'The meter is not in.',
    })
    expect(first.sent.status, first.sent.text).toBe(200)
    expect(await checks()).toMatchObject([{ notPossible: { reason: 'The meter is not in.', dueAt } }])
    const second = await correctLine(cast.tess, url, /The meter is not in/, {
      reason: 'It ran after all.',
      'replacement.notPossible.reason': '',
      'replacement.steadyMinutes': '20',
      'replacement.returnAir.value': '20',
      'replacement.supplyAir.value': '38',
    })
    expect(second.sent.status, second.sent.text).toBe(200)
    expect(await checks()).toMatchObject([
      { mode: 'heating', notPossible: null, steadyMinutes: 20, supplyAir: { value: 38, unit: 'degC' } },
    ])
  })

  it('and not by who may not record, nor on a job that waits for audit', async () => {
    const testId = await pressureTest(cast, work)
    const page = async (player: Player) => (await visitorOf(player).go(`/pressure-tests/${testId}`)).text
    expect(await page(cast.tess)).toContain('Correct this')
    expect(await page(cast.wren)).not.toContain('Correct this')
    await cast.store.store.execute(`update jobs set stage = 'submitted' where id = '${work.jobId}'`)
    expect(await page(cast.tess)).not.toContain('Correct this')
    const [reading] = (await faces.get(cast.tess, `/pressure-tests/${testId}`)).json().readings
    const asked = await visitorOf(cast.tess).go(`/pressure-tests/${testId}?correct=${reading.id}`)
    expect(asked.page.querySelector('form[action="/corrections"]')).toBeNull()
  })
})

describe('a test whose reading is corrected after its end', () => {
  it('says on its page that the record judges it otherwise now, once a manager took the correction', async () => {
    const testId = await pressureTest(cast, work)
    const scope = scopeOf(cast.store.store.reader(), cast.tess.companyId)
    const entry = (await listEntriesAbout(scope, testId)).find(({ facts }) => facts.length > 1)
    const page = async () => (await faces.look(cast.tess, `/pressure-tests/${testId}`)).body
    expect(await page()).not.toContain('Judged otherwise today.')
    expect((await faces.get(cast.tess, `/pressure-tests/${testId}`)).json()).toMatchObject({
      verdict: 'holds',
      verdictToday: 'holds',
    })
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
    // And alike wherever else the test is told of.
    const ended = { verdict: 'holds', verdictToday: 'falls' }
    expect((await faces.get(cast.tess, `/pressure-tests/${testId}`)).json()).toMatchObject(ended)
    expect((await history()).tests).toMatchObject([{ id: testId, ...ended }])
    expect((await faces.look(cast.tess, `/jobs/${work.jobId}`)).body).toContain(
      'holds at its end, falls today, ',
    )
    const next = await faces.look(cast.tess, `/systems/${work.zone.systemId}/pressure-tests/new`)
    expect(next.body).toContain('holds at its end, falls today')
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
