// What can go wrong between a phone and the service while entries wait, in a real Chromium: nothing is lost, nothing comes twice.

import { eq } from 'drizzle-orm'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { startMake } from '../../server/commands/joints/start-make.ts'
import { eventually, PhoneAtWork } from '../support/phone-at-work.ts'

let phone: PhoneAtWork
beforeAll(async () => {
  phone = await PhoneAtWork.begin()
})
afterAll(() => phone?.end())
afterEach(() => {
  phone.network.isCut = false
  phone.network.loseAnswers = 0
  phone.network.answerWith = []
  phone.network.busyFor = null
  phone.network.writes = []
})

const charges = async () =>
  (
    await phone.cast.store.store.query<{ mass_kg: number }>(
      'select mass_kg from charges order by recorded_at, id',
    )
  ).map(({ mass_kg }) => Math.round(Number(mass_kg) * 1000))

/** The shortest entry there is, told apart from others by its grams. */
async function weigh(grams: number | string, on = phone.page) {
  await phone.open(`/systems/${phone.zone.systemId}/charge?jobId=${phone.jobId}`, on)
  await fillIn(grams, on)
  await phone.press(/^Record/, on)
}
async function fillIn(grams: number | string, on = phone.page) {
  await on.locator('main form[action$="/charges"] [name=direction][value=in]').check()
  await on.locator('form[action$="/charges"] input[name="mass.value"]').fill(String(grams))
  await on.locator('form[action$="/charges"] select[name="mass.unit"]').selectOption('g')
}
const weighAll = async (...all: number[]) => {
  const before = await phone.kept()
  for (const [index, grams] of all.entries()) {
    await weigh(grams)
    await phone.waiting(before + index + 1)
  }
}

const setStage = (stage: 'open' | 'sealed') =>
  phone.cast.store.store.transaction(async ({ db, t }) => {
    await db.update(t.jobs).set({ stage }).where(eq(t.jobs.id, phone.jobId))
  })

describe('with a signal', () => {
  it('goes to the service at once and shows what it then has', async () => {
    await weigh(100)
    await eventually(charges).toEqual([100])
    await phone.nothingWaits()
  })

  it('shows why a form was refused, filled in as it was, and keeps nothing of it', async () => {
    await weigh('plenty')
    await eventually(() => phone.main()).toContain('Enter a number.')
    expect(await phone.page.locator('input[name="mass.value"]').first().inputValue()).toBe('plenty')
    await phone.nothingWaits()
  })

  it('counts a write once whose answer was lost', async () => {
    phone.network.loseAnswers = 1
    await weigh(200)
    await phone.sendNow()
    await phone.nothingWaits()
    expect(await charges()).toEqual([100, 200])
  })
})

