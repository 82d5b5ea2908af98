// Are times shown where the reader lives, and as UTC where the browser says nothing or nonsense?

import { afterAll, beforeAll, expect, it } from 'vitest'
import { ZONE_COOKIE } from '../../server/http/zone.ts'
import { aCast, asBrowser, type Cast } from '../support/cast.ts'
import { aJobAtASite } from '../support/setups.ts'

let cast: Cast
let jobId: string
beforeAll(async () => {
  cast = await aCast()
  ;({ jobId } = await aJobAtASite(cast, { by: cast.sam }))
})
afterAll(() => cast.remove())

const openedAt = async (zone?: string) => {
  const headers = asBrowser(cast.sam)
  const cookie =
    zone === undefined ? headers.cookie : `${headers.cookie}; ${ZONE_COOKIE}=${encodeURIComponent(zone)}`
  const page = await (await cast.server()).inject({ url: `/jobs/${jobId}`, headers: { ...headers, cookie } })
  expect(page.statusCode).toBe(200)
  return /Opened[^<]*<time[^>]*>([^<]*)</.exec(page.body)?.[1] ?? page.body
}

it.each([
  ['Asia/Kolkata', /, 20:30$/],
  ['America/St_Johns', /, 11:30$/],
  ['Etc/UTC', /, 15:00$/],
  [undefined, /, 15:00 UTC$/],
  ['Moon/Crater', /, 15:00 UTC$/],
  ['x'.repeat(2000), /, 15:00 UTC$/],
])('%s', async (zone, expected) => {
  expect(await openedAt(zone)).toMatch(expected)
})
