// A technician's work in a real Chromium without a signal: kept on the phone through a restart, then sent in order, once.

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { eventually, PhoneAtWork } from '../support/phone-at-work.ts'
import { aPhonesJpeg } from '../support/pictures.ts'

const STEPS = ['preparation', 'flare', 'inspection', 'assembly', 'torque', 'leak-check']
let phone: PhoneAtWork
beforeAll(async () => {
  phone = await PhoneAtWork.begin()
})
afterAll(() => phone?.end())

describe('the work without a signal', () => {
  it('shows the pages of an open job that were kept before they were needed, and says of when they are', async () => {
    phone.network.isCut = true
    await phone.open('/jobs')
    expect(await phone.main()).toMatch(/As of \d\d:\d\d, from this phone\./)
    await phone.openJoint(phone.zone.joints.outdoorLiquid)
    expect(await phone.main()).toContain('Start making 1')
    await phone.open('/members')
    expect(await phone.main()).toContain('This page needs the network')
  })

  it('takes a whole joint, one step after another, and says what waits', async () => {
    await phone.recordJoint(phone.zone.joints.outdoorLiquid, '16')
    await phone.waiting(7)
    await eventually(() => phone.main()).toContain(
      'Every step of this making is recorded or waits to be sent.',
    )
    expect(await phone.kindsOf(phone.zone.joints.outdoorLiquid)).toEqual([])
  })

  it('takes photos of it, two from one form', async () => {
    const slot = phone.page.locator('.photo-slot').first()
    for (const number of [1, 2]) {
      const folded = slot.locator('> details:not([open]) > summary')
      if ((await folded.count()) > 0) await folded.click()
      await slot
        .locator('input[type=file]')
        .first()
        .setInputFiles({ name: 'IMG.jpg', mimeType: 'image/jpeg', buffer: await aPhonesJpeg() })
      await phone.waiting(7 + number)
      await eventually(() => phone.page.locator('.photo-said').textContent()).toContain(
        'The photo waits on this phone',
      )
    }
  })

  it('still has them after the phone was switched off', async () => {
    await phone.restart()
    await phone.openJoint(phone.zone.joints.outdoorLiquid)
    await phone.waiting(9)
    await eventually(() => phone.page.locator('img.kept-photo').count()).toBe(2)
  })

  it('sends them when the network is back: in order, once, with the moment at which each was entered', async () => {
    const back = Date.now()
    await phone.reconnect()
    await phone.nothingWaits()
    const steps = await phone.stepsOf(phone.zone.joints.outdoorLiquid)
    expect(steps.map(({ kind }) => kind)).toEqual(STEPS)
    for (const step of steps) {
      expect(Number(step.performed_at)).toBeLessThan(back)
      // The service's clock is known to a second.
      expect(Math.abs(Number(step.performed_at) - Number(step.device_at))).toBeLessThan(2_000)
      expect(Number(step.recorded_at)).toBeGreaterThanOrEqual(back)
    }
    const moments = steps.map((step) => Number(step.performed_at))
    expect(moments).toEqual([...moments].sort((a, b) => a - b))
    const photos = await phone.cast.store.store.query('select id from photos')
    expect(photos.length).toBe(2)
    expect(phone.network.writes.length).toBe(9)
    // The page that showed what waited shows the record now.
    await eventually(() => phone.main()).toContain('Every step of this making is recorded.')
  })

  it('does both joints at a unit together, and shows it on either page', async () => {
    // This time the browser itself says that it is offline; its switch does not reach the worker, the cable does.
    phone.network.isCut = true
    await phone.context.setOffline(true)
    phone.network.writes = []
    await phone.openJoint(phone.zone.joints.indoorLiquid)
    await phone.press(/^The same for this one and/)
    await phone.asked('Preparation')
    await phone.press(/^All as listed for this one and/)
    await phone.asked('Flare')
    await phone.press(/^The same for this one and/)
    await phone.asked('Inspection')
    await phone.openJoint(phone.zone.joints.indoorGas)
    await phone.asked('Inspection')
    await phone.press(/^All as listed$/)
    await phone.asked('Assembly')
    // The other one is not as far: there is nothing to do together now.
    expect(await phone.page.getByRole('button', { name: /for this one and/ }).count()).toBe(0)
    await phone.waiting(4)
  })

  it('runs a pressure test and an evacuation that were started without a signal', async () => {
    const { page, zone } = phone
    await phone.open(`/systems/${zone.systemId}/pressure-tests/new?jobId=${phone.jobId}`)
    await page.locator('select[name=gaugeInstrumentId]').selectOption(zone.instruments.pressureGauge)
    await page.locator('select[name=thermometerInstrumentId]').selectOption(zone.instruments.thermometer)
    await phone.press('Start the test')
    for (const [stage, pressure] of [
      ['raise', '1,5'],
      ['hold', '4,16'],
      ['hold', '4.15'],
    ] as const) {
      await page.locator(`input[name="readings.0.stage"][value=${stage}]`).check()
      await page.locator('input[name="readings.0.gaugePressure.value"]').fill(pressure)
      await page.locator('select[name="readings.0.gaugePressure.unit"]').selectOption('MPa')
      await page.locator('input[name="readings.0.temperature.value"]').fill('20')
      await phone.press('Record the reading')
      await eventually(() => phone.main()).toContain(`Gauge pressure: ${pressure} MPa`)
    }
    await eventually(() => page.locator('.clock').textContent()).toMatch(/^00:\d\d$/)
    await phone.press('End it and have it judged')
    await page.getByRole('button', { name: 'Start the test' }).waitFor()
    await phone.open(`/systems/${zone.systemId}/evacuations/new?jobId=${phone.jobId}`)
    await page.locator('select[name=gaugeInstrumentId]').selectOption(zone.instruments.vacuumGauge)
    await phone.press('Start the evacuation')
    await page.locator('input[name="readings.0.absolutePressure.value"]').fill('450')
    await phone.press('Record the reading')
    await eventually(() => phone.main()).toContain('Vacuum gauge: 450 micron')
    await phone.waiting(11)
  })

  it('ends with the same record as with a signal', async () => {
    const { store } = phone.cast.store
    await phone.open(`/jobs/${phone.jobId}`)
    await phone.waiting(11)
    phone.network.isCut = false
    await phone.context.setOffline(false)
    await phone.nothingWaits()
    expect(phone.network.writes.length).toBe(11)
    expect(await phone.kindsOf(phone.zone.joints.indoorLiquid)).toEqual(STEPS.slice(0, 2))
    expect(await phone.kindsOf(phone.zone.joints.indoorGas)).toEqual(STEPS.slice(0, 3))
    const tests = await store.query<{ id: string; kind: string; verdict: string | null }>(
      'select t.id, t.kind, c.verdict from section_tests t left join section_conclusions c on c.test_id = t.id order by t.recorded_at',
    )
    expect(tests.map(({ kind, verdict }) => [kind, verdict])).toEqual([
      ['pressure', 'cannot-tell'],
      ['evacuation', null],
    ])
    const readings = await store.query<{ phase: string; at: number; pressure_pa: number }>(
      `select phase, at, pressure_pa from section_readings where test_id = '${tests[0]?.id}' order by recorded_at, id`,
    )
    expect(readings.map(({ phase, pressure_pa }) => [phase, Math.round(Number(pressure_pa))])).toEqual([
      ['raise', 1_500_000],
      ['hold', 4_160_000],
      ['hold', 4_150_000],
    ])
    expect(new Set(readings.map(({ at }) => Number(at))).size).toBe(3)
    expect(phone.complaints).toEqual([])
  })

  it('goes on with a remade joint, and opens the form of a step that has to be mended', async () => {
    await phone.restart()
    phone.network.isCut = true
    await phone.openJoint(phone.zone.joints.outdoorGas)
    await phone.press('Start making 1')
    await phone.asked('Preparation')
    await phone.press(/^all as listed$/i)
    await phone.asked('Flare')
    await phone.press('Record flare')
    await phone.asked('Inspection')
    await phone.page.locator('.step-next input[name=outcome][value=rejected]').check()
    await phone.press(/^all as listed$/i)
    await phone.page.locator('textarea[name=reason]').fill('Flare was cracked.')
    await phone.press('Start the next making')
    await phone.asked('Preparation')
    await phone.press(/^all as listed$/i)
    await phone.asked('Flare')
    await phone.waiting(6)
    await phone.reconnect()
    await phone.nothingWaits()
    const makes = await phone.cast.store.store.query<{ number: number; reason: string | null }>(
      `select number, reason from makes where joint_id = '${phone.zone.joints.outdoorGas}' order by number`,
    )
    expect(makes.map(({ number, reason }) => [Number(number), reason])).toEqual([
      [1, null],
      [2, 'Flare was cracked.'],
    ])
    expect(await phone.kindsOf(phone.zone.joints.outdoorGas)).toEqual([
      'preparation',
      'flare',
      'inspection',
      'preparation',
    ])
    await phone.keepsPage(`/joints/${phone.zone.joints.outdoorGas}?job=${phone.jobId}`, 'Record flare')
    phone.network.isCut = true
    await phone.openJoint(phone.zone.joints.outdoorGas)
    await phone.press('Record flare')
    await phone.asked('Inspection')
    await phone.page.locator('.step-next select[name=diameterCheck]').selectOption('measured')
    await phone.page.locator('.step-next input[name="outerDiameter.value"]').fill('wide')
    await phone.press(/^all as listed$/i)
    await phone.asked('Assembly')
    await phone.press(/^all as listed$/i)
    await phone.asked('Torque')
    await phone.reconnect()
    await eventually(() => phone.line()).toContain('1 entry was refused: mend or drop.')
    await phone.open('/waiting')
    await eventually(() => phone.page.locator('.kept-held').count()).toBe(1)
    await phone.page.getByRole('link', { name: 'Mend it' }).click()
    const field = phone.page.locator('form:has(input[name=_mends]) input[name="outerDiameter.value"]')
    await eventually(() => field.inputValue()).toBe('wide')
    await field.fill('13')
    await phone.page
      .locator('form:has(input[name=_mends])')
      .getByRole('button', { name: 'All as listed' })
      .click()
    // The one that rested on it follows by itself.
    await phone.nothingWaits()
    expect((await phone.kindsOf(phone.zone.joints.outdoorGas)).slice(4)).toEqual([
      'flare',
      'inspection',
      'assembly',
    ])
    expect(phone.complaints).toEqual([])
  })
})
