// What is there to be found in a company? One whole world of things, each at the stage where its next command is due.

import { newAuthenticatorSecret } from '../../server/access/one-time-codes.ts'
import { newRecoveryCodes, recoveryHash } from '../../server/access/recovery-codes.ts'
import { TOKEN_PREFIX } from '../../server/access/tokens.ts'
import { answerQuestion } from '../../server/commands/audit/answer-question.ts'
import { askQuestion } from '../../server/commands/audit/ask-question.ts'
import { markAudited } from '../../server/commands/audit/mark-audited.ts'
import { closeCallback } from '../../server/commands/callbacks/close-callback.ts'
import { openCallback } from '../../server/commands/callbacks/open-callback.ts'
import { recordCharge } from '../../server/commands/charging/record-charge.ts'
import { recordRunningCheck } from '../../server/commands/charging/record-running-check.ts'
import type { Command } from '../../server/commands/command.ts'
import { correctFact } from '../../server/commands/corrections/correct-fact.ts'
import { openFollowUps } from '../../server/commands/follow-ups/open-follow-ups.ts'
import { addInstrument } from '../../server/commands/instruments/add-instrument.ts'
import { countUsesByHand } from '../../server/commands/instruments/count-uses.ts'
import { recordCalibration } from '../../server/commands/instruments/record-calibration.ts'
import { openJob } from '../../server/commands/jobs/open-job.ts'
import {
  recordAssembly,
  recordClosing,
  recordFlare,
  recordInspection,
  recordLeakCheck,
  recordPreparation,
  recordTorque,
} from '../../server/commands/joints/record-steps.ts'
import { startMake } from '../../server/commands/joints/start-make.ts'
import { addCrewPerson } from '../../server/commands/people/add-crew-person.ts'
import { sealedFor } from '../../server/commands/people/check-code.ts'
import { createToken } from '../../server/commands/people/create-token.ts'
import { invitePerson } from '../../server/commands/people/invite-person.ts'
import { attachPhoto } from '../../server/commands/photos/attach-photo.ts'
import { addEquipmentSheet } from '../../server/commands/places/add-equipment-sheet.ts'
import { addJoint } from '../../server/commands/places/add-joint.ts'
import { addLineSet } from '../../server/commands/places/add-line-set.ts'
import { addSite } from '../../server/commands/places/add-site.ts'
import { addSystem } from '../../server/commands/places/add-system.ts'
import { addUnit } from '../../server/commands/places/add-unit.ts'
import { changeLineSet } from '../../server/commands/places/change-line-set.ts'
import { openRecall } from '../../server/commands/recalls/open-recall.ts'
import { signOffJob } from '../../server/commands/release/sign-off-job.ts'
import { submitJob } from '../../server/commands/release/submit-job.ts'
import { concludeEvacuation, concludePressureTest } from '../../server/commands/section-tests/conclude.ts'
import { recordVacuumLog } from '../../server/commands/section-tests/record-log.ts'
import {
  recordPressureReadings,
  recordVacuumReadings,
} from '../../server/commands/section-tests/record-readings.ts'
import { startEvacuation } from '../../server/commands/section-tests/start-evacuation.ts'
import { startPressureTest } from '../../server/commands/section-tests/start-pressure-test.ts'
import { registerWebhook } from '../../server/commands/webhooks/register-webhook.ts'
import { sendTestMessage } from '../../server/commands/webhooks/send-test-message.ts'
import { newId, newSecret, sha256 } from '../../server/ids.ts'
import { evaluate } from '../../server/rules/index.ts'
import { loadDossier } from '../../server/store/queries/dossier.ts'
import { keepProvider } from '../../server/store/queries/identity-providers.ts'
import { addWaitingSignIn, replaceRecoveryCodes } from '../../server/store/queries/second-step.ts'
import { addSignIn } from '../../server/store/queries/sign-ins.ts'
import { scopeOf } from '../../server/store/store.ts'
import type { JointKind, Role } from '../../server/vocabulary.ts'
import {
  CHARGE,
  INSTRUMENTS,
  pressureReadings,
  RUNNING,
  stepsOfJoint,
  TAKES,
  TORQUES,
  vacuumReadings,
} from '../journeys/the-work.ts'
import { type Cast, DAY, MINUTE, NOON, type Player } from '../support/cast.ts'
import { aJpeg, anUpload } from '../support/pictures.ts'
import { inches, metres, SHEET, type ToolName, usualInstruments } from '../support/setups.ts'

