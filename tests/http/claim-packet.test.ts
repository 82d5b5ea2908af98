// Does a claim packet hold what the record holds, can it be checked without us, and does it keep quiet about the customer?

import { readdirSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { verifyCopy } from '../../server/certificate/verify-copy.ts'
import { closeCallback } from '../../server/commands/callbacks/close-callback.ts'
import { openCallback } from '../../server/commands/callbacks/open-callback.ts'
import { attachPhoto } from '../../server/commands/photos/attach-photo.ts'
import { changeSite } from '../../server/commands/places/change-site.ts'
import { reopenJob } from '../../server/commands/release/reopen-job.ts'
import { aWorld, teamA, type World } from '../shape/world.ts'
import { aCast, asBrowser, asProgram, type Cast, type Player } from '../support/cast.ts'
import { everythingIn, faultsOf, unpack } from '../support/packets.ts'
import { readPdf } from '../support/pdf.ts'
import { aJpeg, anUpload } from '../support/pictures.ts'

const PHONE = '+44 20 7946 0123'
const MAIL = 'ida@aldermoor.example'
/** As the customer's data may be written into a text, and in other ways of spacing and case. */
const SECRETS = [
  'Ida Aldermoor',
  '12 Aldermoor Lane',
  'ALD 4QX',
  '7946 0123',
  '79460123',
  '7946-0123',
  MAIL,
].map((secret) => secret.toLowerCase())

let cast: Cast
let world: World
let systemId: string
let jointId: string
let tag: string
beforeAll(async () => {
  cast = await aCast()
  world = await aWorld(cast, teamA(cast), 'Aldermoor')
  const [row] = await cast.store.store.query<{ id: string }>(
    `select system_id as id from job_systems where job_id = '${world.jobs.sealed}'`,
  )
  systemId = row?.id ?? ''
  const joints = await cast.store.store.query<{ id: string; tag: string }>(
    `select id, tag from joints where system_id = '${systemId}' order by number`,
  )
  jointId = joints[0]?.id ?? ''
  tag = joints[0]?.tag ?? ''
  await cast.run(cast.sam, changeSite, {
    siteId: world.siteId,
    address: '12 Aldermoor Lane\nBrackwater\nALD 4QX',
    town: 'Brackwater',
    contact: `Ida, ${PHONE}, ${MAIL}`,
  })
  const callback = await cast.run(cast.wren, openCallback, {
    systemId,
    symptom: `No longer warm, says Ida  Aldermoor of 12 Aldermoor Lane; ring 020 7946-0123 or ${MAIL}`,
    found: [
      {
        part: 'joint',
        jointId,
        where: 'flare-face',
        method: 'refrigerant-detector',
        cause: 'burr',
        size: '12 g/yr',
      },
    ],
    partsReplaced: [{ part: 'flare nut', oldSerial: 'NUT-1', newSerial: 'NUT-2' }],
    claim: { maker: 'Larkspur', number: 'LS-CLAIM-77', status: 'sent' },
  })
  await cast.run(cast.wren, closeCallback, { callbackId: callback.id, outcome: 'found' })
}, 120_000)
afterAll(() => cast.remove())

const fetchPacket = async (player: Player | null, id = systemId, query = '') =>
  (await cast.server()).inject({
    url: `/api/v1/systems/${id}/claim-packet${query}`,
    headers: player ? asProgram(player) : {},
  })
const packet = async (query = '', player = cast.wren, id = systemId) => {
  const answer = await fetchPacket(player, id, query)
  expect(answer.statusCode).toBe(200)
  return unpack(answer.rawPayload)
}
const made = () =>
  cast.store.store.query<{ member: string; content: string }>(
    `select member_id as member, content from entries where kind = 'claim-packet-made' order by number`,
  )

describe('a claim packet', () => {
  it('is for the warranty desk, managers and owners of the company', async () => {
    expect((await fetchPacket(null)).statusCode).toBe(401)
    expect((await fetchPacket(cast.tess)).statusCode).toBe(403)
    const server = await cast.server()
    for (const ending of ['', '.zip']) {
      const url = `/systems/${systemId}/claim-packet${ending}`
      expect((await server.inject({ url })).headers.location).toMatch(/^\/sign-in/)
      const refused = await server.inject({ url, headers: asBrowser(cast.tess) })
      expect(refused.statusCode).toBe(403)
    }
    await cast.store.store.execute(`update members set role = 'manager' where id = '${cast.zoe.memberId}'`)
    expect((await fetchPacket(cast.zoe)).statusCode).toBe(404)
    expect((await fetchPacket(cast.wren, '01890000-0000-7000-8000-000000000000')).statusCode).toBe(404)
    const odd = await fetchPacket(cast.wren, systemId, '?redact=everything')
    expect([odd.statusCode, odd.json().errors[0].path]).toEqual([400, 'redact'])
    expect(await made()).toEqual([])
  })

  it('holds together: each file is the one that is listed, and the list is signed', async () => {
    const answer = await fetchPacket(cast.wren)
    expect(answer.headers['content-type']).toBe('application/zip')
    expect(answer.headers['content-disposition']).toMatch(/^attachment; filename="claim-packet-[\w-]+\.zip"$/)
    expect(Number(answer.headers['content-length'])).toBe(answer.rawPayload.length)
    const opened = unpack(answer.rawPayload)
    expect(faultsOf(opened)).toEqual([])
    expect(opened.manifest).toMatchObject({
      company: { name: 'North Ridge Air' },
      madeBy: { member: cast.wren.memberId, name: 'Wren' },
      madeAt: new Date(cast.clock.now).toISOString(),
      redactions: [],
      leftOut: [],
      missing: [],
    })
    // A check that finds nothing is worth what it finds in a packet that was touched.
    for (const path of opened.files.keys()) {
      const files = new Map(opened.files)
      const bytes = Buffer.from(files.get(path) ?? '')
      const at = Math.floor(bytes.length / 2)
      bytes[at] = (bytes[at] ?? 0) ^ 1
      const touched = { ...opened, files: files.set(path, bytes) }
      const found = (() => {
        try {
          return faultsOf({
            ...touched,
            text: (one) => files.get(one)?.toString('utf8') ?? '',
          })
        } catch (problem) {
          return [String(problem)]
        }
      })()
      expect(found, path).not.toEqual([])
    }
  })

  it('is the same packet when it is made again of the same record at the same moment', async () => {
    const [one, two] = [await fetchPacket(cast.sam), await fetchPacket(cast.sam)]
    expect(one.rawPayload.equals(two.rawPayload)).toBe(true)
  })

  it('says in its report what came back and why, and how the joint was made', async () => {
    const { files } = await packet()
    const pdf = await readPdf(files.get('claim-report.pdf') ?? Buffer.alloc(0))
    const said = pdf.text.join('\n').replace(/\s+/g, ' ')
    for (const words of [
      'Ida Aldermoor, 12 Aldermoor Lane',
      'Aldermoor-OUT-sealed',
      'Aldermoor-IN-sealed',
      'No longer warm',
      'burr',
      'flare nut',
      'NUT-1',
      'LS-CLAIM-77',
      '12 g/yr',
      tag,
      'The nut was pulled to',
      'The pressure test of 2026-03-04',
    ])
      expect(said, words).toContain(words)
    expect(pdf.marked).toBe(true)
    await pdf.close()
  })

  it('has the certificates letter by letter as they were signed, with what they are worth today', async () => {
    const { files, text, manifest } = await packet()
    const path = `certificates/${world.code}-revision-1.json`
    const [row] = await cast.store.store.query<{ copy: string }>(
      `select signed_copy as copy from certificates where id = '${world.certificateId}'`,
    )
    expect(text(path)).toBe(row?.copy)
    expect(verifyCopy(text(path), JSON.parse(text('keys.json'))).verdict).toBe('genuine')
    const stateOf = (one: { path: string }) => one.path === path
    expect(manifest.files.find(stateOf).state).toBe('genuine')
    const pdf = await readPdf(files.get(path.replace('.json', '.pdf')) ?? Buffer.alloc(0))
    expect(Object.values(pdf.attachments).map(String)).toEqual([row?.copy])
    await pdf.close()
    expect(text('check.html')).toContain(JSON.parse(text('keys.json')).keys[0].x)
    expect(text('README.txt')).toContain(path)
  })

  it('has every reading as it is on record', async () => {
    const { text } = await packet()
    const [head = '', ...lines] = text('readings.csv').trimEnd().split('\r\n')
    const names = head.split(',')
    const rows = lines.map((line) => Object.fromEntries(line.split(',').map((cell, at) => [names[at], cell])))
    const kept = await cast.store.store.query<{ id: string; pressure: number; temperature: number | null }>(
      `select r.id, r.pressure_pa as pressure, r.temperature_k as temperature from section_readings r
       join section_tests s on s.company_id = r.company_id and s.id = r.test_id where s.system_id = '${systemId}'`,
    )
    expect(kept.length).toBeGreaterThan(10)
    expect(rows.length).toBe(kept.length)
    for (const { id, pressure, temperature } of kept) {
      const row = rows.find((one) => one.reading_id === id)
      expect(Number(row?.pressure_pa)).toBe(pressure)
      expect(row?.temperature_k === '' ? null : Number(row?.temperature_k)).toBe(temperature)
    }
    expect(rows.find((row) => row.test === 'pressure-test')).toMatchObject({
      pressure_is: 'gauge',
      verdict: 'holds',
    })
    expect(rows.find((row) => row.test === 'pressure-test')?.gauge_serial).toContain('Aldermoor')
  })

  it('has the photos as they are kept, under names that say what they are, and misses one that is gone', async () => {
    const of = world.systemId
    const opened = await packet('', cast.wren, of)
    const paths = [...opened.files.keys()].filter((path) => path.startsWith('photos/'))
    expect(paths).toEqual([
      expect.stringMatching(/^photos\/001_2026-03-\d\d_pressure-test_gauge-at-start\.jpg$/),
    ])
    const [photo] = await cast.store.store.query<{ sha256: string }>(
      `select sha256 from photos where id = '${world.photoId}'`,
    )
    expect(opened.manifest.files.at(-2).sha256 ?? '').toBe(photo?.sha256)
    expect(faultsOf(opened)).toEqual([])
    // No certificate yet, and a packet all the same.
    expect([...opened.files.keys()].filter((path) => path.startsWith('certificates/'))).toEqual([])
    expect(opened.text('README.txt')).not.toContain('certificates/')

    const lost = await cast.run(cast.tess, attachPhoto, {
      picture: anUpload(await aJpeg({ shade: '#123456' })),
      jobId: world.jobs.open,
      subjectKind: 'system',
      subjectId: of,
    } as never)
    const folder = cast.deps.config.files
    const place = readdirSync(folder, { recursive: true, encoding: 'utf8' }).find((name) =>
      name.endsWith((lost as { sha256: string }).sha256),
    )
    rmSync(join(folder, place ?? ''))
    const without = await packet('', cast.wren, of)
    expect(without.manifest.missing).toEqual([
      { path: expect.stringMatching(/^photos\/002_/), sha256: (lost as { sha256: string }).sha256 },
    ])
    expect(faultsOf(without)).toEqual([])
    expect(without.text('README.txt').replace(/\s+/g, ' ')).toContain('its bytes are not there')
  })

  it('names the customer nowhere when that is asked for, in no file of any kind', async () => {
    const open = await everythingIn(await packet())
    // What is looked for would be found: it stands in the packet that withholds nothing.
    const whole = [...open.values()].join('\n')
    for (const secret of ['ida aldermoor', '12 aldermoor lane', '7946-0123', MAIL])
      expect(whole, secret).toContain(secret)

    const closed = await packet('?redact=contact')
    expect(faultsOf(closed)).toEqual([])
    for (const [path, text] of await everythingIn(closed))
      for (const secret of SECRETS)
        expect(text.replace(/\s+/g, ' ').includes(secret), `${path}: ${secret}`).toBe(false)
    expect(closed.manifest.redactions).toEqual([
      { of: 'contact', withheld: ['name', 'address', 'telephone', 'e-mail'], kept: ['town'] },
    ])
    // The certificate names no customer by design, so it is there as it was signed.
    const path = `certificates/${world.code}-revision-1.json`
    expect(verifyCopy(closed.text(path), JSON.parse(closed.text('keys.json'))).verdict).toBe('genuine')
    expect(closed.manifest.leftOut).toEqual([])
    expect(closed.text('README.txt')).toContain('Who the customer is was left out')
  })

  it('leaves out what was signed with the customer inside, and says so with its hash', async () => {
    // The system was called by the customer's name before anybody thought of it.
    await cast.run(cast.sam, changeSite, { siteId: world.siteId, customerName: 'Aldermoor sealed' })
    const closed = await packet('?redact=contact')
    expect(faultsOf(closed)).toEqual([])
    for (const [path, text] of await everythingIn(closed))
      expect(text.includes('aldermoor sealed'), path).toBe(false)
    const path = `certificates/${world.code}-revision-1.json`
    const whole = await packet()
    expect(closed.manifest.leftOut).toEqual([
      {
        path,
        bytes: whole.files.get(path)?.byteLength,
        sha256: whole.manifest.files.find((one: { path: string }) => one.path === path).sha256,
        why: 'contact',
      },
    ])
    expect(closed.text('README.txt')).toContain(path)
    // Where the customer stands in an entry of the chain, its hash alone is there, and the chain links all the same.
    const entries = closed
      .text('chain.jsonl')
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line))
    expect(entries.length).toBe(closed.manifest.chain.entries)
    expect(entries.filter(({ withheld }) => withheld === 'contact').length).toBe(
      closed.manifest.chain.withheldEntries,
    )
    await cast.run(cast.sam, changeSite, { siteId: world.siteId, customerName: 'Ida Aldermoor' })
  })

  it('has a superseded certificate too, and says that it is', async () => {
    await cast.run(cast.sam, reopenJob, { jobId: world.jobs.sealed, reason: 'A nut is to be pulled up' })
    const { manifest, text } = await packet()
    const path = `certificates/${world.code}-revision-1.json`
    expect(manifest.files.find((one: { path: string }) => one.path === path).state).toBe('superseded')
    expect(verifyCopy(text(path), JSON.parse(text('keys.json'))).verdict).toBe('genuine')
  })

  it('is put on record each time it is made, by whom and with what left out; its page tells of it', async () => {
    const before = (await made()).length
    const server = await cast.server()
    const url = `/systems/${systemId}/claim-packet`
    const page = await server.inject({ url, headers: asBrowser(cast.olga) })
    expect(page.statusCode).toBe(200)
    expect(page.body).toContain('about 0.')
    expect((await made()).length).toBe(before)
    const zip = await server.inject({ url: `${url}.zip?redact=contact`, headers: asBrowser(cast.olga) })
    expect(faultsOf(unpack(zip.rawPayload))).toEqual([])
    const rows = await made()
    expect(rows.length).toBe(before + 1)
    expect(rows.at(-1)?.member).toBe(cast.olga.memberId)
    expect(JSON.parse(rows.at(-1)?.content ?? '{}')).toMatchObject({
      subject: systemId,
      body: { redacted: ['contact'] },
    })
    // Nor is one made by who only asks for its head.
    for (const head of [`${url}.zip`, `/api/v1${url}`])
      expect(
        (await server.inject({ method: 'HEAD', url: head, headers: asBrowser(cast.olga) })).statusCode,
      ).toBe(404)
    expect((await made()).length).toBe(before + 1)
    const again = await server.inject({ url, headers: asBrowser(cast.olga) })
    expect(again.body).toContain('by Olga, without the customer')
    // A program that may only read may take it, and that goes on record as well.
    await cast.store.store.execute(
      `update tokens set scopes = '["read"]' where member_id = '${cast.wren.memberId}'`,
    )
    expect((await fetchPacket(cast.wren)).statusCode).toBe(200)
    expect((await made()).length).toBe(before + 2)
  })

  it('is explained in the language of who takes it', async () => {
    const server = await cast.server()
    const zip = await server.inject({
      url: `/systems/${systemId}/claim-packet.zip`,
      headers: { ...asBrowser(cast.olga), cookie: `${cast.olga.cookie}; jointkeep_language=es` },
    })
    const opened = unpack(zip.rawPayload)
    expect(opened.manifest.language).toBe('es')
    expect(opened.text('README.txt')).toContain('QUÉ ES CADA ARCHIVO')
    expect(faultsOf(opened)).toEqual([])
  })

  it('is made of a record that was touched too, and shows that it was', async () => {
    await cast.store.store.execute('drop trigger entries_no_update')
    await cast.store.store.execute(
      `update entries set content = 'no JSON, of Ida Aldermoor' where chain_id = '${systemId}' and number = 3`,
    )
    const opened = await packet('', cast.sam)
    expect(faultsOf(opened)).toEqual(['entry 3 was changed'])
    const path = `certificates/${world.code}-revision-1.json`
    expect(opened.manifest.files.find((one: { path: string }) => one.path === path).state).toBe('altered')
    expect(opened.text('README.txt')).toContain('altered')
    const closed = await packet('?redact=contact', cast.sam)
    expect(closed.text('chain.jsonl')).not.toContain('Ida')
    expect(closed.manifest.chain.withheldEntries).toBe(1)
  })
})
