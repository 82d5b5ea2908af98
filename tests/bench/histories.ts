// How do a hundred companies with a million joints come to stand in a database? Facts, seals and chains as the commands write
// them, many systems in one transaction; callbacks through the commands themselves. The same for the same seed.
//
// Reduced, since a million joints told in full are thirty million rows: of each joint its making, flare and torque, of each
// job its opening and sign-off. No section tests, photos or certificates, and a site for every five systems.

import { type Random, randomOf } from '../../seed/random.ts'
import type { Actor } from '../../server/access/actor.ts'
import { closeCallback } from '../../server/commands/callbacks/close-callback.ts'
import { openCallback } from '../../server/commands/callbacks/open-callback.ts'
import { type Machinery, runCommand } from '../../server/commands/command.ts'
import { createOwner } from '../../server/commands/people/create-owner.ts'
import { appendEntry, appendFact, type FactSeal, startChain } from '../../server/store/record.ts'
import { rebuildRollups } from '../../server/store/rollups.ts'
import { type Scope, scopeOf } from '../../server/store/store.ts'
import { CREW, MODELS, type PastSystem, pastYears, TOOLS, WRENCHES } from '../support/histories.ts'
import { PASSWORD } from './prepare.ts'

const SYSTEMS_AT_ONCE = 200
const SYSTEMS_OF_A_SITE = 5

export interface WrittenCompany {
  actor: Actor
  joints: number
  callbacks: number
  /** Some of them, to be looked at. */
  jointIds: string[]
  rows: number
  /** Seconds for the facts, for the sums, and for the callbacks through the commands. */
  seconds: { facts: number; sums: number; callbacks: number }
}

/** Names that only depend on the seed, in the shape of those that the service makes. */
function namesOf(random: Random): (at: number) => string {
  const hex = (digits: number) =>
    Math.floor(random.next() * 16 ** digits)
      .toString(16)
      .padStart(digits, '0')
  return (at) => {
    const time = Math.floor(at).toString(16).padStart(12, '0')
    return `${time.slice(0, 8)}-${time.slice(8)}-7${hex(3)}-8${hex(3)}-${hex(12)}`
  }
}

export async function writeCompany(
  machinery: Machinery & { setClock(at: number): void },
  options: { number: number; joints: number; now: number },
): Promise<WrittenCompany> {
  const { store } = machinery
  const { number, now } = options
  machinery.setClock(now - 9 * 365.25 * 86_400_000)
  const owner = await createOwner(machinery, {
    companyName: `Company ${number}`,
    name: 'Ottilie Marsh',
    email: `owner${number}@histories.example`,
    password: PASSWORD,
  })
  const actor: Actor = {
    personId: owner.personId,
    memberId: owner.memberId,
    companyId: owner.companyId,
    companyName: `Company ${number}`,
    name: 'Ottilie Marsh',
    role: 'owner',
    scopes: ['read', 'write'],
    via: 'session',
  }
  const past = pastYears({
    seed: 7000 + number,
    joints: options.joints,
    now,
    // Every second company has something to find.
    planted: number % 2 === 0 ? { cause: 'tool', ratio: 5 } : undefined,
  })
  const random = randomOf(91_000 + number)
  const name = namesOf(random)
  const written: WrittenCompany = {
    actor,
    joints: 0,
    callbacks: 0,
    jointIds: [],
    rows: 0,
    seconds: { facts: 0, sums: 0, callbacks: 0 },
  }
  const toCallBack: { systemId: string; at: number; jointIds: string[] }[] = []
  let from = performance.now()
  const crew = await store.transaction(async (session) => people(scopeOf(session, owner.companyId), name))
  for (let start = 0; start < past.systems.length; start += SYSTEMS_AT_ONCE)
    await store.transaction(async (session) => {
      const scope = scopeOf(session, owner.companyId)
      let siteId = ''
      for (const [index, system] of past.systems.slice(start, start + SYSTEMS_AT_ONCE).entries()) {
        if (index % SYSTEMS_OF_A_SITE === 0) {
          siteId = name(system.madeAt)
          await scope.db.insert(scope.t.sites).values({
            companyId: owner.companyId,
            id: siteId,
            customerName: `Customer ${start + index}`,
            address: `${start + index} Lantern Row, Brackwater`,
            town: 'Brackwater',
            contact: null,
            elevationM: null,
            searchText: '',
            salt: 'salt',
            createdAt: system.madeAt,
          })
        }
        const made = await writeSystem(scope, {
          system,
          siteId,
          number: start + index,
          crew,
          name,
          random,
          actor,
        })
        written.rows += made.rows
        written.joints += made.jointIds.length
        if ((start + index) % 40 === 0) written.jointIds.push(...made.jointIds.slice(0, 1))
        for (const { at, joints } of system.callbacks)
          toCallBack.push({
            systemId: made.systemId,
            at,
            jointIds: joints.flatMap((one) => made.jointIds[one] ?? []),
          })
      }
    })
  written.seconds.facts = (performance.now() - from) / 1000

  from = performance.now()
  await rebuildRollups(store, owner.companyId, now)
  written.seconds.sums = (performance.now() - from) / 1000

  from = performance.now()
  for (const { systemId, at, jointIds } of toCallBack.sort((a, b) => a.at - b.at)) {
    machinery.setClock(at)
    const call = { actor, idempotencyKey: name(at) }
    const { result } = await runCommand(machinery, openCallback, { systemId, symptom: 'No cooling' }, call)
    machinery.setClock(at + 2)
    await runCommand(
      machinery,
      closeCallback,
      {
        callbackId: result.id,
        outcome: 'found',
        found: jointIds.map((jointId) => ({
          part: 'joint',
          jointId,
          method: 'bubble',
          cause: CAUSES[random.whole(0, CAUSES.length - 1)] ?? 'unknown',
        })),
      },
      { actor, idempotencyKey: name(at) },
    )
    written.callbacks += 1
    // Two entries, two keys, a callback, a finding; the sums beside.
    written.rows += 6
  }
  written.seconds.callbacks = (performance.now() - from) / 1000
  machinery.setClock(now)
  return written
}

