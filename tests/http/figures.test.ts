// Are the torques and flares of the equipment at hand shown: the sheet's own first, the printed sets after, with sources?

import { parse } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { criteriaJson } from '../../server/commands/people/criteria.ts'
import { setPolicy } from '../../server/commands/people/set-policy.ts'
import { addSystem } from '../../server/commands/places/add-system.ts'
import { BUILT_IN_POLICY } from '../../server/rules/policy.ts'
import { aCast, type Cast } from '../support/cast.ts'
import { aJobAtASite, inches, type SingleZone, singleZone } from '../support/setups.ts'
import { twoFaces } from '../support/two-faces.ts'

let cast: Cast
let faces: Awaited<ReturnType<typeof twoFaces>>
let jobId: string
let zone: SingleZone
beforeAll(async () => {
  cast = await aCast()
  faces = await twoFaces(cast)
  ;({ jobId } = await aJobAtASite(cast))
  zone = await singleZone(cast, {
    jobId,
    sheet: {
      // As a manual may have it: its own torque for one size, no flare for the other.
      torque: [{ tubeOd: inches(0.25), low: 15, high: 17, unit: 'N.m' }],
      flareDiameter: [{ tubeOd: inches(0.25), low: 8.7, high: 9.1, unit: 'mm' }],
    },
  })
})
afterAll(() => cast.remove())

const sizes = async (systemId = zone.systemId) =>
  (await faces.get(cast.tess, `/systems/${systemId}/figures`)).json().sizes

describe('the figures of a system', () => {
  it('are its sheet’s own where that states any, else those of the set that the company judges by', async () => {
    expect(await sizes()).toEqual([
      {
        tubeOd: { value: 6.35, unit: 'mm' },
        torque: {
          low: { value: 15, unit: 'N.m' },
          high: { value: 17, unit: 'N.m' },
          source: 'equipment sheet, Larkspur LS installation manual, 3rd edition, page 14',
          ownSheet: true,
        },
        flareDiameter: {
          low: { value: 8.7, unit: 'mm' },
          high: { value: 9.1, unit: 'mm' },
          source: 'equipment sheet, Larkspur LS installation manual, 3rd edition, page 14',
          ownSheet: true,
        },
      },
      {
        tubeOd: { value: expect.closeTo(9.525, 6), unit: 'mm' },
        torque: {
          low: { value: 34, unit: 'N.m' },
          high: { value: 42, unit: 'N.m' },
          source: 'JIS B 8607 class 2 set (built in)',
          ownSheet: false,
        },
        flareDiameter: {
          low: { value: 12.8, unit: 'mm' },
          high: { value: 13.2, unit: 'mm' },
          source: 'JIS B 8607 class 2 as commonly printed (the tie to the standard is from memory)',
          ownSheet: false,
        },
      },
    ])
  })

  it('stand on a page with the manual first, one tap from the system and from each joint', async () => {
    const page = parse((await faces.look(cast.tess, `/systems/${zone.systemId}/figures`)).body)
    const text = page.querySelector('main')?.structuredText ?? ''
    expect(text.indexOf('the manual holds')).toBeLessThan(text.indexOf('For this system'))
    expect(text.indexOf('For this system')).toBeLessThan(text.indexOf('As printed in general'))
    expect(page.querySelector('.size-figures')?.text).toContain('15–17 N·m')
    expect(page.querySelector('.size-figures')?.text).toContain('from its equipment sheet')
    expect(text).toContain('Source: JIS B 8607:2002 class 2 as widely printed')
    // Figures that are from memory are not offered to work by.
    expect(text).not.toContain('EN 378-2')
    const system = await faces.look(cast.tess, `/systems/${zone.systemId}`)
    expect(system.body).toContain(`href="/systems/${zone.systemId}/figures"`)
    const joint = await faces.look(cast.tess, `/joints/${zone.joints.indoorGas}?job=${jobId}`)
    const link = parse(joint.body)
      .querySelectorAll('a')
      .find((one) => one.text === 'Torque and flares')
    const figures = await faces.look(cast.tess, link?.getAttribute('href')?.replaceAll('&amp;', '&') ?? '')
    expect(figures.statusCode).toBe(200)
    expect(figures.body).toContain(`href="/joints/${zone.joints.indoorGas}?job=${jobId}"`)
  })

  it('say so where there is neither sheet nor line', async () => {
    const { system } = await cast.run(cast.tess, addSystem, { jobId, name: 'Bare', refrigerant: 'R-22' })
    expect(await sizes(system.id)).toEqual([])
    const { body } = await faces.look(cast.tess, `/systems/${system.id}/figures`)
    expect(body).toContain('No equipment sheet is chosen')
    expect(body).toContain('class 1')
  })

  it('follow the set that the company chooses', async () => {
    await cast.run(cast.sam, setPolicy, {
      criteria: criteriaJson({ ...BUILT_IN_POLICY, torqueFamily: 'kgf-cm-set' }),
      reason: 'Our wrenches are marked so.',
      basedOnVersion: 1,
    } as never)
    expect((await sizes())[1].torque).toMatchObject({
      low: { value: 32.7 },
      source: 'older kgf·cm-based set (built in)',
    })
  })

  it('are nobody else’s', async () => {
    const url = `/systems/${zone.systemId}/figures`
    expect((await faces.get(cast.zoe, url)).statusCode).toBe(404)
    expect((await faces.look(cast.zoe, url)).statusCode).toBe(404)
    expect((await faces.server.inject({ url: `/api/v1${url}` })).statusCode).toBe(401)
    expect((await faces.look(cast.wren, url)).statusCode).toBe(200)
  })
})