describe('in the middle of the queue', () => {
  it.each([
    [503, { 'retry-after': '1' }],
    [408, {}],
    [429, {}],
    [502, {}],
  ])('stops at %i and goes on from there', async (status, headers) => {
    const before = await charges()
    const [one, two, three] = [status + 1000, status + 2000, status + 3000]
    phone.network.isCut = true
    await weighAll(one, two, three)
    // Answered by whatever stands in front of the service, in its own words.
    phone.network.answerWith = [{ status, headers, body: '<h1>Not now</h1>' }]
    await phone.reconnect()
    await eventually(() => phone.network.answerWith.length).toBe(0)
    await eventually(async () => {
      await phone.sendNow()
      return phone.kept()
    }).toBe(0)
    expect(await charges()).toEqual([...before, one, two, three])
  })

  it('loses an answer there, and still counts each entry once', async () => {
    const before = await charges()
    phone.network.isCut = true
    await weighAll(11, 12, 13)
    phone.network.loseAnswers = 1
    await phone.reconnect()
    await eventually(() => phone.network.loseAnswers).toBe(0)
    await phone.sendNow()
    await phone.nothingWaits()
    expect(await charges()).toEqual([...before, 11, 12, 13])
  })

  it('waits for its own person when the session has ended, and never goes out as somebody else’s', async () => {
    const before = await charges()
    const { tess, sam, deps } = phone.cast
    phone.network.isCut = true
    await weighAll(21, 22)
    await deps.sessions.endAllOf(tess.personId)
    await phone.reconnect()
    await eventually(() => phone.line()).toContain('Sign in to send them.')
    expect(await charges()).toEqual(before)
    // A colleague takes the phone.
    await phone.signInAs(sam)
    await phone.sendNow()
    await phone.open('/jobs')
    await eventually(() => phone.line()).toContain('2 entries of somebody else wait on this phone')
    await phone.open('/waiting')
    await phone.page.locator('#kept-none').waitFor()
    expect(await phone.main()).not.toContain('21')
    expect(await charges()).toEqual(before)
    await phone.signInAs(tess)
    await phone.ready()
    await phone.nothingWaits()
    expect(await charges()).toEqual([...before, 21, 22])
    const by = await phone.cast.store.store.query<{ recorded_by: string }>(
      'select distinct recorded_by from charges',
    )
    expect(by.map(({ recorded_by }) => recorded_by)).toEqual([tess.memberId])
  })

  it('keeps a refused entry with its reason, sends the others, and sends the mended one in its place', async () => {
    const before = await charges()
    phone.network.isCut = true
    await weighAll(31)
    await weigh('a lot')
    await phone.waiting(before.length === 0 ? 0 : 2)
    await weigh(33)
    await phone.waiting(3)
    await phone.reconnect()
    await eventually(() => phone.line()).toContain('1 entry was refused: mend or drop.')
    expect(await charges()).toEqual([...before, 31, 33])
    await phone.open('/waiting')
    await eventually(() => phone.main()).toContain('Enter a number.')
    await phone.page.getByRole('link', { name: 'Mend it' }).click()
    await eventually(() => phone.page.locator('input[name="mass.value"]').first().inputValue()).toBe('a lot')
    await phone.page.locator('form[action$="/charges"] input[name="mass.value"]').fill('32')
    await phone.press(/^Record/)
    await phone.nothingWaits()
    expect(await charges()).toEqual([...before, 31, 33, 32])
  })

  it('holds back what rests on a refused entry, and drops that only when it is told to, twice', async () => {
    const { zone, cast } = phone
    phone.network.isCut = true
    await phone.openJoint(zone.joints.outdoorLiquid)
    await phone.press('Start making 1')
    await phone.asked('Preparation')
    await phone.press(/^all as listed$/i)
    await phone.asked('Flare')
    await phone.waiting(2)
    // Meanwhile somebody else made that joint: a second making needs a reason.
    await cast.run(cast.sam, startMake, { jointId: zone.joints.outdoorLiquid, jobId: phone.jobId })
    await phone.reconnect()
    await eventually(() => phone.line()).toContain('1 entry was refused')
    await phone.open('/waiting')
    await eventually(() => phone.page.locator('.kept-held').count()).toBe(1)
    await eventually(() => phone.main()).toContain('Say why making 2 is needed.')
    const first = phone.page.locator('.kept-refused')
    await first.getByRole('button', { name: 'Drop it' }).click()
    await first.getByRole('button', { name: 'Keep it' }).click()
    expect(await phone.kept()).toBe(2)
    await first.getByRole('button', { name: 'Drop it' }).click()
    await first.getByRole('button', { name: 'Yes, drop it' }).click()
    // What rested on it is sent without it, and refused in its turn: it is still here.
    await eventually(() => phone.page.locator('.kept-refused').count()).toBe(1)
    await eventually(() => phone.main()).toContain('This making was not found')
    await phone.page.locator('.kept-refused').getByRole('button', { name: 'Drop it' }).click()
    await phone.page.locator('.kept-refused').getByRole('button', { name: 'Yes, drop it' }).click()
    await phone.nothingWaits()
    expect(await phone.kindsOf(zone.joints.outdoorLiquid)).toEqual([])
  })

  it('sends once with two pages open', async () => {
    const before = await charges()
    const other = await phone.context.newPage()
    phone.watch(other)
    await phone.open('/jobs', other)
    phone.network.isCut = true
    await weighAll(41, 42)
    await weigh(43, other)
    await phone.waiting(3, other)
    await phone.waiting(3)
    phone.network.isCut = false
    await Promise.all([phone.sendNow(), phone.sendNow(other), phone.sendNow(), phone.sendNow(other)])
    await phone.nothingWaits()
    await phone.nothingWaits(other)
    expect(await charges()).toEqual([...before, 41, 42, 43])
    expect(phone.network.writes.length).toBe(3)
    await other.close()
  })

  it('says so when the job was sealed in between, and keeps what was entered', async () => {
    const before = await charges()
    phone.network.isCut = true
    await weighAll(51, 52)
    await setStage('sealed')
    await phone.reconnect()
    await eventually(() => phone.line()).toContain('2 entries were refused: mend or drop.')
    expect(await charges()).toEqual(before)
    await phone.open('/waiting')
    await eventually(() => phone.page.locator('.kept-refused').count()).toBe(2)
    await eventually(() => phone.main()).toMatch(/sealed|signed off/)
    await setStage('open')
    for (const left of [1, 0]) {
      await phone.page.locator('.kept-refused').first().getByRole('button', { name: 'Send it again' }).click()
      await eventually(() => phone.page.locator('.kept-refused').count()).toBe(left)
    }
    await phone.nothingWaits()
    expect(await charges()).toEqual([...before, 51, 52])
  })

  it('keeps nothing to be read once signed out, and all that waits', async () => {
    phone.network.isCut = true
    await weighAll(61)
    const kept = await phone.keptPages()
    expect(kept.length).toBeGreaterThan(5)
    // The service is too busy for the entry, as often as it is tried, while the network itself is there.
    phone.network.busyFor = /charges/
    phone.network.isCut = false
    await phone.page.getByRole('button', { name: 'Sign out' }).click()
    await phone.page.waitForURL(/sign-in/)
    expect(await phone.keptPages()).toEqual([])
    expect(await phone.kept()).toBe(1)
    await eventually(() => phone.line()).toContain('1 entry of somebody else waits on this phone')
    phone.network.busyFor = null
    await phone.signInAs(phone.cast.tess)
    await phone.open('/jobs')
    await phone.nothingWaits()
    expect((await charges()).at(-1)).toBe(61)
    expect(phone.complaints).toEqual([])
  })
})
