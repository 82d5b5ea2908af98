// Does a tag lead to its joint, typed in any way or scanned, for its own company alone; and can it be printed?

import { parse } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openJob } from '../../server/commands/jobs/open-job.ts'
import { companyCode, tagLink } from '../../server/http/tag-link.ts'
import { tagsMeant } from '../../server/store/queries/tags.ts'
import { aCast, type Cast } from '../support/cast.ts'
import { aJobAtASite, type SingleZone, singleZone } from '../support/setups.ts'
import { twoFaces } from '../support/two-faces.ts'

let cast: Cast
let faces: Awaited<ReturnType<typeof twoFaces>>
let jobId: string
let siteId: string
let zone: SingleZone
let jointId: string
let tag: string
let code: string
beforeAll(async () => {
  cast = await aCast()
  faces = await twoFaces(cast)
  ;({ jobId, siteId } = await aJobAtASite(cast))
  zone = await singleZone(cast, { jobId })
  jointId = zone.joints.indoorGas
  tag = zone.tags[jointId] ?? ''
  code = companyCode(cast.tess.companyId)
})
afterAll(() => cast.remove())

const typed = (text: string) => `/tags?tag=${encodeURIComponent(text)}`
const messageIn = (body: string) => parse(body).querySelector('.message')?.text ?? null

describe('the tags that a text may mean', () => {
  it.each([
    ['SH1-2', 'sh1-2'],
    ['sh1-2', 'sh1-2'],
    [' SH1 – 2 ', 'sh1-2'],
    ['SH-1-2', 'sh1-2'],
    ['s h 1 2', 'sh1-2'],
    ['SH1_02', 'sh1-2'],
    ['SH12', 'sh1-2'],
  ])('%s may mean %s', (text, wanted) => {
    expect(tagsMeant(text)).toContain(wanted)
  })

  it('puts the cut first that was written', () => {
    expect(tagsMeant('SH1-23')[0]).toBe('sh1-23')
    expect(tagsMeant('SH12-3')[0]).toBe('sh12-3')
  })

  it.each(['', '   ', '-', 'x', 'Kitchen', "'; --", 'SH1-2'.repeat(20), '\u0000', '12 Mill Lane'])(
    'takes %j for no tag',
    (text) => {
      expect(tagsMeant(text)).toEqual([])
    },
  )
})

describe('a tag that is typed', () => {
  it.each([
    (text: string) => text,
    (text: string) => text.toLowerCase(),
    (text: string) => text.replace('-', ' '),
    (text: string) => text.replace('-', ''),
    (text: string) => `  ${text.replace('-', ' - ')} `,
  ])('opens its joint on the open job (%#)', async (written) => {
    const answer = await faces.look(cast.tess, typed(written(tag)))
    expect(answer.statusCode).toBe(303)
    expect(answer.headers.location).toBe(`/joints/${jointId}?job=${jobId}`)
  })

  it('names the joint and its open jobs to a program', async () => {
    const answer = await faces.get(cast.tess, typed(tag.toLowerCase()))
    expect(answer.statusCode).toBe(200)
    expect(answer.json()).toEqual({
      items: [
        {
          jointId,
          tag,
          systemId: zone.systemId,
          systemName: 'Living room',
          place: 'indoor-gas',
          line: 'gas',
          openJobIds: [jobId],
        },
      ],
      nextCursor: null,
    })
  })

  it('is told to be none, with the field as it was typed', async () => {
    const answer = await faces.look(cast.tess, typed('ZZ9-99'))
    expect(answer.statusCode).toBe(200)
    expect(messageIn(answer.body)).toMatch(/^No joint here has this tag/)
    expect(parse(answer.body).querySelector('input[name=tag]')?.getAttribute('value')).toBe('ZZ9-99')
    expect((await faces.get(cast.tess, typed('ZZ9-99'))).json().items).toEqual([])
  })

  it('is no tag of a stranger, who is told the same as of one that never was', async () => {
    const theirs = await faces.look(cast.zoe, typed(tag))
    expect(theirs.statusCode).toBe(200)
    expect(messageIn(theirs.body)).toMatch(/^No joint here has this tag/)
    expect((await faces.get(cast.zoe, typed(tag))).json().items).toEqual([])
  })

  it('asks nothing yet while the field is empty, and refuses what is too long', async () => {
    const empty = await faces.look(cast.tess, '/tags')
    expect(empty.statusCode).toBe(200)
    expect(messageIn(empty.body)).toBeNull()
    const long = await faces.get(cast.tess, typed('x'.repeat(61)))
    expect(long.statusCode).toBe(400)
    expect(long.json().errors[0].path).toBe('tag')
  })
})

