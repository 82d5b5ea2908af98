// Line sets over both faces: laid with their joints, kept as typed, changed while that can still be honest.

import { parse } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { addEquipmentSheet } from '../../server/commands/places/add-equipment-sheet.ts'
import { addLineSet } from '../../server/commands/places/add-line-set.ts'
import { addSystem } from '../../server/commands/places/add-system.ts'
import { newId } from '../../server/ids.ts'
import { aCast, type Cast } from '../support/cast.ts'
import { aJobAtASite, inches, metres, SHEET, type SingleZone, singleZone } from '../support/setups.ts'
import { twoFaces } from '../support/two-faces.ts'

let cast: Cast
let faces: Awaited<ReturnType<typeof twoFaces>>
let jobId: string
let zone: SingleZone
beforeAll(async () => {
  cast = await aCast()
  faces = await twoFaces(cast)
  jobId = (await aJobAtASite(cast)).jobId
  zone = await singleZone(cast, { jobId })
  cast.clock.pass(60_000)
})
afterAll(() => cast.remove())

const LINE = {
  name: 'Kitchen',
  indoorModel: 'LS-25',
  indoorSerial: 'K-9',
  liquidOd: inches(0.25),
  gasOd: { value: 12.7, unit: 'mm' },
  length: { value: 31, unit: 'ft' },
  tubing: 'new',
  jointKind: 'flare',
}
const lay = (change: object = {}, player = cast.tess) =>
  faces.post(player, `/systems/${zone.systemId}/line-sets`, { ...LINE, ...change })
const patch = (id: string, payload: object, player = cast.tess) =>
  faces.server.inject({
    method: 'PATCH',
    url: `/api/v1/line-sets/${id}`,
    headers: { authorization: `Bearer ${player.token}` },
    payload,
  })

