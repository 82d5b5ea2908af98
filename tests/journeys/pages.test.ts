// From a cut tube to a certificate that anyone can check, through the pages with no script, on every kind of store.

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { addEquipmentSheet } from '../../server/commands/places/add-equipment-sheet.ts'
import { aCast, type Cast } from '../support/cast.ts'
import { aJpeg } from '../support/pictures.ts'
import { usualInstruments } from '../support/setups.ts'
import { STORE_KINDS } from '../support/stores.ts'
import { faultsAfterChanging, faultsIn } from '../support/tampering.ts'
import { type FieldValue, type Seen, Visitor } from '../support/visitor.ts'
import {
  CLOSING_CHECK,
  LINE_SET,
  MANAGER,
  OWNER,
  PASSWORD,
  pressureReadings,
  RUNNING,
  SHEET,
  SITE,
  SYSTEM,
  stepsOfJoint,
  TAKES,
  TECHNICIAN,
  TORQUES,
  vacuumReadings,
} from './the-work.ts'

/** A body as a program would send it, as the fields of a form. */
function asFields(body: Record<string, unknown>, path = ''): Record<string, FieldValue> {
  const fields: Record<string, FieldValue> = {}
  for (const [name, value] of Object.entries(body)) {
    const at = path === '' ? name : `${path}.${name}`
    if (typeof value === 'object' && value !== null)
      Object.assign(fields, asFields(value as Record<string, unknown>, at))
    else fields[at] = value as FieldValue
  }
  return fields
}

/** What a form with "All as listed" is sent with: the button, and no answer of its own. */
function split(body: Record<string, unknown>) {
  const { allAsListed, ...rest } = body
  return { fields: asFields(rest), button: allAsListed ? { name: 'allAsListed', value: 'true' } : undefined }
}

const linksOf = (seen: Seen, pattern: RegExp) => [
  ...new Set(
    seen.page
      .querySelectorAll('a')
      .map((link) => link.getAttribute('href') ?? '')
      .filter((href) => pattern.test(href)),
  ),
]