describe('the address on a printed tag', () => {
  it('opens the joint on the job', async () => {
    const answer = await faces.look(cast.tess, `/t/${code}/${tag}`)
    expect(answer.statusCode).toBe(303)
    expect(answer.headers.location).toBe(`/joints/${jointId}?job=${jobId}`)
  })

  it('has somebody sign in first, and brings them back', async () => {
    const answer = await faces.server.inject({ url: `/t/${code}/${tag}` })
    expect(answer.statusCode).toBe(303)
    expect(answer.headers.location).toBe(`/sign-in?next=${encodeURIComponent(`/t/${code}/${tag}`)}`)
  })

  it('is nowhere for a stranger, and for a code or a tag that never was', async () => {
    for (const [player, url] of [
      [cast.zoe, `/t/${code}/${tag}`],
      [cast.zoe, `/t/${companyCode(cast.zoe.companyId)}/${tag}`],
      [cast.tess, `/t/000000/${tag}`],
      [cast.tess, `/t/${code}/ZZ9-9`],
      [cast.tess, `/t/${code}/%20`],
    ] as const) {
      const answer = await faces.look(player, url)
      expect(answer.statusCode, url).toBe(404)
      expect(answer.body, url).not.toContain(jointId)
    }
  })

  it('of another own company asks before it moves anybody there, and then opens the joint', async () => {
    // Zoe is taken into the first company as well; she still works in her own.
    await cast.store.store.transaction(async ({ db, t }) => {
      await db.insert(t.members).values({
        companyId: cast.tess.companyId,
        id: '01999999-0000-7000-8000-00000000000a',
        personId: cast.zoe.personId,
        role: 'technician',
        active: true,
        createdAt: cast.clock.now,
      })
    })
    const session = await cast.deps.sessions.start(cast.zoe.personId, cast.zoe.companyId)
    const zoe = { ...cast.zoe, cookie: `jointkeep_session=${session}` }
    const url = `/t/${code}/${tag}`
    const asked = await faces.look(zoe, url)
    expect(asked.statusCode).toBe(200)
    expect(asked.body).toContain(cast.tess.companyName)
    const form = parse(asked.body)
      .querySelectorAll('form')
      .find((one) => one.innerHTML.includes('companyId'))
    const moved = await faces.send(zoe, form?.getAttribute('action') ?? '', {
      companyId: cast.tess.companyId,
    })
    expect(moved.headers.location).toBe(url)
    const opened = await faces.look(zoe, url)
    expect(opened.headers.location).toBe(`/joints/${jointId}?job=${jobId}`)
    // A token speaks for one company alone.
    const byToken = await faces.server.inject({ url, headers: { authorization: `Bearer ${cast.zoe.token}` } })
    expect(byToken.statusCode).toBe(404)
  })
})

describe('a joint on more than one open job', () => {
  let second: string
  beforeAll(async () => {
    const job = await cast.run(cast.tess, openJob, {
      siteId,
      kind: 'repair',
      reference: 'R-7',
      systemIds: [zone.systemId],
      assignedTo: cast.tess.crewId,
    })
    second = job.id
  })

  it('opens on the one that somebody came from, else on their own', async () => {
    const from = (id: string) => `${typed(tag)}&job=${id}`
    expect((await faces.look(cast.sam, from(jobId))).headers.location).toBe(`/joints/${jointId}?job=${jobId}`)
    expect((await faces.look(cast.sam, from(second))).headers.location).toBe(
      `/joints/${jointId}?job=${second}`,
    )
    expect((await faces.look(cast.tess, typed(tag))).headers.location).toBe(
      `/joints/${jointId}?job=${second}`,
    )
  })

  it('lets somebody else choose', async () => {
    const answer = await faces.look(cast.sam, typed(tag))
    expect(answer.statusCode).toBe(200)
    const links = parse(answer.body)
      .querySelectorAll('main a.row')
      .map((link) => link.getAttribute('href'))
    expect(links).toEqual([`/joints/${jointId}?job=${jobId}`, `/joints/${jointId}?job=${second}`])
    expect(answer.body).toContain('R-7')
  })
})

describe('the sheet of tags', () => {
  it('has a label for each joint, with its tag, its place and its picture', async () => {
    const answer = await faces.look(cast.tess, `/systems/${zone.systemId}/tags`)
    expect(answer.statusCode).toBe(200)
    const labels = parse(answer.body).querySelectorAll('.label')
    expect(labels.map((label) => label.querySelector('.label-tag')?.text)).toEqual(
      expect.arrayContaining(Object.values(zone.tags)),
    )
    expect(labels).toHaveLength(Object.keys(zone.tags).length)
    const label = labels.find((one) => one.text.includes(tag))
    expect(label?.text).toContain('indoor end, gas line')
    expect(label?.querySelector('svg path.qr-ink')?.getAttribute('d')?.length).toBeGreaterThan(500)
    expect(answer.body).not.toMatch(/<img|style=/)
  })

  it('shows only those that were chosen', async () => {
    const answer = await faces.look(cast.tess, `/systems/${zone.systemId}/tags?_joint.${jointId}=yes`)
    const labels = parse(answer.body).querySelectorAll('.label')
    expect(labels.map((label) => label.querySelector('.label-tag')?.text)).toEqual([tag])
  })

  it('tells a program the address of each', async () => {
    const { items } = (await faces.get(cast.tess, `/systems/${zone.systemId}/tags`)).json()
    expect(items).toHaveLength(Object.keys(zone.tags).length)
    expect(items).toContainEqual({
      jointId,
      tag,
      place: 'indoor-gas',
      line: 'gas',
      link: tagLink(cast.deps.config.publicUrl, cast.tess.companyId, tag),
    })
  })

  it('is nobody else’s', async () => {
    const url = `/systems/${zone.systemId}/tags`
    expect((await faces.look(cast.zoe, url)).statusCode).toBe(404)
    expect((await faces.get(cast.zoe, url)).statusCode).toBe(404)
    expect((await faces.server.inject({ url: `/api/v1${url}` })).statusCode).toBe(401)
  })
})
