// The technician's part of the main job in a real Chromium on a phone's screen, with script and without.

import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { pressureReadings, stepsOfJoint, TORQUES, vacuumReadings } from '../journeys/the-work.ts'
import { aCast, type Cast, MINUTE, NOON } from '../support/cast.ts'
import { launchChromium } from '../support/chromium.ts'
import { aJobAtASite, type SingleZone, singleZone } from '../support/setups.ts'
import { signedInPage } from '../support/signed-in-page.ts'

let browser: Browser
beforeAll(async () => {
  browser = await launchChromium()
})
afterAll(() => browser.close())

describe.each([
  ['with script', true],
  ['without script', false],
])('the technician’s part on a phone, %s', (_name, javaScriptEnabled) => {
  let cast: Cast
  let page: Page
  let jobId: string
  let zone: SingleZone
  let address: string
  const complaints: string[] = []

  beforeAll(async () => {
    cast = await aCast('sqlite')
    ;({ jobId } = await aJobAtASite(cast, { by: cast.sam }))
    zone = await singleZone(cast, { jobId, by: cast.sam })
    address = await (await cast.server()).listen({ host: '127.0.0.1', port: 0 })
    page = await signedInPage({
      browser,
      address,
      player: cast.tess,
      complaints,
      isRefused: true,
      context: { javaScriptEnabled },
    })
  })
  afterAll(async () => {
    await page?.context().close()
    await cast.remove()
  })

  const settled = async () => {
    await page.waitForLoadState('networkidle')
  }
  const press = async (name: string | RegExp) => {
    // What the button leads to takes the place of what is there: nothing may be pressed twice on the old page.
    if (javaScriptEnabled) await page.locator('main').evaluate((main) => main.setAttribute('data-before', ''))
    await page.getByRole('button', { name }).first().click()
    if (javaScriptEnabled) await page.locator('main:not([data-before])').waitFor()
    await settled()
  }
  const noSideways = async () => {
    if (!javaScriptEnabled) return
    const wider = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
    expect(wider, page.url()).toBeLessThanOrEqual(0)
  }

  it('records four joints, opening each from the drawing', async () => {
    await page.goto(`${address}/jobs`)
    await page.getByRole('link', { name: /Mill Lane/ }).click()
    await settled()
    await noSideways()
    for (const [place, jointId] of Object.entries(zone.joints)) {
      await page.goto(`${address}/jobs/${jobId}`)
      await page.locator(`a[href^="/joints/${jointId}"]`).first().click()
      await settled()
      await noSideways()
      await press('Start making 1')
      const key = place.replace(/[A-Z]/, (letter) => `-${letter.toLowerCase()}`) as keyof typeof TORQUES
      const isIndoors = place.startsWith('indoor')
      for (const [step, body] of stepsOfJoint(TORQUES[key], { ...zone.instruments }, isIndoors)) {
        await noSideways()
        if (step === 'preparation' || step === 'assembly') await press(/all as listed/i)
        else if (step === 'flare') await press('Record flare')
        else if (step === 'inspection') {
          await page.locator('select[name=diameterCheck]').selectOption('gauge-pass')
          await press(/all as listed/i)
        } else if (step === 'torque') {
          const { reading } = body as { reading: { value: number; unit: string } }
          await page.locator('input[name="reading.value"]').fill(String(reading.value).replace('.', ','))
          await page.locator('select[name="reading.unit"]').selectOption(reading.unit)
          await press('Record torque')
          await expect.poll(() => page.locator('main').textContent()).toMatch(/in range/)
        } else {
          if (isIndoors) {
            await page.locator('select[name=method]').selectOption('tracer-hydrogen')
            await page.locator('select[name=medium]').selectOption('tracer-mix')
            await page.locator('input[name="gaugePressure.value"]').fill('2')
            await page.getByText('Detector, its sensitivity, where a leak was').click()
            await page
              .locator('.step-next select[name=instrumentId]')
              .selectOption(zone.instruments.leakDetector)
            await page.locator('input[name="sensitivity.value"]').fill('3')
            await page.locator('select[name=sensitivitySource]').selectOption('instrument')
            await page.locator('input[name="checkedOnTrialLeak?"]').check()
          } else await page.locator('input[name="gaugePressure.value"]').fill('4.15')
          await press('Record leak check')
        }
        cast.clock.pass(MINUTE)
      }
      await expect
        .poll(() => page.locator('main').textContent())
        .toContain('Every step of this making is recorded.')
    }
  })

  it('keeps what was typed when a number is no number, and says so beside it', async () => {
    await page.goto(`${address}/systems/${zone.systemId}/charge?jobId=${jobId}`)
    await page.locator('select[name=direction], input[name=direction][value=in]').first().waitFor()
    const radio = page.locator('input[name=direction][value=in]')
    if ((await radio.count()) > 0) await radio.check()
    else await page.locator('select[name=direction]').selectOption('in')
    await page.locator('input[name="mass.value"]').fill('plenty')
    await press(/record/i)
    expect(await page.locator('input[name="mass.value"]').inputValue()).toBe('plenty')
    await expect.poll(() => page.locator('main').textContent()).toContain('Enter a number.')
  })

  it('runs the pressure test and the evacuation with their curves', async () => {
    cast.clock.pass(90 * MINUTE)
    await page.goto(`${address}/systems/${zone.systemId}/pressure-tests/new?jobId=${jobId}`)
    await noSideways()
    await page.locator('select[name=gaugeInstrumentId]').selectOption(zone.instruments.pressureGauge)
    await page.locator('select[name=thermometerInstrumentId]').selectOption(zone.instruments.thermometer)
    await fillMoment('performedAt@', cast.clock.now - 80 * MINUTE)
    await press(/start/i)
    for (const reading of pressureReadings(cast.clock.now)) {
      await page.locator('[name="readings.0.stage"]').first().waitFor({ state: 'attached' })
      await choose('readings.0.stage', reading.stage)
      await page
        .locator('input[name="readings.0.gaugePressure.value"]')
        .fill(String(reading.gaugePressure.value))
      await page.locator('select[name="readings.0.gaugePressure.unit"]').selectOption('MPa')
      await page.locator('input[name="readings.0.temperature.value"]').fill('20')
      await fillMoment('readings.0.at@', Date.parse(reading.at))
      await press(/record/i)
      await noSideways()
    }
    expect(await page.locator('main svg').count()).toBeGreaterThan(0)
    await press(/end (it|the test) and judge it/i)
    await expect.poll(() => page.locator('main').textContent()).toMatch(/holds|held/i)

    cast.clock.pass(60 * MINUTE)
    await page.goto(`${address}/systems/${zone.systemId}/evacuations/new?jobId=${jobId}`)
    await page.locator('select[name=gaugeInstrumentId]').selectOption(zone.instruments.vacuumGauge)
    await fillMoment('performedAt@', cast.clock.now - 45 * MINUTE)
    await press(/start/i)
    for (const reading of vacuumReadings(cast.clock.now)) {
      await choose('readings.0.phase', reading.phase)
      await page
        .locator('input[name="readings.0.absolutePressure.value"]')
        .fill(String(reading.absolutePressure.value))
      await page.locator('select[name="readings.0.absolutePressure.unit"]').selectOption('micron')
      await fillMoment('readings.0.at@', Date.parse(reading.at))
      await press(/record/i)
    }
    await noSideways()
    await press(/end (it|the test) and judge it/i)
    await expect.poll(() => page.locator('main').textContent()).toMatch(/tight/i)
  })

  it('records charge and running check, and submits', async () => {
    cast.clock.pass(30 * MINUTE)
    await page.goto(`${address}/systems/${zone.systemId}/charge?jobId=${jobId}`)
    await choose('direction', 'factory-released')
    await press(/record/i)
    cast.clock.pass(30 * MINUTE)
    await page.goto(`${address}/systems/${zone.systemId}/running-checks?jobId=${jobId}`)
    await choose('mode', 'cooling')
    await page.locator('[name="steadyMinutes#"]').fill('20')
    await page.locator('input[name="returnAir.value"]').fill('24')
    await page.locator('input[name="supplyAir.value"]').fill('13')
    await press(/record/i)
    await page.goto(`${address}/jobs/${jobId}`)
    await noSideways()
    const [, , , , port] = await page
      .locator('a[href^="/joints/"]')
      .evaluateAll((links) => [...new Set(links.map((link) => link.getAttribute('href') ?? ''))])
    await page.goto(`${address}${port}`)
    if (!(await page.locator('main').textContent())?.includes('After the last test')) {
      const inMain = page.locator('main a[href^="/joints/"]')
      await inMain.last().click()
      await settled()
    }
    await page.locator('select[name=instrumentId]').selectOption(zone.instruments.leakDetector)
    await press(/all as listed/i)
    await noSideways()
    await page.goto(`${address}/jobs/${jobId}`)
    await press('Submit for audit')
    await expect.poll(() => page.locator('main').textContent()).toContain('Waiting for audit')
    expect(complaints).toEqual([])
    expect(cast.clock.now).toBeGreaterThan(NOON)
  })

  async function choose(name: string, value: string) {
    const radio = page.locator(`input[type=radio][name="${name}"][value="${value}"]`)
    if ((await radio.count()) > 0) await radio.check()
    else await page.locator(`select[name="${name}"]`).selectOption(value)
  }

  async function fillMoment(name: string, at: number) {
    const field = page.locator(`input[name="${name}"]`)
    await field
      .evaluate((input) => {
        for (let box = input.closest('details'); box; box = box.parentElement?.closest('details') ?? null)
          box.open = true
      })
      .catch(() => {})
    if (!(await field.isVisible()))
      await page.locator('details', { has: field }).locator('summary').first().click()
    await field.fill(new Date(at).toISOString().slice(0, 16))
  }
})
