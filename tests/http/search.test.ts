// Does one box find what is meant, for every member, on both faces, and lead each reader where they are going?

import { parse } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { aCast, asBrowser, asProgram, type Cast, type Player } from '../support/cast.ts'
import { aJobAtASite, type SingleZone, singleZone } from '../support/setups.ts'
import { twoFaces } from '../support/two-faces.ts'

let cast: Cast
let faces: Awaited<ReturnType<typeof twoFaces>>
let siteId: string
let jobId: string
let zone: SingleZone
let tag: string
beforeAll(async () => {
  cast = await aCast()
  faces = await twoFaces(cast)
  ;({ siteId, jobId } = await aJobAtASite(cast, { reference: 'JB-2041' }))
  zone = await singleZone(cast, { jobId, mark: 'NW24-103377' })
  tag = zone.tags[zone.joints.indoorGas] ?? ''
})
afterAll(() => cast.remove())

const asked = (typed: string) => `/search?q=${encodeURIComponent(typed)}`
const linesOf = async (player: Player, typed: string) => {
  const answer = await faces.look(player, asked(typed))
  expect(answer.statusCode).toBe(200)
  return parse(answer.body)
    .querySelectorAll('.found > li')
    .map((line) => ({
      text: line.querySelector('.row')?.text ?? '',
      links: line.querySelectorAll('a').map((link) => link.getAttribute('href')),
    }))
}

describe('the search box', () => {
  it('is at the top of a member’s page, and on nobody else’s', async () => {
    for (const player of [cast.tess, cast.sam, cast.wren, cast.olga]) {
      const page = parse((await faces.look(player, '/sites')).body)
      expect(page.querySelector('header search form[action="/search"] input[name="q"]')).not.toBeNull()
      expect(page.querySelector('header nav .find-link a')?.getAttribute('href')).toBe('/search')
    }
    const signIn = parse((await faces.server.inject({ method: 'GET', url: '/sign-in' })).body)
    expect(signIn.querySelector('header form')).toBeNull()
  })

  it('stands once on its own page, with the cursor in it', async () => {
    const page = parse((await faces.look(cast.wren, '/search')).body)
    expect(page.querySelectorAll('input[name="q"]')).toHaveLength(1)
    expect(page.querySelector('main input[name="q"]')?.hasAttribute('autofocus')).toBe(true)
    expect(page.querySelector('label[for="q"]')).not.toBeNull()
  })

  it('leads the technician to the joint, and the warranty desk to its history and a callback', async () => {
    const joint = zone.joints.indoorGas
    const [forTess] = await linesOf(cast.tess, tag)
    expect(forTess?.text).toContain(tag)
    expect(forTess?.links).toEqual([
      `/joints/${joint}`,
      `/joints/${joint}/history`,
      `/systems/${zone.systemId}`,
    ])
    const [forWren] = await linesOf(cast.wren, tag)
    expect(forWren?.links).toEqual([
      `/joints/${joint}/history`,
      `/joints/${joint}`,
      `/systems/${zone.systemId}`,
      `/callbacks/new?system=${zone.systemId}`,
    ])
  })

  it('says how a serial differs that was mistyped', async () => {
    const answer = await faces.look(cast.wren, asked('IN-NW24-103877'))
    const page = parse(answer.body)
    expect(page.querySelector('#found')?.text).toBe('Nothing is exactly this. Near it:')
    const [line] = page.querySelectorAll('.found > li')
    expect(line?.text).toContain('IN-NW24-103377')
    expect(line?.text).toContain('one sign differs')
    expect(line?.querySelector('a')?.getAttribute('href')).toBe(`/systems/${zone.systemId}`)
  })

  it('shows what was typed again, as text', async () => {
    const typed = '"><script>alert(1)</script>'
    const answer = await faces.look(cast.wren, asked(typed))
    const page = parse(answer.body)
    expect(page.querySelector('input#q')?.getAttribute('value')).toBe(typed)
    expect(answer.body).not.toContain('<script>alert')
    expect(page.querySelector('.empty-title')?.text).toContain('Nothing here with')
  })

  it('finds by customer, address and reference', async () => {
    expect((await linesOf(cast.sam, 'fenwick'))[0]?.links).toEqual([
      `/sites/${siteId}`,
      `/systems/${zone.systemId}`,
    ])
    expect((await linesOf(cast.sam, '12 Mill'))[0]?.text).toContain('12 Mill Lane')
    expect((await linesOf(cast.sam, 'jb2041'))[0]?.links[0]).toBe(`/jobs/${jobId}`)
  })
})

describe('GET /api/v1/search', () => {
  it('answers each thing with what matched', async () => {
    const answer = await faces.get(cast.wren, asked('IN-NW24-10'))
    expect(answer.statusCode).toBe(200)
    expect(answer.json()).toEqual({
      items: [
        {
          kind: 'unit',
          id: zone.indoorUnitId,
          systemId: zone.systemId,
          systemName: 'Living room',
          name: 'Living room',
          model: 'LS-35 indoor',
          removed: false,
          siteId,
          customerName: 'Ida Fenwick',
          address: '12 Mill Lane, Brackwater',
          matched: { by: 'serial', value: 'IN-NW24-103377', how: 'beginning', slips: 0 },
        },
      ],
      nextCursor: null,
      more: false,
    })
  })

  it('answers the moment of a job as text', async () => {
    const [job] = (await faces.get(cast.sam, asked('JB-2041'))).json().items
    expect(job).toMatchObject({ kind: 'job', id: jobId, openedAt: '2026-03-04T15:00:00.000Z', stage: 'open' })
  })

  it('answers nothing for nothing', async () => {
    for (const path of ['/search', '/search?q=', '/search?q=%20', '/search?q=x'])
      expect((await faces.get(cast.tess, path)).json()).toEqual({ items: [], nextCursor: null, more: false })
  })

  it('refuses what is too long, and names the field', async () => {
    const answer = await faces.get(cast.tess, asked('x'.repeat(201)))
    expect(answer.statusCode).toBe(400)
    expect(answer.json().errors).toEqual([{ path: 'q', message: 'What is looked for is shorter than that.' }])
  })

  it('shows nobody what another company has', async () => {
    for (const typed of [tag, 'IN-NW24-103377', 'fenwick', '12 Mill', 'JB-2041']) {
      const answer = await faces.server.inject({
        method: 'GET',
        url: `/api/v1${asked(typed)}`,
        headers: asProgram(cast.zoe),
      })
      expect(answer.json().items, typed).toEqual([])
      const page = await faces.server.inject({
        method: 'GET',
        url: asked(typed),
        headers: asBrowser(cast.zoe),
      })
      expect(parse(page.body).querySelectorAll('.found > li'), typed).toEqual([])
    }
  })

  it('asks who is not signed in to sign in', async () => {
    expect((await faces.server.inject({ method: 'GET', url: `/api/v1${asked(tag)}` })).statusCode).toBe(401)
    const page = await faces.server.inject({ method: 'GET', url: asked(tag) })
    expect(page.statusCode).toBe(303)
    expect(page.headers.location).toContain('/sign-in')
  })
})
