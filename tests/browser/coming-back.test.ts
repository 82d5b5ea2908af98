// Does what stands out lead to the joints most at risk and to jobs, and a callback to a packet that can be checked?

import { readFileSync } from 'node:fs'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { aCast, type Cast, type Player } from '../support/cast.ts'
import { launchChromium } from '../support/chromium.ts'
import { faultsOf, unpack } from '../support/packets.ts'
import { signedInPage } from '../support/signed-in-page.ts'
import { aPlaceThatStandsOut, LEAKED, MADE } from '../support/standing-out.ts'

let browser: Browser
let cast: Cast
let callbacks: string[]
let address: string
beforeAll(async () => {
  browser = await launchChromium()
  cast = await aCast('sqlite')
  ;({ callbacks } = await aPlaceThatStandsOut(cast))
  address = await (await cast.server()).listen({ host: '127.0.0.1', port: 0 })
}, 240_000)
afterAll(async () => {
  await cast?.remove()
  await browser?.close()
})

describe.each([
  ['with script', true],
  ['without script', false],
])('what comes back, %s', (_name, javaScriptEnabled) => {
  const complaints: string[] = []

  const pageOf = (player: Player) =>
    signedInPage({ browser, address, player, complaints, context: { javaScriptEnabled } })

  it('leads from the group that stands out to its joints in service, and to the jobs that look at them', async () => {
    await cast.store.store.execute("update jobs set stage = 'sealed' where reference like 'Follow-up%'")
    const page = await pageOf(cast.sam)
    await page.goto(`${address}/reliability?by=position`)
    await page.locator('.stands-out').getByRole('link', { name: 'The most at risk' }).click()
    await page.getByRole('heading', { level: 1, name: 'Most at risk: indoor end, gas line' }).waitFor()
    expect(await page.locator('tbody tr').count()).toBe(MADE - LEAKED)
    await page.getByLabel('How many, from the top').fill('2')
    await page.getByRole('button', { name: 'Open jobs for so many' }).click()
    await page.getByText('2 of them are in open follow-up jobs.').waitFor()
    // One is left to tick.
    await page.getByRole('checkbox').check()
    await page.getByRole('button', { name: 'Open jobs for the ticked' }).click()
    await page.getByText('3 of them are in open follow-up jobs.').waitFor()
    expect(await page.getByRole('checkbox').count()).toBe(0)
    await page.getByRole('link', { name: 'in a job' }).first().click()
    const again = page.getByRole('region', { name: 'To be looked at again' })
    await again.waitFor()
    // The two that were signed off last stand at one site: one job for both.
    expect(await again.locator('li').count()).toBe(2)
    expect(await again.textContent()).toContain('5 leaks on such joints')
    await page.context().close()
  })

  it('leads from a callback to a packet whose every hash is right', async () => {
    const page = await pageOf(cast.wren)
    await page.goto(`${address}/callbacks/${callbacks[0]}`)
    await page.getByRole('link', { name: 'Claim packet' }).click()
    await page.getByRole('heading', { level: 1, name: /^Claim packet, / }).waitFor()
    await page.getByLabel('Leave out who the customer is').check()
    const coming = page.waitForEvent('download')
    await page.getByRole('button', { name: 'Make the packet' }).click()
    const download = await coming
    expect(download.suggestedFilename()).toMatch(/^claim-packet-[\w-]+\.zip$/)
    const packet = unpack(readFileSync(await download.path()))
    expect(faultsOf(packet)).toEqual([])
    expect(packet.manifest.redactions).toHaveLength(1)
    expect([...packet.files.keys()]).toContain('claim-report.pdf')
    // The page is still there, and knows of it.
    await page.reload()
    await page.getByText('by Wren, without the customer').first().waitFor()
    await page.context().close()
  })

  it('complains of nothing', () => {
    expect(complaints).toEqual([])
  })
})