describe('a line set', () => {
  it('lays out four joints with ports and caps, makes its indoor unit, and belongs to the one open job', async () => {
    const answer = await lay()
    expect(answer.statusCode).toBe(201)
    const line = answer.json()
    expect(line).toMatchObject({
      jobId,
      fromUnitId: zone.outdoorUnitId,
      liquidOd: { value: 0.25, unit: 'in' },
      gasOd: { value: 12.7, unit: 'mm' },
      length: { value: 31, unit: 'ft' },
      rise: null,
      room: null,
    })
    expect(line.joints.map((joint: { tag: string; place: string }) => [joint.tag, joint.place])).toEqual([
      ['NR1-8', 'outdoor-liquid'],
      ['NR1-9', 'outdoor-gas'],
      ['NR1-10', 'indoor-liquid'],
      ['NR1-11', 'indoor-gas'],
      ['NR1-12', 'outdoor-liquid-cap'],
      ['NR1-13', 'outdoor-gas-cap'],
      ['NR1-14', 'outdoor-gas-port'],
    ])
    const system = (await faces.get(cast.tess, `/systems/${zone.systemId}`)).json()
    expect(system.units.find((unit: { id: string }) => unit.id === line.toUnitId)).toMatchObject({
      role: 'indoor',
      name: 'Kitchen',
      serial: 'K-9',
    })
    expect((await faces.get(cast.wren, `/line-sets/${line.id}`)).json()).toEqual(line)
  })

  it('answers a repeat with the first result and lays nothing twice', async () => {
    const id = newId()
    const first = await lay({ id })
    const before = await faces.entries()
    const second = await lay({ id })
    expect([first.statusCode, second.statusCode]).toEqual([201, 200])
    expect(second.json()).toEqual(first.json())
    expect(await faces.entries()).toBe(before)
  })

  it('runs to a branch box and on from it; an end there is indoors unless it is said to be outside', async () => {
    const unit = async (role: string, serial: string) =>
      (await faces.post(cast.tess, `/systems/${zone.systemId}/units`, { role, model: 'M', serial })).json().id
    const branch = await unit('branch', 'B-1')
    const indoor = await unit('indoor', 'I-1')
    const named = { indoorModel: undefined, indoorSerial: undefined }
    const main = (await lay({ ...named, name: 'Main', toUnitId: branch, jointKind: 'brazed' })).json()
    const indoors = (line: { joints: { indoors: boolean }[] }) => line.joints.map((joint) => joint.indoors)
    expect(indoors(main)).toEqual([false, false, true, true, false, false, false])
    const outside = (
      await lay({ ...named, name: 'Roof', toUnitId: branch, jointKind: 'brazed', branchIndoors: false })
    ).json()
    expect(indoors(outside)).toEqual(Array(7).fill(false))
    expect(main.joints[2]).toMatchObject({ kind: 'brazed', origin: 'field', unitId: branch })
    const study = (await lay({ ...named, name: 'Study', fromUnitId: branch, toUnitId: indoor })).json()
    expect(study.joints.map((joint: { unitId: string }) => joint.unitId)).toEqual([
      branch,
      branch,
      indoor,
      indoor,
    ])
  })

  it('may come flared from the factory, or with ends that were there before; fittings stay the unit’s', async () => {
    const origins = async (jointOrigin: string) =>
      (await lay({ jointOrigin })).json().joints.map((joint: { origin: string }) => joint.origin)
    expect(await origins('factory')).toEqual(Array(7).fill('factory'))
    expect(await origins('existing')).toEqual([...Array(4).fill('existing'), ...Array(3).fill('factory')])
    const refused = await lay({ jointOrigin: 'home-made' })
    expect(refused.json().errors[0]).toMatchObject({ path: 'jointOrigin' })
  })

  it('is told on its page where the ends come from, and where a branch unit is', async () => {
    await faces.post(cast.tess, `/systems/${zone.systemId}/units`, {
      role: 'branch',
      model: 'BX',
      serial: 'B-9',
    })
    const page = parse((await faces.look(cast.tess, `/systems/${zone.systemId}/line-sets/new`)).body)
    expect(page.querySelectorAll('select[name="jointOrigin"] option').length).toBe(3)
    const branch = (await faces.get(cast.tess, `/systems/${zone.systemId}`)).json().units.at(-1)
    const sent = await faces.send(cast.tess, `/systems/${zone.systemId}/line-sets`, {
      name: 'Loft',
      jobId,
      toUnitId: branch.id,
      liquidOd: '0.25 in',
      gasOd: '0.375 in',
      'length.value': '4',
      'length.unit': 'm',
      tubing: 'new',
      jointKind: 'flare',
      jointOrigin: 'factory',
      'branchIndoors?': 'no',
    })
    expect(sent.statusCode).toBe(303)
    const { joints } = (await faces.get(cast.tess, `/systems/${zone.systemId}`)).json()
    expect(joints.slice(-7, -3)).toMatchObject(Array(4).fill({ origin: 'factory', indoors: false }))
  })

  it('keeps a room in full or in its short form, never both', async () => {
    const short = (await lay({ roomFloorArea: { value: 240, unit: 'sq.ft' }, mounting: 'wall' })).json()
    expect(short.room).toMatchObject({
      floorArea: { value: 240, unit: 'sq.ft' },
      mounting: 'wall',
      method: 'unventilated',
      measured: false,
    })
    const room = {
      floorArea: { value: 18, unit: 'm2' },
      releaseHeight: metres(2.1),
      method: 'sheet-table',
      document: 'Manual',
      page: '31',
      measured: true,
    }
    const whole = (await lay({ room })).json()
    expect(whole.room).toEqual({ ...room, mounting: null })
    const both = await lay({ room, roomFloorArea: { value: 18, unit: 'm2' } })
    expect([both.statusCode, both.json().errors[0].path]).toEqual([400, 'room'])
  })

  it('is laid on the job that is named, and on none that has not its system', async () => {
    const other = (await aJobAtASite(cast)).jobId
    const elsewhere = await lay({ jobId: other })
    expect([elsewhere.statusCode, elsewhere.json().code]).toEqual([409, 'not-on-this-job'])
    const nowhere = await lay({ jobId: newId() })
    expect([nowhere.statusCode, nowhere.json().errors[0].path]).toEqual([404, 'jobId'])
  })

  it.each([
    ['no name', { name: undefined }, 'name', 400],
    ['no length', { length: undefined }, 'length', 400],
    ['a negative length', { length: metres(-3) }, 'length.value', 400],
    ['an absurd length', { length: metres(9000) }, 'length.value', 400],
    ['a length in kilograms', { length: { value: 6, unit: 'kg' } }, 'length.unit', 400],
    ['a length in words', { length: { value: 'six', unit: 'm' } }, 'length.value', 400],
    ['a tube of no size', { liquidOd: inches(0) }, 'liquidOd.value', 400],
    ['a tube like a drum', { gasOd: inches(16) }, 'gasOd.value', 400],
    ['unknown tubing', { tubing: 'borrowed' }, 'tubing', 400],
    ['an unknown joint kind', { jointKind: 'glued' }, 'jointKind', 400],
    ['a kind that no line set is laid with', { jointKind: 'valve-cap' }, 'jointKind', 400],
    ['a model without a serial', { indoorSerial: undefined }, 'indoorSerial', 400],
    ['two indoor ends', { toUnitId: newId() }, 'toUnitId', 400],
    [
      'a unit that is not there',
      { indoorModel: undefined, indoorSerial: undefined, toUnitId: newId() },
      'toUnitId',
      404,
    ],
    ['a start that is not there', { fromUnitId: newId() }, 'fromUnitId', 404],
    ['a mounting without an area', { mounting: 'wall' }, 'roomFloorArea', 400],
    ['a room without a method', { room: { floorArea: { value: 18, unit: 'm2' } } }, 'room.method', 400],
    ['a negative room', { roomFloorArea: { value: -4, unit: 'm2' } }, 'roomFloorArea.value', 400],
    ['a field that is not known', { slope: 3 }, 'slope', 400],
  ])('is refused with %s, and nothing is written', async (_what, change, path, status) => {
    const before = await faces.entries()
    const answer = await lay(change)
    expect(answer.statusCode).toBe(status)
    expect(answer.json().errors.map((error: { path: string }) => error.path)).toContain(path)
    expect(await faces.entries()).toBe(before)
  })
})