export type Team = Record<Role, Player>

/** The people of company A, by role. */
export const teamA = (cast: Cast): Team => ({
  technician: cast.tess,
  manager: cast.sam,
  warranty: cast.wren,
  owner: cast.olga,
})

/** One more member of a company that is there already. */
async function aPlayer(
  cast: Cast,
  { companyId, companyName }: Pick<Player, 'companyId' | 'companyName'>,
  name: string,
  role: Role,
): Promise<Player> {
  const ids = { personId: newId(), memberId: newId(), crewId: newId() }
  const token = `${TOKEN_PREFIX}${newSecret()}`
  await cast.store.store.transaction(async ({ db, t }) => {
    await db.insert(t.people).values({
      id: ids.personId,
      name,
      email: `${ids.personId}@${companyId}.example`,
      emailLower: `${ids.personId}@${companyId}.example`,
      passwordHash: 'none',
      createdAt: NOON,
    })
    await db.insert(t.members).values({
      companyId,
      id: ids.memberId,
      personId: ids.personId,
      role,
      active: true,
      createdAt: NOON,
    })
    await db.insert(t.crew).values({
      companyId,
      id: ids.crewId,
      name,
      memberId: ids.memberId,
      credentials: [],
      salt: 'salt',
      active: true,
      createdAt: NOON,
    })
    await db.insert(t.tokens).values({
      companyId,
      id: newId(),
      memberId: ids.memberId,
      name: 'test',
      scopes: ['read', 'write'],
      tokenHash: sha256(token),
      createdAt: NOON,
      expiresAt: NOON + 3650 * DAY,
      revokedAt: null,
    })
  })
  const secret = await cast.deps.sessions.start(ids.personId, companyId)
  return {
    ...ids,
    companyId,
    companyName,
    name,
    role,
    scopes: ['read', 'write'],
    via: 'session',
    token,
    cookie: `jointkeep_session=${secret}`,
  }
}

/** Company B has one technician in the cast; here its other roles join, so that no role refusal hides a leak. */
export async function teamB(cast: Cast): Promise<Team> {
  const add = (name: string, role: Role) => aPlayer(cast, cast.zoe, name, role)
  return {
    technician: cast.zoe,
    manager: await add('Mona', 'manager'),
    warranty: await add('Wade', 'warranty'),
    owner: await add('Otto', 'owner'),
  }
}

export type World = Awaited<ReturnType<typeof aWorld>>