const CAUSES = ['burr', 'short-flare', 'crack', 'over-torque', 'under-torque', 'misaligned', 'unknown']

interface Crew {
  persons: string[]
  tools: string[]
  wrenches: string[]
}

async function people({ db, t, companyId }: Scope, name: (at: number) => string): Promise<Crew> {
  const at = 1_000_000_000_000
  const crew = Array.from({ length: CREW }, (_, index) => ({
    companyId,
    id: name(at),
    name: `Technician ${index}`,
    memberId: null,
    credentials: [],
    salt: 'salt',
    active: true,
    createdAt: at,
  }))
  await db.insert(t.crew).values(crew)
  const instruments = (kind: 'flaring-tool' | 'torque-wrench', count: number) =>
    Array.from({ length: count }, (_, index) => ({
      companyId,
      id: name(at),
      kind,
      name: `${kind === 'flaring-tool' ? 'Flaring tool' : 'Wrench'} ${index}`,
      serial: `${kind}-${index}`,
      serialLower: `${kind}-${index}`,
      accuracyPercent: 4,
      accuracyAbsolute: null,
      resolution: null,
      repeatability: null,
      fullScale: null,
      compound: false,
      calibrationIntervalDays: null,
      typed: {},
      active: true,
      createdAt: at,
    }))
  const tools = instruments('flaring-tool', TOOLS)
  const wrenches = instruments('torque-wrench', WRENCHES)
  await db.insert(t.instruments).values([...tools, ...wrenches])
  const ids = (rows: { id: string }[]) => rows.map(({ id }) => id)
  return { persons: ids(crew), tools: ids(tools), wrenches: ids(wrenches) }
}

