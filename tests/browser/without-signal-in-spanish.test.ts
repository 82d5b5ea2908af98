// Does who reads in another language do so without a signal too?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { es } from '../../server/words/es/index.ts'
import { eventually, PhoneAtWork } from '../support/phone-at-work.ts'

let phone: PhoneAtWork
beforeAll(async () => {
  phone = await PhoneAtWork.begin()
})
afterAll(() => phone?.end())

describe('a phone that reads in Spanish', () => {
  it('has its pages kept anew in that language, and says in it that there is no signal', async () => {
    await phone.open('/jobs')
    await phone.page.getByRole('link', { name: 'Español' }).click()
    await eventually(() => phone.page.locator('html').getAttribute('lang')).toBe('es')
    await phone.ready()
    phone.network.isCut = true
    await phone.openJoint(phone.zone.joints.outdoorLiquid)
    expect(await phone.main()).toMatch(/\d\d?:\d\d, de este teléfono\./)
    await phone.open('/members')
    expect(await phone.main()).toContain(es.page.notKeptHere)
  })

  it('says what waits, and what was kept of it, in that language', async () => {
    await phone.openJoint(phone.zone.joints.outdoorLiquid)
    await phone.press(es.joints.startMaking(1))
    await phone.asked(es.joints.preparation)
    await phone.press(es.joints.allAsListed)
    await phone.asked(es.joints.flare)
    await eventually(() => phone.page.locator('#waiting').textContent()).toContain(
      es.scripts.manyWait.replace('{count}', '2'),
    )
    expect(await phone.main()).toContain(es.scripts.keptInLine)
    await phone.reconnect()
    await eventually(() => phone.page.locator('#waiting').isHidden()).toBe(true)
    expect(await phone.kindsOf(phone.zone.joints.outdoorLiquid)).toEqual(['preparation'])
    expect(phone.complaints).toEqual([])
  })
})