/** `mark` stands in every free text, so that a text of this world is known wherever it turns up. */
export async function aWorld(cast: Cast, team: Team, mark: string) {
  const by = team.technician
  const iso = (at: number) => new Date(at).toISOString()
  // biome-ignore lint/suspicious/noExplicitAny: examples are data; each command's own schema checks them
  const run = <Result>(command: Command<any, Result>, input: unknown, who: Player = by) =>
    cast.run(who, command, input as never)

  const site = await run(addSite, {
    customerName: `Ida ${mark}`,
    address: `12 ${mark} Lane, Brackwater`,
    contact: `Ring ${mark}`,
    elevation: metres(40),
  })
  const sheet = await run(addEquipmentSheet, {
    ...SHEET,
    model: `${mark} 35`,
    source: { document: `${mark} installation manual`, page: '14' },
  })
  const tools: Record<ToolName | 'pressTool', string> = {
    ...(await usualInstruments(cast, { by, mark })),
    pressTool: (
      await run(addInstrument, { kind: 'press-tool', name: `${mark} press`, serial: `press-${mark}` })
    ).id,
  }
  const spareTool = await run(addInstrument, {
    kind: 'torque-wrench',
    name: `${mark} spare wrench`,
    serial: `spare-${mark}`,
    accuracyPercent: 4,
  })
  const crew = await run(
    addCrewPerson,
    {
      name: `Noor ${mark}`,
      credentials: [{ scheme: 'Refrigerant handling', category: 'I', number: `${mark}-77` }],
    },
    team.manager,
  )
  const invited = await run(
    invitePerson,
    { email: `new@${mark.toLowerCase()}.example`, role: 'technician' },
    team.owner,
  )
  const revocable = await run(
    invitePerson,
    { email: `other@${mark.toLowerCase()}.example`, role: 'technician' },
    team.owner,
  )
  const { token } = await run(createToken, { name: `${mark} program`, scopes: ['read', 'write'] })

  const zone = async (jobId: string, name: string) => {
    const { system, units } = await run(addSystem, {
      jobId,
      name: `${mark} ${name}`,
      refrigerant: 'R-32',
      equipmentSheetId: sheet.id,
      outdoorModel: 'LS-35 outdoor',
      outdoorSerial: `${mark}-OUT-${name}`,
    })
    const { lineSet, joints } = await run(addLineSet, {
      systemId: system.id,
      jobId,
      name: `${mark} ${name}`,
      indoorModel: 'LS-35 indoor',
      indoorSerial: `${mark}-IN-${name}`,
      liquidOd: inches(0.25),
      gasOd: inches(0.375),
      length: metres(6.4),
      rise: metres(2),
      tubing: 'new',
      jointKind: 'flare',
      roomFloorArea: { value: 22, unit: 'm2' },
      mounting: 'wall',
    })
    return { jobId, system, units, lineSet, joints }
  }
  const anotherJob = async (name: string, systemIds: string[] = []) =>
    (
      await run(openJob, {
        siteId: site.id,
        kind: 'installation',
        reference: `${mark} ${name}`,
        systemIds,
        assignedTo: by.memberId,
      })
    ).id

  // ------------------------------------------------ five jobs, carried out whole and side by side; one has something to concede

  const finished = []
  for (const name of ['ready', 'waiting', 'audited', 'sealed', 'asked'])
    finished.push(await zone(await anotherJob(name), name))
  const inOrder = [
    ['preparation', recordPreparation],
    ['flare', recordFlare],
    ['inspection', recordInspection],
    ['assembly', recordAssembly],
    ['torque', recordTorque],
    ['leak-check', recordLeakCheck],
  ] as const
  const stepsFor = (place: string) =>
    stepsOfJoint(
      TORQUES[place as keyof typeof TORQUES] ?? TORQUES['indoor-gas'],
      Object.fromEntries(INSTRUMENTS.map(({ key }) => [key, tools[key]])) as Record<
        (typeof INSTRUMENTS)[number]['key'],
        string
      >,
      place.startsWith('indoor'),
    )
  const recordOf = new Map<string, (typeof inOrder)[number][1]>(inOrder)
  const makeUpTo = async (
    jointId: string,
    jobId: string,
    place: string,
    steps: number,
    given: readonly (readonly [string, object])[] = stepsFor(place).slice(0, steps),
  ) => {
    const make = await run(startMake, { jointId, jobId })
    const answers = []
    for (const [kind, input] of given)
      answers.push(await run(recordOf.get(kind) ?? recordLeakCheck, { makeId: make.id, ...input }))
    return { makeId: make.id, answers }
  }
  // A torque that was brought up, and an assembly that a manager may let go.
  const LOW = [
    'torque',
    { indication: 'read', reading: { value: 9, unit: 'N.m' }, instrumentId: tools.torqueWrench },
  ] as const
  const HELD_ALONE = [
    'assembly',
    {
      points: {
        lubricatedAsSheet: 'yes',
        threadsDry: 'yes',
        insideDry: 'yes',
        aligned: 'yes',
        startedByHand: 'yes',
        backingWrench: 'no',
      },
      reasons: { backingWrench: `No room, says ${mark}` },
      lubricated: 'face',
    },
  ] as const
  const flawed = (place: string) =>
    stepsFor(place)
      .slice(0, 5)
      .flatMap(([kind, input]): (readonly [string, object])[] => {
        if (place === 'outdoor-liquid' && kind === 'assembly') return [HELD_ALONE]
        return place === 'outdoor-gas' && kind === 'torque' ? [LOW, [kind, input]] : [[kind, input]]
      })
  for (const index of [0, 1, 2, 3]) {
    cast.clock.pass(TAKES.joint)
    for (const { joints, jobId } of finished) {
      const joint = joints[index]
      const given = jobId === finished[4]?.jobId && joint ? flawed(joint.place) : undefined
      if (joint) await makeUpTo(joint.id, jobId, joint.place, 5, given)
    }
  }
  cast.clock.pass(TAKES.pressure)
  const pressureTests = []
  for (const { system, jobId } of finished) {
    const { test } = await run(startPressureTest, {
      systemId: system.id,
      jobId,
      medium: 'nitrogen',
      gaugeInstrumentId: tools.pressureGauge,
      thermometerInstrumentId: tools.thermometer,
      performedAt: iso(cast.clock.now - 80 * MINUTE),
    })
    pressureTests.push(test.id)
    await run(recordPressureReadings, {
      pressureTestId: test.id,
      readings: pressureReadings(cast.clock.now),
    })
  }
  for (const { joints } of finished) {
    for (const joint of joints.filter(({ kind }) => kind === 'flare')) {
      const check = stepsFor(joint.place).at(-1)?.[1]
      const make = (await makesOf(joint.id))[0]
      await run(recordLeakCheck, {
        makeId: make,
        ...check,
        performedAt: iso(cast.clock.now - 30 * MINUTE),
      })
    }
  }
  for (const pressureTestId of pressureTests) await run(concludePressureTest, { pressureTestId })
  cast.clock.pass(TAKES.evacuation)
  const evacuations = []
  for (const { system, jobId } of finished) {
    const { test } = await run(startEvacuation, {
      systemId: system.id,
      jobId,
      gaugeInstrumentId: tools.vacuumGauge,
      gaugeAt: 'far-side',
      isolatedAt: 'core-tool',
      performedAt: iso(cast.clock.now - 45 * MINUTE),
    })
    evacuations.push(test.id)
    await run(recordVacuumReadings, { evacuationId: test.id, readings: vacuumReadings(cast.clock.now) })
    await run(concludeEvacuation, { evacuationId: test.id })
  }
  cast.clock.pass(TAKES.rest)
  for (const { system, jobId } of finished) await run(recordCharge, { systemId: system.id, jobId, ...CHARGE })
  cast.clock.pass(TAKES.rest)
  for (const { system, jobId } of finished)
    await run(recordRunningCheck, { systemId: system.id, jobId, ...RUNNING })
  cast.clock.pass(TAKES.joint)
  for (const { joints, jobId } of finished) {
    for (const joint of joints.filter(({ kind }) => kind !== 'flare')) {
      const make = await run(startMake, { jointId: joint.id, jobId })
      await run(recordClosing, { makeId: make.id, allAsListed: true })
      await run(recordLeakCheck, {
        makeId: make.id,
        method: 'refrigerant-detector',
        medium: 'refrigerant',
        instrumentId: tools.leakDetector,
        result: 'none-found',
      })
    }
  }
  const [ready, waiting, audited, sealed, conceding] = finished.map(({ jobId }) => jobId) as [
    string,
    string,
    string,
    string,
    string,
  ]
  for (const jobId of [waiting, audited, sealed]) await run(submitJob, { jobId })
  const askedJointId = finished[4]?.joints[0]?.id ?? ''
  await run(submitJob, {
    jobId: conceding,
    requests: [{ requirement: 'joint-assembled', subjectId: askedJointId, reason: `It held, says ${mark}` }],
  })
  const [request] = await cast.store.store.query<{ id: string }>(
    `select id from concession_requests where job_id = '${conceding}'`,
  )
  const [nonconformity] = await cast.store.store.query<{ id: string }>(
    `select id from nonconformities where job_id = '${conceding}' and requirement = 'joint-torque-in-range'`,
  )
  const { certificate } = await run(signOffJob, { jobId: sealed }, team.manager)

  // ------------------------------------------------ one job in the middle of the work

  const jobId = await anotherJob('open')
  const open = await zone(jobId, 'open')
  const systemId = open.system.id
  await run(changeLineSet, { lineSetId: open.lineSet.id, jobId, cleaning: `flushed ${mark}` })
  let places = 0
  const joint = async (kind: JointKind, origin: 'field' | 'existing' = 'field') => {
    places += 1
    const added = await run(addJoint, {
      systemId,
      jobId,
      lineSetId: open.lineSet.id,
      place: `indoor coupling ${places} ${mark}`,
      line: 'gas',
      tubeOd: inches(0.375),
      kind,
      origin,
    })
    return added.id
  }
  const makeAt = async (steps: number) => makeUpTo(await joint('flare'), jobId, 'indoor-gas', steps)
  const startedOn = async (kind: JointKind, prepared: boolean) => {
    const make = await run(startMake, { jointId: await joint(kind), jobId })
    if (prepared) await run(recordPreparation, { makeId: make.id, allAsListed: true })
    return make.id
  }
  const torqued = await makeAt(5)
  const corrected = await makeAt(5)
  const makes = {
    begun: (await makeAt(0)).makeId,
    prepared: (await makeAt(1)).makeId,
    flared: (await makeAt(2)).makeId,
    inspected: (await makeAt(3)).makeId,
    assembled: (await makeAt(4)).makeId,
    torqued: torqued.makeId,
    forBrazing: await startedOn('brazed', true),
    forPressing: await startedOn('press', true),
    forClosing: await startedOn('service-port', false),
  }
  const test = async () =>
    (
      await run(startPressureTest, {
        systemId,
        jobId,
        medium: 'nitrogen',
        gaugeInstrumentId: tools.pressureGauge,
        thermometerInstrumentId: tools.thermometer,
        performedAt: iso(cast.clock.now - 80 * MINUTE),
      })
    ).test.id
  const vacuum = async () =>
    (
      await run(startEvacuation, {
        systemId,
        jobId,
        gaugeInstrumentId: tools.vacuumGauge,
        performedAt: iso(cast.clock.now - 45 * MINUTE),
      })
    ).test.id
  const tests = {
    running: await test(),
    read: await test(),
    vacuumRunning: await vacuum(),
    vacuumRead: await vacuum(),
  }
  await run(recordPressureReadings, {
    pressureTestId: tests.read,
    readings: pressureReadings(cast.clock.now),
  })
  await run(recordVacuumReadings, {
    evacuationId: tests.vacuumRead,
    readings: vacuumReadings(cast.clock.now),
  })
  const { taken: readingLog } = await run(recordVacuumLog, {
    evacuationId: tests.vacuumRunning,
    text: `${mark};Pa\n0;90000\n5;900\n`,
    only: 'pull',
  })
  const charge = await run(recordCharge, {
    systemId,
    jobId,
    direction: 'in',
    mass: { value: 200, unit: 'g' },
    scaleInstrumentId: tools.scale,
    source: 'virgin',
    cylinderId: `${mark}-cylinder`,
  })
  const check = await run(recordRunningCheck, { systemId, jobId, ...RUNNING })
  const spareUnit = await run(addUnit, {
    systemId,
    role: 'indoor',
    name: `${mark} spare`,
    model: 'LS-25 indoor',
    serial: `${mark}-IN-SPARE`,
  })
  const branchUnit = await run(addUnit, {
    systemId,
    role: 'branch',
    name: `${mark} box`,
    model: 'LS-B2',
    serial: `${mark}-B-1`,
  })
  const callback = await run(
    openCallback,
    {
      systemId,
      symptom: `Cools no more, says ${mark}`,
      found: [
        { part: 'other', method: 'bubble', cause: `${mark} hose`, size: `one bubble a second, ${mark}` },
      ],
      partsReplaced: [{ part: `${mark} valve`, oldSerial: `${mark}-V1`, newSerial: `${mark}-V2` }],
    },
    team.warranty,
  )
  // On the system that was signed off, so that joints like the one that leaked are in service.
  const [leaked] = finished[3]?.joints ?? []
  const closedCallback = await run(
    openCallback,
    {
      systemId: finished[3]?.system.id,
      symptom: `Ice on it, says ${mark}`,
      found: [
        {
          part: 'joint',
          jointId: leaked?.id,
          where: 'flare-face',
          method: 'refrigerant-detector',
          cause: 'crack',
        },
      ],
    },
    team.warranty,
  )
  await run(closeCallback, { callbackId: closedCallback.id, outcome: 'found' }, team.warranty)
  const followedUp = await run(openFollowUps, { callbackId: closedCallback.id, most: 1 }, team.manager)
  // A wrong torque, corrected too late to be a slip, so that it waits for a manager.
  const torqueEntry = torqued.answers.at(-1)?.entryId ?? ''
  const otherEntry = corrected.answers.at(-1)?.entryId ?? ''
  cast.clock.pass(30 * MINUTE)
  const waitingCorrection = await run(correctFact, {
    entryId: otherEntry,
    reason: `Read the wrong mark, says ${mark}`,
    replacement: {
      indication: 'read',
      reading: { value: 12, unit: 'N.m' },
      instrumentId: tools.torqueWrench,
    },
  })
  const picture = anUpload(await aJpeg({ shade: mark === 'Aldermoor' ? '#7a5230' : '#30527a' }))
  const photo = await run(attachPhoto, {
    picture,
    jobId,
    subjectKind: 'pressure-test',
    subjectId: tests.read,
    shows: 'gauge-at-start',
  })

  const dossier = await loadDossier(scopeOf(cast.store.store.reader(), by.companyId), jobId, cast.clock.now)
  const concedable = evaluate(dossier).find(
    ({ concedable, outcome }) => concedable && (outcome === 'open' || outcome === 'failed'),
  )
  if (!concedable) throw new Error('The open job has nothing that could be conceded.')

  const flares = open.joints.filter(({ kind }) => kind === 'flare')

  // ------------------------------------------------ wrenches found off: one not recalled yet, one at work, one settled

  const foundOff = (instrumentId: string, errorPercent: number) =>
    run(recordCalibration, {
      instrumentId,
      result: 'out-of-tolerance',
      basis: 'certificate',
      asFoundErrorPercent: errorPercent,
      reference: `${mark} 990`,
    })
  const anotherWrench = async (name: string) =>
    (
      await run(addInstrument, {
        kind: 'torque-wrench',
        name: `${mark} ${name} wrench`,
        serial: `${name}-${mark}`,
        accuracyPercent: 4,
      })
    ).id
  const lowWrench = await anotherWrench('low')
  const pulled = await makeAt(4)
  const byLowWrench = await run(recordTorque, {
    makeId: pulled.makeId,
    indication: 'read',
    reading: { value: 38, unit: 'N.m' },
    instrumentId: lowWrench,
  })
  const unusedWrench = await anotherWrench('unused')
  cast.clock.pass(MINUTE)
  for (const [wrench, error] of [
    [spareTool.id, 3],
    [lowWrench, 40],
    [unusedWrench, 5],
  ] as const)
    await foundOff(wrench, error)
  const checkOfSpare = await run(recordCalibration, {
    instrumentId: unusedWrench,
    result: 'in-tolerance',
    basis: 'certificate',
    reference: `${mark} 989`,
    certificate: anUpload(Buffer.from(`%PDF-1.7 certificate of ${mark}`)),
  })
  await run(countUsesByHand, { instrumentId: unusedWrench, uses: 7, note: mark })
  const recall = async (instrumentId: string) => (await run(openRecall, { instrumentId }, team.manager)).id
  const recalls = { open: await recall(lowWrench), settled: await recall(unusedWrench) }

  // ------------------------------------------------ questions of an audit: one that waits for an answer, one answered

  const asked = (words: string) =>
    run(
      askQuestion,
      { jobId: sealed, subjectKind: 'job', subjectId: sealed, words: `${words}, ${mark}?` },
      team.manager,
    )
  const questions = {
    waiting: (await asked('Who held the gauge')).id,
    answered: (await asked('Why so late')).id,
  }
  await run(
    markAudited,
    {
      jobId: waiting,
      subjectKind: 'joint',
      subjectId: finished[1]?.joints[1]?.id,
      mark: 'accepted',
      note: `Seen, ${mark}`,
    },
    team.manager,
  )
  await run(answerQuestion, { questionId: questions.answered, words: `Rain, says ${mark}` })

  // ------------------------------------------------ who is told of it

  const { webhook } = await run(
    registerWebhook,
    {
      url: `https://${mark.toLowerCase()}.example/hook`,
      description: `For ${mark}`,
      events: ['job.signed_off', 'callback.opened'],
    },
    team.manager,
  )
  const { webhook: spareWebhook } = await run(
    registerWebhook,
    { url: `https://spare.${mark.toLowerCase()}.example/`, events: ['recall.opened'] },
    team.manager,
  )
  const delivery = await run(sendTestMessage, { webhookId: webhook.id }, team.manager)

  // ------------------------------------------------ by whom members may come in

  const wayInCode = `way-in-${by.companyId.slice(-12)}`
  await cast.store.store.transaction((session) =>
    keepProvider(scopeOf(session, by.companyId), {
      code: wayInCode,
      name: 'Office account',
      // Nobody asks there: it is no public address.
      issuer: 'https://127.0.0.1',
      clientId: 'jointkeep',
      clientSecret: null,
      active: true,
      changedAt: NOON,
      domains: [],
    }),
  )

  // ------------------------------------------------ who comes and goes

  const leaver = await aPlayer(cast, by, `Lena ${mark}`, 'technician')
  const elsewhere = sha256(await cast.deps.sessions.start(by.personId, by.companyId, { browser: '/' }))
  const [otherSession] = await cast.store.store.query<{ handle: string }>(
    `select handle from sessions where id = '${elsewhere}'`,
  )
  await cast.store.store.transaction((session) =>
    addSignIn(session, {
      personId: team.warranty.personId,
      companyId: by.companyId,
      at: cast.clock.now,
      way: 'password',
      browser: '/',
      succeeded: true,
    }),
  )

  const [code = ''] = newRecoveryCodes()
  const { step } = await cast.store.store.transaction(async (session) => {
    const { personId } = leaver
    const { db, t } = session
    const secret = cast.machinery.sealer.seal(newAuthenticatorSecret(), sealedFor(personId))
    await db
      .insert(t.authenticators)
      .values({ personId, secret, lastStep: 0, createdAt: NOON, confirmedAt: NOON })
    await replaceRecoveryCodes(session, personId, [recoveryHash(personId, code) ?? ''], NOON)
    return addWaitingSignIn(session, { personId, companyId: by.companyId }, cast.clock.now)
  })

  // Worlds take hours to come about.
  await cast.store.store.execute(`update sign_in_steps set expires_at = ${NOON + 3650 * DAY}`)

  return {
    mark,
    team,
    secondStep: { step, code },
    wayInCode,
    leaverId: leaver.memberId,
    sessionHandle: otherSession?.handle ?? '',
    questions,
    companyId: by.companyId,
    siteId: site.id,
    sheetId: sheet.id,
    tools,
    spareToolId: spareTool.id,
    crewId: crew.id,
    invitationId: revocable.invitation.id,
    invitationCode: invited.code?.reveal() ?? '',
    tokenId: token.id,
    webhookId: webhook.id,
    spareWebhookId: spareWebhook.id,
    deliveryId: delivery.id,
    memberId: team.warranty.memberId,
    jobs: {
      open: jobId,
      ready,
      waiting,
      waitingJointId: finished[1]?.joints[0]?.id ?? '',
      audited,
      sealed,
      asked: conceding,
    },
    requestId: request?.id ?? '',
    nonconformityId: nonconformity?.id ?? '',
    certificateId: certificate.id,
    code: certificate.code,
    systemId,
    lineSetId: open.lineSet.id,
    unitId: open.units[0]?.id ?? '',
    spareUnitId: spareUnit.id,
    branchUnitId: branchUnit.id,
    indoorUnitId: open.lineSet.toUnitId ?? '',
    tag: flares[0]?.tag ?? '',
    joints: {
      unmade: flares[0]?.id ?? '',
      several: flares[1]?.id ?? '',
      leftOut: flares[2]?.id ?? '',
      retiring: flares[3]?.id ?? '',
      existing: await joint('flare', 'existing'),
    },
    makes,
    tests,
    chargeId: charge.id,
    runningCheckId: check.id,
    entryId: torqueEntry,
    correctionId: waitingCorrection.id,
    photoId: photo.id,
    readingLogId: readingLog?.id ?? '',
    /** A step of a joint, and a picture of it that is on no record yet. */
    photographed: {
      jointId: torqued.answers[0]?.step.jointId ?? '',
      stepId: torqued.answers[0]?.step.id ?? '',
      picture: anUpload(await aJpeg({ shade: mark === 'Aldermoor' ? '#aa5230' : '#3052aa' })),
    },
    callbackId: callback.id,
    closedCallbackId: closedCallback.id,
    followUp: {
      jobId: followedUp.jobs[0]?.id ?? '',
      jointId: followedUp.jobs[0]?.jointIds[0] ?? '',
    },
    recalls,
    /** A check with its certificate, and another certificate that is on no record yet. */
    certified: {
      instrumentId: unusedWrench,
      calibrationId: checkOfSpare.calibration.id,
      fileId:
        (
          await cast.store.store.query<{ id: string }>(
            `select id from calibration_files where calibration_id = '${checkOfSpare.calibration.id}'`,
          )
        )[0]?.id ?? '',
      certificate: anUpload(Buffer.from(`%PDF-1.7 another of ${mark}`)),
    },
    recalled: { instrumentId: lowWrench, stepId: byLowWrench.step.id },
    concedable: { requirement: concedable.requirement, subjectId: concedable.subject.id },
  }

  async function makesOf(jointId: string): Promise<string[]> {
    const rows = await cast.store.store.query<{ id: string }>(
      `select id from makes where joint_id = '${jointId}' order by number`,
    )
    return rows.map((row) => row.id)
  }
}