describe.each(STORE_KINDS)('the main job through the pages on %s', (kind) => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast(kind)
  })
  afterAll(() => cast.remove())

  it('carries a heat pump from the first cut to the certificate', async () => {
    const server = await cast.server()
    const owner = new Visitor(server)
    const manager = new Visitor(server)
    const technician = new Visitor(server)

    // A company signs up, and two people join it.
    const home = await owner.send('/sign-up', '/sign-up', { ...OWNER, password: PASSWORD })
    expect(home.url).toBe('/jobs')
    for (const [visitor, person] of [
      [manager, MANAGER],
      [technician, TECHNICIAN],
    ] as const) {
      const made = await owner.send('/invitations', '/invitations', {
        email: person.email,
        role: person.role,
      })
      const link = /\/invitations\/accept\?code=[\w-]+/.exec(made.page.innerHTML)?.[0] ?? ''
      const joined = await visitor.send(link, '/invitations/accept', {
        name: person.name,
        password: PASSWORD,
      })
      expect(joined.url).toBe('/jobs')
    }
    await technician.send('/jobs', '/sign-out')
    const wrong = await technician.send('/sign-in', '/sign-in', {
      email: TECHNICIAN.email,
      password: 'not the password',
    })
    expect(wrong.status).toBeGreaterThanOrEqual(400)
    const back = await technician.send('/sign-in', '/sign-in', {
      email: TECHNICIAN.email,
      password: PASSWORD,
    })
    expect(back.url).toBe('/jobs')

    // The register and the sheet are there already; their own tests fill in those forms.
    const { store } = cast.store
    const [member] = await store.query<{ company_id: string; id: string; person_id: string }>(
      `select m.company_id, m.id, m.person_id from members m join people p on p.id = m.person_id where p.email_lower = '${MANAGER.email}'`,
    )
    const asManager = {
      ...cast.sam,
      companyId: member?.company_id ?? '',
      memberId: member?.id ?? '',
      personId: member?.person_id ?? '',
    }
    const ids = await usualInstruments(cast, { by: asManager })
    const sheet = await cast.run(asManager, addEquipmentSheet, SHEET)

    // The manager opens a job at a site.
    const site = await manager.send('/sites/new', '/sites', SITE)
    const siteId = /\/sites\/([0-9a-f-]{36})/.exec(site.url)?.[1] ?? ''
    const job = await manager.send('/jobs/new', '/jobs', { siteId, kind: 'installation' })
    const jobPath = job.url
    const jobId = jobPath.slice('/jobs/'.length)

    // The technician records it.
    await technician.send(`${jobPath}/systems/new`, `${jobPath}/systems`, {
      ...SYSTEM,
      equipmentSheetId: sheet.id,
    })
    const withSystem = await technician.go(jobPath)
    const [layHref = ''] = linksOf(withSystem, /^\/systems\/[0-9a-f-]+\/line-sets\/new/)
    const systemId = layHref.split('/')[2] ?? ''
    const form = await technician.go(layHref)
    const { liquidOd: _l, gasOd: _g, ...rest } = LINE_SET
    const laid = await technician.send(form, `/systems/${systemId}/line-sets`, asFields(rest))
    expect(laid.url).toBe(jobPath)
    const jointHrefs = linksOf(laid, /^\/joints\//)
    expect(jointHrefs).toHaveLength(7)

    let portHref = ''
    for (const href of jointHrefs) {
      const shown = await technician.go(href)
      if (!shown.page.querySelector('.lead')?.text.includes('· flare')) {
        portHref = href
        continue
      }
      const jointId = href.split('/')[2]?.split('?')[0] ?? ''
      let page = await technician.send(href, `/joints/${jointId}/makes`)
      const lead = page.page.querySelector('.lead')?.text ?? ''
      const place = lead.includes('outdoor end') ? 'outdoor' : 'indoor'
      const line = lead.includes('gas line') ? 'gas' : 'liquid'
      const torque = TORQUES[`${place}-${line}`]
      for (const [step, body] of stepsOfJoint(torque, ids, place === 'indoor')) {
        const action = page.page
          .querySelectorAll('form')
          .map((one) => one.getAttribute('action') ?? '')
          .find((one) => one.endsWith(`/${step}`))
        if (!action) throw new Error(`No form for ${step}: ${page.text}`)
        const { fields, button } = split(body)
        page = await technician.send(page, action, fields, button)
        expect(page.status, page.text).toBe(200)
      }
      expect(page.text).toContain('Every step of this making is recorded.')
      cast.clock.pass(TAKES.joint)
    }

    // Nothing can be submitted while the tests are missing.
    const tooSoon = await technician.go(jobPath)
    expect(tooSoon.text).toContain('Finish what is open above')

    cast.clock.pass(TAKES.pressure)
    let test = await technician.send(
      `/systems/${systemId}/pressure-tests/new?jobId=${jobId}`,
      `/systems/${systemId}/pressure-tests`,
      {
        medium: 'nitrogen',
        gaugeInstrumentId: ids.pressureGauge,
        thermometerInstrumentId: ids.thermometer,
        performedAt: local(cast.clock.now - 80 * 60_000),
      },
    )
    for (const reading of pressureReadings(cast.clock.now))
      test = await technician.send(test, `${test.url}/readings`, readingFields(reading))
    test = await technician.send(test, `${test.url}/conclude`)
    expect(test.text).toMatch(/holds/i)

    cast.clock.pass(TAKES.evacuation)
    let evacuation = await technician.send(
      `/systems/${systemId}/evacuations/new?jobId=${jobId}`,
      `/systems/${systemId}/evacuations`,
      { gaugeInstrumentId: ids.vacuumGauge, performedAt: local(cast.clock.now - 45 * 60_000) },
    )
    for (const reading of vacuumReadings(cast.clock.now))
      evacuation = await technician.send(evacuation, `${evacuation.url}/readings`, readingFields(reading))
    evacuation = await technician.send(evacuation, `${evacuation.url}/conclude`)
    expect(evacuation.text).toMatch(/tight/i)

    cast.clock.pass(TAKES.rest)
    const charge = await technician.send(
      `/systems/${systemId}/charge?jobId=${jobId}`,
      `/systems/${systemId}/charges`,
      { direction: 'factory-released' },
    )
    expect(charge.status, charge.text).toBe(200)
    cast.clock.pass(TAKES.rest)
    const running = await technician.send(
      `/systems/${systemId}/running-checks?jobId=${jobId}`,
      `/systems/${systemId}/running-checks`,
      asFields(RUNNING),
    )
    expect(running.status, running.text).toBe(200)

    cast.clock.pass(TAKES.rest)
    const ports = await technician.send(
      portHref,
      `${jobPath}/steps`,
      { ...CLOSING_CHECK, instrumentId: ids.leakDetector },
      { name: 'allAsListed', value: 'true' },
    )
    expect(ports.status, ports.text).toBe(200)

    // Photos are asked for by the policy that a company begins with; each is taken on the page where it belongs.
    const missing = await technician.go(jobPath)
    expect(missing.text).toContain('Missing: the gauge at the start of the hold')
    for (const [url, heading] of [
      [test.url, 'Gauge at the start of the hold'],
      [test.url, 'Gauge at the end of the hold'],
      [evacuation.url, 'Vacuum gauge at isolation'],
      [evacuation.url, 'Vacuum gauge at the end'],
      [jobPath, 'Plates of the units'],
      [jobPath, 'Indoor joints before they are insulated'],
    ] as const) {
      const added = await technician.attach(await technician.go(url), heading, await aJpeg())
      expect(added.status, added.text).toBe(200)
    }

    const submitted = await technician.send(jobPath, `${jobPath}/submit`)
    expect(submitted.text).toContain('Waiting for audit')

    // The manager signs off; anyone can check the certificate.
    const certificate = await manager.send(jobPath, `${jobPath}/sign-off`)
    expect(certificate.url).toMatch(/^\/certificates\//)
    const [verifyHref = ''] = linksOf(certificate, /\/verify\/[a-z0-9-]+/)
    const anyone = new Visitor(server)
    const checked = await anyone.go(verifyHref.replace(/^https?:\/\/[^/]+/, ''))
    expect(checked.status).toBe(200)
    expect(checked.text).toMatch(/genuine/i)
    expect(checked.page.innerHTML).not.toContain('Lantern Row')

    expect(await faultsIn(cast)).toEqual([])
    const faults = await faultsAfterChanging(cast, '"readingNm":38.4')
    expect(faults.map((fault) => fault.what).join()).toMatch(/steps .* was changed/)
  })
})

const local = (at: number) => new Date(at).toISOString().slice(0, 16)

/** One reading as the reading form has it. */
function readingFields({
  at,
  ...reading
}: { at: string } & Record<string, unknown>): Record<string, FieldValue> {
  const fields = asFields({ ...reading, at: local(Date.parse(at)) })
  return Object.fromEntries(Object.entries(fields).map(([name, value]) => [`readings.0.${name}`, value]))
}