describe('a change', () => {
  it('corrects length, rise and room; what is not named stays, null takes away', async () => {
    const line = (await lay({ rise: metres(2), roomFloorArea: { value: 20, unit: 'm2' } })).json()
    const changed = (await patch(line.id, { length: metres(8.2), rise: null })).json()
    expect(changed).toMatchObject({
      name: 'Kitchen',
      length: { value: 8.2, unit: 'm' },
      rise: null,
      gasOd: { value: 12.7, unit: 'mm' },
      room: { floorArea: { value: 20, unit: 'm2' } },
    })
    expect((await patch(line.id, { room: null })).json().room).toBeNull()
    expect((await patch(line.id, { length: metres(-1) })).json().errors[0].path).toBe('length.value')
  })

  it('corrects the sizes, with those of its joints, until work on them has begun', async () => {
    const line = (await lay()).json()
    const changed = (await patch(line.id, { gasOd: inches(0.375), jointKind: 'press' })).json()
    expect(
      changed.joints.map((joint: { kind: string; tubeOd: { value: number; unit: string } }) => [
        joint.kind,
        joint.tubeOd,
      ]),
    ).toEqual([
      ['press', inches(0.25)],
      ['press', inches(0.375)],
      ['press', inches(0.25)],
      ['press', inches(0.375)],
      ['valve-cap', inches(0.25)],
      ['valve-cap', inches(0.375)],
      ['service-port', inches(0.375)],
    ])
    const begun = await faces.post(cast.tess, `/joints/${line.joints[0].id}/makes`, { jobId })
    expect(begun.statusCode).toBe(201)
    const before = await faces.entries()
    const late = await patch(line.id, { liquidOd: inches(0.375) })
    expect([late.statusCode, late.json().code]).toEqual([409, 'line-set-begun'])
    expect(await faces.entries()).toBe(before)
    expect((await patch(line.id, { length: metres(5) })).statusCode).toBe(200)
  })

  it('names the unit it runs to once, and its joints with it', async () => {
    const line = (await lay({ indoorModel: undefined, indoorSerial: undefined })).json()
    expect(line.toUnitId).toBeNull()
    const unit = (
      await faces.post(cast.tess, `/systems/${zone.systemId}/units`, {
        role: 'indoor',
        model: 'M',
        serial: 'late',
      })
    ).json()
    const changed = (await patch(line.id, { toUnitId: unit.id })).json()
    expect(changed.toUnitId).toBe(unit.id)
    expect(changed.joints.slice(2, 4).map((joint: { unitId: string }) => joint.unitId)).toEqual([
      unit.id,
      unit.id,
    ])
    const again = await patch(line.id, { toUnitId: zone.indoorUnitId })
    expect([again.statusCode, again.json().code]).toEqual([409, 'unit-known'])
  })
})