async function writeSystem(
  scope: Scope,
  given: {
    system: PastSystem
    siteId: string
    number: number
    crew: Crew
    name: (at: number) => string
    random: Random
    actor: Actor
  },
): Promise<{ systemId: string; jointIds: string[]; rows: number }> {
  const { system, siteId, number, crew, name, random, actor } = given
  const { db, t, companyId } = scope
  const { madeAt, signedOffAt } = system
  const systemId = name(madeAt)
  const jobId = name(madeAt)
  const unitId = name(madeAt)
  const tagPrefix = `S${number}`
  await db.insert(t.systems).values({
    companyId,
    id: systemId,
    siteId,
    name: `System ${number}`,
    tagPrefix,
    refrigerant: system.refrigerant,
    equipmentSheetId: null,
    createdAt: madeAt,
  })
  await startChain(scope, systemId, 'system')
  const serial = `U-${number}-${random.whole(1000, 9999)}`
  await db.insert(t.units).values({
    companyId,
    id: unitId,
    systemId,
    role: 'outdoor',
    name: 'Outdoor unit',
    model: `Model ${system.model % MODELS}`,
    serial,
    serialLower: serial.toLowerCase(),
    equipmentSheetId: null,
    replacesUnitId: null,
    installedAt: madeAt,
    warrantyStartAt: madeAt,
    warrantyEndAt: null,
    registeredWithMaker: false,
    createdAt: madeAt,
  })
  await db.insert(t.jobs).values({
    companyId,
    id: jobId,
    siteId,
    kind: 'installation',
    reference: `J-${number}`,
    referenceLower: `j-${number}`,
    stage: 'sealed',
    stageAt: signedOffAt,
    assignedTo: null,
    scheduledFor: null,
    callbackId: null,
    tools: null,
    openedAt: madeAt,
  })
  await db.insert(t.jobSystems).values({ companyId, jobId, systemId })
  const joints = system.joints.map(({ place, line, tubeOdM }, index) => ({
    companyId,
    id: name(madeAt),
    systemId,
    lineSetId: null,
    unitId: place.startsWith('outdoor') ? unitId : null,
    number: index + 1,
    tag: `${tagPrefix}-${index + 1}`,
    tagLower: `${tagPrefix}-${index + 1}`.toLowerCase(),
    place,
    indoors: place.startsWith('indoor'),
    line,
    tubeOdM,
    kind: 'flare' as const,
    origin: 'field' as const,
    createdAt: madeAt,
    typed: null,
  }))
  await db.insert(t.joints).values(joints)
  const person = crew.persons[system.technician] ?? ''
  const by = {
    performedBy: person,
    supervisedBy: null,
    witnessedBy: null,
    performedAt: madeAt,
    recordedBy: actor.memberId,
    recordedAt: madeAt,
    deviceAt: null,
  }
  const event = (number: number, event: 'opened' | 'signed-off', at: number) =>
    appendFact(scope, 'jobEvents', {
      companyId,
      id: name(at),
      jobId,
      number,
      event,
      memberId: actor.memberId,
      at,
      detail: {},
    })
  const seals: FactSeal[] = [await event(1, 'opened', madeAt)]
  for (const { id: jointId, tubeOdM } of joints) {
    const makeId = name(madeAt)
    seals.push(
      await appendFact(scope, 'makes', {
        companyId,
        id: makeId,
        jointId,
        jobId,
        number: 1,
        reason: null,
        ...by,
      }),
    )
    const step = (kind: 'flare' | 'torque', instrumentId: string, body: object) =>
      appendFact(scope, 'steps', {
        companyId,
        id: name(madeAt),
        systemId,
        jointId,
        makeId,
        jobId,
        kind,
        body: { instrumentId, ...body } as never,
        typed: {},
        instrumentId,
        correctsId: null,
        ...by,
      })
    const tool = crew.tools[system.tool] ?? ''
    const wrench = crew.wrenches[system.wrench] ?? ''
    seals.push(
      await step('flare', tool, {
        method: system.tool % 2 ? 'powered' : 'manual-clutch',
        depthStopUsed: true,
        projectionM: null,
      }),
      await step('torque', wrench, {
        indication: 'read',
        readingNm: (tubeOdM < 0.008 ? 16 : 38) + random.normal(0.8),
        adapter: null,
        turnDegrees: null,
        reason: null,
        witnessMark: true,
        circuitState: 'empty',
      }),
    )
  }
  const stamp = (now: number) => ({ now, deviceAt: null, memberId: actor.memberId })
  await appendEntry(
    scope,
    { chainId: systemId, kind: 'job-told', subjectId: jobId, jobId, facts: seals },
    stamp(madeAt),
  )
  await appendEntry(
    scope,
    {
      chainId: systemId,
      kind: 'job-signed-off',
      subjectId: jobId,
      jobId,
      facts: [await event(2, 'signed-off', signedOffAt)],
    },
    stamp(signedOffAt),
  )
  return {
    systemId,
    jointIds: joints.map(({ id }) => id),
    // System, chain, unit, job, its link, two events, two entries; and each joint with its making and two steps.
    rows: 9 + joints.length * 4,
  }
}