describe('who may', () => {
  it('keeps the warranty desk from writing, and shows a stranger nothing', async () => {
    expect((await faces.post(null, `/systems/${zone.systemId}/line-sets`, LINE)).statusCode).toBe(401)
    expect((await lay({}, cast.wren)).statusCode).toBe(403)
    expect((await patch(zone.lineSetId, { name: 'x' }, cast.wren)).statusCode).toBe(403)
    expect((await lay({}, cast.zoe)).statusCode).toBe(404)
    expect((await patch(zone.lineSetId, { name: 'x' }, cast.zoe)).statusCode).toBe(404)
    expect((await faces.get(cast.zoe, `/line-sets/${zone.lineSetId}`)).statusCode).toBe(404)
    for (const url of [`/systems/${zone.systemId}/line-sets/new`, `/line-sets/${zone.lineSetId}/edit`])
      expect((await faces.look(cast.zoe, url)).statusCode).toBe(404)
  })
})

describe('a browser', () => {
  it('lays one with what stands in the form and a name and a length', async () => {
    const page = parse((await faces.look(cast.tess, `/systems/${zone.systemId}/line-sets/new`)).body)
    const value = (name: string) => page.querySelector(`[name="${name}"]`)?.getAttribute('value') ?? ''
    const chosen = (name: string) =>
      page.querySelector(`select[name="${name}"] option[selected]`)?.getAttribute('value') ?? ''
    expect(value('jobId')).toBe(jobId)
    const answer = await faces.send(cast.tess, `/systems/${zone.systemId}/line-sets`, {
      id: value('id'),
      jobId: value('jobId'),
      name: 'Bedroom',
      indoorModel: '',
      indoorSerial: '',
      liquidOd: chosen('liquidOd'),
      gasOd: chosen('gasOd'),
      'length.value': '4,5',
      'length.unit': 'm',
      jointKind: chosen('jointKind'),
      tubing: page.querySelector('input[name=tubing][checked]')?.getAttribute('value') ?? '',
      'roomFloorArea.value': '',
      'roomFloorArea.unit': 'm2',
      mounting: '',
    })
    expect([answer.statusCode, answer.headers.location]).toEqual([303, `/jobs/${jobId}`])
    const line = (await faces.get(cast.tess, `/line-sets/${value('id')}`)).json()
    expect(line).toMatchObject({
      liquidOd: { value: 0.25, unit: 'in' },
      // As on the line set before it.
      gasOd: { value: 0.5, unit: 'in' },
      length: { value: 4.5, unit: 'm' },
      tubing: 'new',
      jointKind: 'flare',
    })
    expect(line.joints).toHaveLength(7)
  })

  it('offers the sizes of the line set before, else those of the sheet, else the most usual ones', async () => {
    const offered = async (systemId: string) => {
      const page = parse((await faces.look(cast.tess, `/systems/${systemId}/line-sets/new`)).body)
      const chosen = (name: string) =>
        page.querySelector(`select[name=${name}] option[selected]`)?.getAttribute('value')
      return [chosen('liquidOd'), chosen('gasOd'), /Sizes as ([^.]*)\./.exec(page.text)?.[1] ?? null]
    }
    const half = { tubeOd: inches(0.5), low: 49, high: 61, unit: 'N.m' as const }
    const three = { tubeOd: inches(0.375), low: 34, high: 42, unit: 'N.m' as const }
    const quarter = { tubeOd: inches(0.25), low: 14, high: 18, unit: 'N.m' as const }
    const system = async (torque: (typeof half)[] | null) => {
      const equipmentSheetId = torque
        ? (await cast.run(cast.tess, addEquipmentSheet, { ...SHEET, torque, flareDiameter: [] })).id
        : undefined
      const added = await cast.run(cast.tess, addSystem, {
        jobId,
        name: 'Sizes',
        refrigerant: 'R-32',
        ...(equipmentSheetId ? { equipmentSheetId } : {}),
      })
      return added.system.id
    }
    expect(await offered(await system(null))).toEqual(['0.25 in', '0.375 in', null])
    const known = await system([quarter, half])
    expect(await offered(known)).toEqual(['0.25 in', '0.5 in', 'on the sheet of Larkspur LS-35 single'])
    // A sheet of a unit for many rooms names many sizes: which pair it is here, it does not say.
    expect(await offered(await system([quarter, three, half]))).toEqual(['0.25 in', '0.375 in', null])
    await cast.run(cast.tess, addLineSet, {
      systemId: known,
      jobId,
      name: 'Loft',
      liquidOd: inches(0.375),
      gasOd: inches(0.625),
      length: metres(4),
      tubing: 'new',
      jointKind: 'flare',
    })
    expect(await offered(known)).toEqual(['0.375 in', '0.625 in', 'on Loft'])
  })

  it('asks for the room only where the refrigerant can burn', async () => {
    const look = async (refrigerant: string) => {
      const { id } = (
        await faces.post(cast.tess, `/jobs/${jobId}/systems`, { name: refrigerant, refrigerant })
      ).json()
      return parse((await faces.look(cast.tess, `/systems/${id}/line-sets/new`)).body)
    }
    expect((await look('R-290')).querySelector('[name="roomFloorArea.value"]')).not.toBeNull()
    expect((await look('R-410A')).querySelector('[name="roomFloorArea.value"]')).toBeNull()
  })

  it('keeps the form filled, with the message beside the field', async () => {
    const answer = await faces.send(cast.tess, `/systems/${zone.systemId}/line-sets`, {
      id: newId(),
      name: 'Bedroom',
      liquidOd: '0.375 in',
      gasOd: '0.625 in',
      'length.value': '-4',
      'length.unit': 'm',
      jointKind: 'brazed',
      tubing: 'reused',
    })
    expect(answer.statusCode).toBe(400)
    const page = parse(answer.body)
    expect(page.querySelector('[name="length.value"]')?.getAttribute('value')).toBe('-4')
    expect(page.querySelector('[name="length.value"]')?.getAttribute('aria-invalid')).toBe('true')
    expect(page.querySelector('select[name=gasOd] option[selected]')?.text).toBe('5/8 in')
    expect(page.querySelector('input[name=tubing][checked]')?.getAttribute('value')).toBe('reused')
  })

  it('changes one by its form; an emptied field was taken away', async () => {
    const line = (await lay({ rise: metres(2), roomFloorArea: { value: 20, unit: 'm2' } })).json()
    const page = parse((await faces.look(cast.tess, `/line-sets/${line.id}/edit`)).body)
    expect(page.querySelector('select[name=gasOd] option[selected]')?.text).toBe('1/2 in')
    const answer = await faces.send(cast.tess, `/line-sets/${line.id}`, {
      name: 'Kitchen, north',
      liquidOd: '0.25 in',
      gasOd: '0.5 in',
      jointKind: 'flare',
      'length.value': '9.4',
      'length.unit': 'm',
      tubing: 'new',
      'rise.value': '',
      'rise.unit': 'm',
      'tubeWall.value': '0.8',
      'tubeWall.unit': 'mm',
      previousRefrigerant: '',
      cleaning: '',
      'room.floorArea.value': '21',
      'room.floorArea.unit': 'm2',
      'room.measured?': 'yes',
      'room.mounting': 'ceiling',
      'room.releaseHeight.value': '',
      'room.releaseHeight.unit': 'm',
      'room.method': 'unventilated',
      'room.document': '',
      'room.page': '',
    })
    expect([answer.statusCode, answer.headers.location]).toEqual([303, `/systems/${zone.systemId}`])
    expect((await faces.get(cast.tess, `/line-sets/${line.id}`)).json()).toMatchObject({
      name: 'Kitchen, north',
      rise: null,
      tubeWall: { value: 0.8, unit: 'mm' },
      room: { floorArea: { value: 21, unit: 'm2' }, measured: true, mounting: 'ceiling' },
    })
  })
})
