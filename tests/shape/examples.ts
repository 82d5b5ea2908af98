// What is one valid request of each kind? By the name of its command or question, from a world's own things.

import { criteriaJson } from '../../server/commands/people/criteria.ts'
import { companyCode } from '../../server/http/tag-link.ts'
import { newId } from '../../server/ids.ts'
import { BUILT_IN_POLICY } from '../../server/rules/policy.ts'
import type { Role } from '../../server/vocabulary.ts'
import { INSTRUMENTS, pressureReadings, RUNNING, stepsOfJoint, vacuumReadings } from '../journeys/the-work.ts'
import { inches, metres, SHEET } from '../support/setups.ts'
import type { World } from './world.ts'

export interface Example {
  /** Who sends it; nobody needs to be signed in for a public one. */
  by: Role | null
  /** From a browser: a token does not do this, or is nobody here. */
  session?: true
  /** Body and parameters of the address together, as the command takes them. */
  input: Record<string, unknown>
}

type Told = (world: World, now: number) => Example

const iso = (at: number) => new Date(at).toISOString()
const technician = (input: Example['input']): Example => ({ by: 'technician', input })
const manager = (input: Example['input']): Example => ({ by: 'manager', input })
const owner = (input: Example['input']): Example => ({ by: 'owner', input })
const warranty = (input: Example['input']): Example => ({ by: 'warranty', input })
const anyone = (input: Example['input']): Example => ({ by: null, input })

/** A step with its instruments, and with who did it said in full. */
function step(world: World, kind: string): Record<string, unknown> {
  const ids = Object.fromEntries(INSTRUMENTS.map(({ key }) => [key, world.tools[key]])) as Parameters<
    typeof stepsOfJoint
  >[1]
  const steps = stepsOfJoint({ value: 33.5, unit: 'N.m' }, ids, true)
  const content = steps.find(([name]) => name === kind)?.[1] ?? {}
  return { id: newId(), jobId: world.jobs.open, ...who(world), ...content }
}
const who = (world: World) => ({
  performedBy: world.crewId,
  supervisedBy: world.team.manager.crewId,
  witnessedBy: world.team.owner.memberId,
})

/** What may be said of a callback at any time. */
const callback = (world: World, now: number) => ({
  reportedBy: `The neighbour of ${world.mark}`,
  found: [
    {
      id: newId(),
      part: 'joint',
      jointId: world.joints.existing,
      where: 'flare-face',
      method: 'refrigerant-detector',
      cause: 'crack',
      size: '12 g/yr',
    },
  ],
  responsibility: 'workmanship',
  refrigerantRecovered: { value: 400, unit: 'g' },
  refrigerantAdded: { value: 1, unit: 'kg' },
  labourTime: { value: 3, unit: 'h' },
  partsReplaced: [{ part: 'flare nut', oldSerial: `${world.mark}-N1`, newSerial: `${world.mark}-N2` }],
  claim: {
    maker: 'Larkspur',
    number: `${world.mark}-C1`,
    status: 'sent',
    sentAt: iso(now),
    dueAt: iso(now + 86_400_000),
    amount: '240 EUR',
  },
})

/** Nobody here has one; whose they are is asked in tests/http/passkeys.test.ts. */
const NOBODYS_PASSKEY = '019cb8e0-0000-7000-8000-000000000000'

/** One for each command; a command that is not here fails the tests that walk them all. */
export const COMMAND_EXAMPLES: Record<string, Told> = {
  // ---------------------------------------------------------------- people
  'register-company': (world) =>
    anyone({
      id: newId(),
      name: `${world.mark} Second`,
      ownerName: `Fay ${world.mark}`,
      email: `fay@${world.mark.toLowerCase()}.example`,
      password: 'a long enough password',
    }),
  'sign-in': (world) =>
    anyone({ email: `nobody@${world.mark.toLowerCase()}.example`, password: 'a wrong password' }),
  'second-step': (world) => anyone({ step: world.secondStep.step, code: world.secondStep.code }),
  'set-up-authenticator': () => ({ ...technician({ password: 'nobody here has one' }), session: true }),
  'confirm-authenticator': () => ({ ...technician({ code: '123456' }), session: true }),
  'make-recovery-codes': () => ({ ...technician({ password: 'nobody here has one' }), session: true }),
  'remove-authenticator': () => ({ ...technician({ password: 'nobody here has one' }), session: true }),
  'begin-passkey': () => ({ ...technician({ password: 'nobody here has one' }), session: true }),
  'add-passkey': () => ({
    ...technician({
      step: 'never begun',
      name: 'Phone',
      credential: { id: 'aa', response: { clientDataJSON: 'aa', attestationObject: 'aa' } },
    }),
    session: true,
  }),
  'rename-passkey': () => ({ ...technician({ passkeyId: NOBODYS_PASSKEY, name: 'Phone' }), session: true }),
  'remove-passkey': () => ({
    ...technician({ passkeyId: NOBODYS_PASSKEY, password: 'nobody here has one' }),
    session: true,
  }),
  'ask-for-passkey': () => anyone({}),
  'sign-in-with-passkey': () =>
    anyone({
      step: 'never begun',
      credential: {
        id: 'aa',
        response: { clientDataJSON: 'aa', authenticatorData: 'aa', signature: 'aa' },
      },
    }),
  // Off: nobody is asked then; what is asked stands in tests/http/identity-provider.test.ts.
  'set-identity-provider': () =>
    owner({
      name: 'Office account',
      issuer: 'https://provider.example',
      clientId: 'jointkeep',
      clientSecret: 'what the provider gave',
      domains: ['works.example'],
      active: false,
    }),
  'remove-identity-provider': () => owner({}),
  'set-second-step': () => owner({ of: 'nobody' }),
  'reset-second-step': (world) => owner({ memberId: world.leaverId }),
  'sign-out': () => anyone({}),
  'switch-company': (world) => ({
    ...technician({ companyId: world.companyId }),
    session: true,
  }),
  'accept-invitation': (world) =>
    anyone({
      code: world.invitationCode,
      name: `New ${world.mark}`,
      password: 'a long enough password',
    }),
  'invite-person': (world) =>
    owner({ id: newId(), email: `third@${world.mark.toLowerCase()}.example`, role: 'technician' }),
  'revoke-invitation': (world) => owner({ invitationId: world.invitationId }),
  'change-member': (world) => owner({ memberId: world.memberId, role: 'technician', active: true }),
  'deactivate-member': (world) =>
    owner({
      memberId: world.leaverId,
      to: world.team.manager.crewId,
      note: 'All is in the van.',
      keepsWorking: false,
    }),
  'end-member-sessions': (world) => owner({ memberId: world.leaverId }),
  'end-session': (world) => ({ ...technician({ handle: world.sessionHandle }), session: true }),
  'end-other-sessions': () => ({ ...technician({}), session: true }),
  'register-webhook': (world) =>
    manager({
      id: newId(),
      url: `https://${world.mark.toLowerCase()}.example/another`,
      description: `Also ${world.mark}`,
      events: ['recall.opened'],
    }),
  'change-webhook': (world) =>
    manager({
      webhookId: world.webhookId,
      url: `https://${world.mark.toLowerCase()}.example/hook`,
      description: `For ${world.mark}`,
      events: ['job.signed_off', 'callback.opened'],
      active: true,
    }),
  'replace-webhook-secret': (world) => manager({ webhookId: world.webhookId }),
  'send-test-message': (world) => manager({ webhookId: world.webhookId }),
  'send-webhook-again': (world) => manager({ deliveryId: world.deliveryId }),
  'remove-webhook': (world) => manager({ webhookId: world.spareWebhookId }),
  'create-token': (world) => ({
    ...technician({ id: newId(), name: `${world.mark} other`, scopes: ['read'], expiresInDays: 30 }),
    session: true,
  }),
  'revoke-token': (world) => technician({ tokenId: world.tokenId }),
  'write-out-company': () => owner({ id: newId() }),
  'set-policy': () =>
    manager({
      criteria: criteriaJson({ ...BUILT_IN_POLICY, evidence: { photos: [] } }),
      reason: 'Our photos are kept elsewhere.',
      basedOnVersion: 1,
    }),
  'add-crew-person': (world) =>
    manager({
      id: newId(),
      name: `Pia ${world.mark}`,
      credentials: [
        {
          scheme: 'Refrigerant handling',
          category: 'I',
          number: `${world.mark}-9`,
          validUntil: '2027-05-31',
        },
      ],
    }),
  'change-crew-person': (world) =>
    manager({
      crewId: world.crewId,
      name: `Noor ${world.mark} II`,
      credentials: [{ scheme: 'Refrigerant handling', number: `${world.mark}-78` }],
      active: true,
    }),

  // ---------------------------------------------------------------- places and things
  'add-site': (world) =>
    technician({
      id: newId(),
      customerName: `Otis ${world.mark}`,
      address: `3 ${world.mark} Row, Brackwater`,
      town: 'Brackwater',
      contact: `Knock, ${world.mark}`,
      elevation: metres(12),
    }),
  'change-site': (world) =>
    technician({
      siteId: world.siteId,
      customerName: `Ida ${world.mark}`,
      address: `13 ${world.mark} Lane, Brackwater`,
      town: 'Brackwater',
      contact: `Ring twice, ${world.mark}`,
      elevation: metres(41),
    }),
  'add-equipment-sheet': (world) =>
    technician({ id: newId(), ...SHEET, model: `${world.mark} 50`, vacuumHoldMinutes: 15 }),
  'change-equipment-sheet': (world) =>
    technician({
      sheetId: world.sheetId,
      maxLength: metres(21),
      torque: SHEET.torque,
      source: { document: `${world.mark} installation manual`, page: '15' },
    }),
  'add-system': (world) =>
    technician({
      id: newId(),
      jobId: world.jobs.open,
      name: `${world.mark} kitchen`,
      refrigerant: 'R-32',
      equipmentSheetId: world.sheetId,
      outdoorModel: 'LS-35 outdoor',
      outdoorSerial: `${world.mark}-OUT-2`,
      tagPrefix: 'KT9',
    }),
  'copy-set-up': (world) =>
    technician({
      id: newId(),
      jobId: world.jobs.open,
      fromSystemId: world.systemId,
      name: `${world.mark} next door`,
      outdoorSerial: `${world.mark}-OUT-3`,
      tagPrefix: 'ND3',
      branchUnits: [{ fromUnitId: world.branchUnitId, serial: `${world.mark}-B-2` }],
      lineSets: [
        {
          id: newId(),
          fromLineSetId: world.lineSetId,
          name: `${world.mark} parlour`,
          length: metres(7.2),
          tubing: 'new',
          indoorSerial: `${world.mark}-IN-11`,
        },
      ],
      tools: [world.tools.torqueWrench],
    }),
  'change-system': (world) =>
    technician({
      systemId: world.systemId,
      name: `${world.mark} hall`,
      equipmentSheetId: world.sheetId,
    }),
  'add-unit': (world, now) =>
    technician({
      id: newId(),
      systemId: world.systemId,
      role: 'indoor',
      name: `${world.mark} kitchen`,
      model: 'LS-35 indoor',
      serial: `${world.mark}-IN-9`,
      equipmentSheetId: world.sheetId,
      installedAt: iso(now),
      replacesUnitId: world.indoorUnitId,
      reason: 'Fan bearing.',
      warrantyStart: iso(now),
      registeredWithMaker: false,
    }),
  'remove-unit': (world, now) =>
    technician({ id: newId(), unitId: world.spareUnitId, reason: 'Not needed.', removedAt: iso(now) }),
  'add-line-set': (world) =>
    technician({
      id: newId(),
      systemId: world.systemId,
      jobId: world.jobs.open,
      name: `${world.mark} kitchen`,
      fromUnitId: world.unitId,
      indoorModel: 'LS-25 indoor',
      indoorSerial: `${world.mark}-IN-10`,
      liquidOd: inches(0.25),
      gasOd: inches(0.375),
      length: metres(5),
      rise: metres(1),
      tubing: 'new',
      jointKind: 'flare',
      room: {
        floorArea: { value: 20, unit: 'm2' },
        releaseHeight: metres(1.8),
        mounting: 'wall',
        method: 'unventilated',
        measured: true,
      },
    }),
  'change-line-set': (world) =>
    technician({
      lineSetId: world.lineSetId,
      jobId: world.jobs.open,
      name: `${world.mark} hall`,
      length: metres(6.6),
      rise: metres(1.9),
      roomFloorArea: { value: 23, unit: 'm2' },
      mounting: 'wall',
    }),
  'add-joint': (world) =>
    technician({
      id: newId(),
      systemId: world.systemId,
      jobId: world.jobs.open,
      lineSetId: world.lineSetId,
      place: `coupling in the ${world.mark} loft`,
      indoors: true,
      line: 'gas',
      tubeOd: inches(0.375),
      kind: 'flare',
      origin: 'field',
    }),
  'retire-joint': (world, now) =>
    technician({
      id: newId(),
      jointId: world.joints.retiring,
      jobId: world.jobs.open,
      reason: 'Cut out.',
      retiredAt: iso(now),
    }),
  'add-instrument': (world) =>
    technician({
      id: newId(),
      kind: 'torque-wrench',
      name: `${world.mark} wrench 2`,
      serial: `wrench-2-${world.mark}`,
      accuracyPercent: 4,
      resolution: { value: 0.1, unit: 'N.m' },
      fullScale: { value: 100, unit: 'N.m' },
      calibrationIntervalDays: 365,
    }),
  'change-instrument': (world) =>
    technician({
      instrumentId: world.spareToolId,
      name: `${world.mark} spare wrench, blue`,
      active: true,
      accuracyPercent: 3,
      resolution: { value: 0.1, unit: 'N.m' },
    }),
  'record-calibration': (world, now) =>
    technician({
      id: newId(),
      instrumentId: world.spareToolId,
      at: iso(now - 60_000),
      result: 'in-tolerance',
      basis: 'certificate',
      points: [{ nominal: { value: 40, unit: 'N.m' }, asFoundErrorPercent: 0.5 }],
      uncertainty: { value: 0.2, unit: 'N.m' },
      reference: `${world.mark} 991`,
    }),

  'count-uses': (world, now) =>
    technician({
      id: newId(),
      instrumentId: world.spareToolId,
      uses: 120,
      at: iso(now - 60_000),
      note: `Pipe rack of ${world.mark}`,
    }),
  'attach-certificate': (world) =>
    technician({
      id: newId(),
      calibrationId: world.certified.calibrationId,
      certificate: world.certified.certificate,
    }),

  'open-recall': (world) => manager({ id: newId(), instrumentId: world.spareToolId }),
  'decide-recall': (world) =>
    manager({
      recallId: world.recalls.open,
      evidenceIds: [world.recalled.stepId],
      disposition: 'put-right',
      note: `Torqued again, says ${world.mark}`,
    }),
  'open-follow-up-jobs': (world) => manager({ recallId: world.recalls.open }),
  'open-follow-ups': (world) => manager({ callbackId: world.closedCallbackId, most: 1 }),
  'close-recall': (world) => manager({ recallId: world.recalls.settled }),

  // ---------------------------------------------------------------- jobs
  'open-job': (world, now) =>
    technician({
      id: newId(),
      siteId: world.siteId,
      kind: 'maintenance',
      reference: `${world.mark} yearly visit`,
      systemIds: [world.systemId],
      assignedTo: world.crewId,
      scheduledFor: iso(now + 86_400_000),
    }),
  'change-job': (world, now) =>
    manager({
      jobId: world.jobs.open,
      reference: `${world.mark} open again`,
      assignedTo: world.crewId,
      scheduledFor: iso(now + 86_400_000),
    }),
  'hand-over-job': (world) =>
    manager({
      id: newId(),
      jobId: world.jobs.open,
      to: world.team.owner.memberId,
      note: `Two joints are left, says ${world.mark}.`,
    }),
  'import-sites': (world) =>
    manager({ text: `customer;address\nNell ${world.mark};3 Quay, Brackwater\n`, dryRun: false }),
  'import-instruments': (world) =>
    manager({ text: `kind;name;serial\nscale;${world.mark} scale 9;scale-9-${world.mark}\n`, dryRun: false }),
  'import-equipment-sheets': (world) =>
    manager({
      text: `maker;model;kind;refrigerant;document;page\nLarkspur;${world.mark} 70;wall split;R-32;Manual;9\n`,
      dryRun: false,
    }),
  'leave-out-joint': (world) =>
    technician({ id: newId(), jobId: world.jobs.open, jointId: world.joints.leftOut, reason: 'Next visit.' }),

  // ---------------------------------------------------------------- makes and their steps
  'start-make': (world) =>
    technician({
      id: newId(),
      jointId: world.joints.unmade,
      jobId: world.jobs.open,
      reason: 'First making.',
      ...who(world),
    }),
  'record-preparation': (world) => technician({ makeId: world.makes.begun, ...step(world, 'preparation') }),
  'record-flare': (world) => technician({ makeId: world.makes.prepared, ...step(world, 'flare') }),
  'record-inspection': (world) =>
    technician({
      makeId: world.makes.flared,
      ...step(world, 'inspection'),
      diameterCheck: 'measured',
      outerDiameter: { value: 13, unit: 'mm' },
    }),
  'record-assembly': (world) => technician({ makeId: world.makes.inspected, ...step(world, 'assembly') }),
  'record-torque': (world, now) =>
    technician({
      makeId: world.makes.assembled,
      ...step(world, 'torque'),
      adapter: { offset: metres(0.05), wrenchLength: metres(0.4), angleDegrees: 0 },
      witnessMark: true,
      circuitState: 'empty',
      performedAt: iso(now),
    }),
  'record-leak-check': (world) => technician({ makeId: world.makes.torqued, ...step(world, 'leak-check') }),
  'record-joint-leak-check': (world) =>
    technician({ jointId: world.joints.existing, ...step(world, 'leak-check') }),
  'record-brazing': (world) =>
    technician({
      makeId: world.makes.forBrazing,
      ...step(world, 'brazing'),
      nitrogenFlow: true,
      filler: 'CuP 281',
    }),
  'record-pressing': (world) =>
    technician({
      makeId: world.makes.forPressing,
      ...step(world, 'pressing'),
      instrumentId: world.tools.pressTool,
      jawSize: '3/8',
      insertionMarked: true,
    }),
  'record-closing': (world) =>
    technician({ makeId: world.makes.forClosing, ...step(world, 'closing'), allAsListed: true }),
  'record-steps': (world) => {
    const makeId = newId()
    const inside = (kind: string) => {
      // The job stands in the address, once for all of them.
      const { jobId: _, ...content } = step(world, kind)
      return { step: kind, makeId, ...content }
    }
    return technician({
      jobId: world.jobs.open,
      steps: [
        { step: 'make', id: makeId, jointId: world.joints.several },
        inside('preparation'),
        inside('flare'),
      ],
    })
  },

  // ---------------------------------------------------------------- tests of sections
  'start-pressure-test': (world, now) =>
    technician({
      id: newId(),
      systemId: world.systemId,
      jobId: world.jobs.open,
      covers: [{ lineSetId: world.lineSetId }],
      throughOutdoorUnit: false,
      medium: 'nitrogen-trace',
      tracer: { kind: 'hydrogen', fraction: 0.05 },
      gaugeInstrumentId: world.tools.pressureGauge,
      thermometerInstrumentId: world.tools.thermometer,
      siteElevation: metres(40),
      conditions: 'shade',
      repeatOf: world.tests.read,
      repeatCause: 'A loose hose.',
      ...who(world),
      performedAt: iso(now),
    }),
  'record-pressure-readings': (world, now) =>
    technician({
      pressureTestId: world.tests.running,
      readings: pressureReadings(now).map((reading) => ({
        id: newId(),
        ...reading,
        instrumentId: world.tools.pressureGauge,
        thermometerInstrumentId: world.tools.thermometer,
      })),
    }),
  'record-pressure-log': (world, now) =>
    technician({
      id: newId(),
      pressureTestId: world.tests.running,
      text: 'P;T;t\n4,15;21,5;0\n4,15;21,5;30',
      dryRun: false,
      columns: { time: 3, date: 0, pressure: 1, temperature: 2, phase: 0 },
      timeAs: 'min',
      dateOrder: 'day-first',
      decimal: 'comma',
      pressureUnit: 'MPa',
      temperatureUnit: 'degC',
      zone: 'Europe/Berlin',
      beganAt: iso(now - 3_600_000),
      only: 'hold',
      temperatureAtStart: { value: 21, unit: 'degC' },
      temperatureAtEnd: { value: 21, unit: 'degC' },
    }),
  'conclude-pressure-test': (world, now) =>
    technician({ id: newId(), pressureTestId: world.tests.read, ...who(world), performedAt: iso(now) }),
  'start-evacuation': (world, now) =>
    technician({
      id: newId(),
      systemId: world.systemId,
      jobId: world.jobs.open,
      covers: [{ lineSetId: world.lineSetId }],
      gaugeInstrumentId: world.tools.vacuumGauge,
      gaugeAt: 'far-side',
      isolatedAt: 'core-tool',
      repeatOf: world.tests.vacuumRead,
      repeatCause: 'Old oil in the pump.',
      ...who(world),
      performedAt: iso(now),
    }),
  'record-vacuum-readings': (world, now) =>
    technician({
      evacuationId: world.tests.vacuumRunning,
      readings: vacuumReadings(now).map((reading) => ({
        id: newId(),
        ...reading,
        instrumentId: world.tools.vacuumGauge,
      })),
    }),
  'record-vacuum-log': (world, now) =>
    technician({
      id: newId(),
      evacuationId: world.tests.vacuumRunning,
      text: 'min,micron\n0,900\n5,310\n6,320',
      dryRun: false,
      columns: { time: 1, date: 0, pressure: 2, temperature: 0, phase: 0 },
      timeAs: 'min',
      dateOrder: 'year-first',
      decimal: 'point',
      pressureUnit: 'micron',
      temperatureUnit: 'degC',
      zone: 'UTC',
      beganAt: iso(now - 1_800_000),
      isolatedAt: iso(now - 1_500_000),
    }),
  'conclude-evacuation': (world, now) =>
    technician({ id: newId(), evacuationId: world.tests.vacuumRead, ...who(world), performedAt: iso(now) }),
  'record-charge': (world, now) =>
    technician({
      id: newId(),
      systemId: world.systemId,
      jobId: world.jobs.open,
      direction: 'in',
      mass: { value: 120, unit: 'g' },
      scaleInstrumentId: world.tools.scale,
      source: 'virgin',
      cylinderId: `${world.mark}-cylinder`,
      ...who(world),
      performedAt: iso(now),
    }),
  'record-running-check': (world, now) =>
    technician({
      id: newId(),
      systemId: world.systemId,
      jobId: world.jobs.open,
      ...RUNNING,
      liquidLinePressure: { value: 2.6, unit: 'MPa' },
      liquidLineTemperature: { value: 38, unit: 'degC' },
      ...who(world),
      performedAt: iso(now),
    }),

  'attach-photo': (world) =>
    technician({
      id: newId(),
      picture: world.photographed.picture,
      jobId: world.jobs.open,
      subjectKind: 'joint',
      subjectId: world.photographed.jointId,
      stepId: world.photographed.stepId,
      shows: 'indoor-joints',
      takenAt: iso(Date.UTC(2026, 2, 1)),
    }),

  // ---------------------------------------------------------------- corrections and release
  'correct-fact': (world) =>
    technician({
      id: newId(),
      entryId: world.entryId,
      reason: 'A slip of the finger.',
      replacement: {
        indication: 'read',
        reading: { value: 38.2, unit: 'N.m' },
        instrumentId: world.tools.torqueWrench,
      },
    }),
  'decide-correction': (world) =>
    manager({ correctionId: world.correctionId, decision: 'refused', reason: 'Torque it again.' }),
  'submit-job': (world) => technician({ jobId: world.jobs.ready, requests: [] }),
  'send-back-job': (world) =>
    manager({
      jobId: world.jobs.waiting,
      reason: 'A photo is missing.',
      subjects: [world.jobs.waitingJointId],
    }),
  'ask-question': (world) =>
    manager({
      id: newId(),
      jobId: world.jobs.open,
      subjectKind: 'joint',
      subjectId: world.joints.existing,
      words: 'Was it oiled on the face only?',
    }),
  'answer-question': (world) =>
    technician({ id: newId(), questionId: world.questions.waiting, words: 'On the face only.' }),
  'ask-again': (world) =>
    manager({ id: newId(), questionId: world.questions.answered, words: 'And at the other end?' }),
  'settle-question': (world) =>
    manager({ id: newId(), questionId: world.questions.answered, words: 'That is enough.' }),
  'mark-audited': (world) =>
    manager({
      id: newId(),
      jobId: world.jobs.waiting,
      subjectKind: 'job',
      subjectId: world.jobs.waiting,
      mark: 'accepted',
      note: 'Read from top to bottom.',
    }),
  'grant-concession': (world) =>
    manager({ id: newId(), jobId: world.jobs.open, ...world.concedable, reason: 'Seen on site.' }),
  'answer-request': (world) =>
    manager({
      requestId: world.requestId,
      id: newId(),
      decision: 'granted',
      reason: 'Seen on site.',
      conditions: 'To be looked at within a year.',
    }),
  'sign-off-job': (world) => manager({ jobId: world.jobs.audited }),
  'open-callback': (world, now) =>
    warranty({
      id: newId(),
      systemId: world.systemId,
      reportedAt: iso(now),
      symptom: `Hisses, says ${world.mark}`,
      outcome: 'found',
      ...callback(world, now),
    }),
  'change-callback': (world, now) =>
    warranty({
      callbackId: world.callbackId,
      reportedAt: iso(now),
      symptom: `Hisses, says ${world.mark}`,
      outcome: 'found',
      repairJobId: world.jobs.open,
      ...callback(world, now),
    }),
  'close-callback': (world, now) =>
    warranty({ callbackId: world.callbackId, outcome: 'found', ...callback(world, now) }),
  'open-repair': (world) =>
    manager({
      id: newId(),
      callbackId: world.callbackId,
      reference: `${world.mark}-R`,
      assignedTo: world.crewId,
    }),
  'state-warranty': (world, now) =>
    manager({
      unitId: world.unitId,
      warrantyStart: iso(now),
      warrantyEnd: iso(now + 86_400_000),
      registeredWithMaker: true,
    }),
  'reopen-job': (world) => manager({ jobId: world.jobs.sealed, reason: 'A nut was tightened.' }),
}

/** Questions that are asked by POST because they are too long for an address; nothing is written. */
export const QUESTION_EXAMPLES: Record<string, Told> = {
  'preview-policy': () => manager({ criteria: criteriaJson(BUILT_IN_POLICY), days: 30, from: 0 }),
  'check-signed-copy': () => anyone({ copy: 'e30.e30.e30' }),
  'torque-setting': () =>
    technician({
      low: { value: 34, unit: 'N.m' },
      high: { value: 42, unit: 'N.m' },
      wrenchAccuracyPercent: 4,
    }),
  'pressure-hold': (_, now) =>
    technician({
      start: {
        gaugePressure: { value: 4.15, unit: 'MPa' },
        temperature: { value: 20, unit: 'degC' },
        at: iso(now - 3_600_000),
      },
      end: {
        gaugePressure: { value: 4.15, unit: 'MPa' },
        temperature: { value: 20, unit: 'degC' },
        at: iso(now),
      },
    }),
  'hold-time': () => technician({}),
  'vacuum-decay': (_, now) => technician({ readings: vacuumReadings(now) }),
  charge: () => technician({}),
  'room-area': () => technician({ refrigerant: 'R-32', charge: { value: 1, unit: 'kg' }, mounting: 'wall' }),
  saturation: () => technician({ refrigerant: 'R-32', temperature: { value: 20, unit: 'degC' } }),
  flare: () => technician({ tubeOd: { value: 9.52, unit: 'mm' }, flareClass: 'class-2' }),
  'fill-pressure': () =>
    technician({
      limit: { value: 4.15, unit: 'MPa' },
      temperature: { value: 15, unit: 'degC' },
      warmest: { value: 30, unit: 'degC' },
    }),
  'leak-rate': () => technician({ leak: { value: 5, unit: 'g/yr' }, gas: 'R-32' }),
  'tube-volume': () => technician({ liquidOd: { value: 6.35, unit: 'mm' }, length: { value: 5, unit: 'm' } }),
  'running-check': () =>
    technician({
      refrigerant: 'R-32',
      liquidLinePressure: { value: 2.4, unit: 'MPa' },
      liquidLineTemperature: { value: 35, unit: 'degC' },
    }),
  units: () => technician({ kind: 'torque', written: '28 ft-lb' }),
  'callback-rate': () => technician({ events: 3, jointYears: 400 }),
}

/** What a parameter of an address names; a parameter that is not here fails the tests that walk the routes. */
export const PARAMETERS: Record<string, (world: World) => string> = {
  language: () => 'es',
  methodName: () => 'torque',
  requirementName: () => 'vacuum-held',
  companyCode: (world) => companyCode(world.companyId),
  tag: (world) => world.tag,
  siteId: (world) => world.siteId,
  sheetId: (world) => world.sheetId,
  systemId: (world) => world.systemId,
  unitId: (world) => world.unitId,
  lineSetId: (world) => world.lineSetId,
  instrumentId: (world) => world.spareToolId,
  jobId: (world) => world.jobs.open,
  jointId: (world) => world.joints.existing,
  makeId: (world) => world.makes.torqued,
  pressureTestId: (world) => world.tests.read,
  evacuationId: (world) => world.tests.vacuumRead,
  correctionId: (world) => world.correctionId,
  callbackId: (world) => world.callbackId,
  recallId: (world) => world.recalls.open,
  calibrationId: (world) => world.certified.calibrationId,
  calibrationFileId: (world) => world.certified.fileId,
  instrumentNumber: (world) => world.spareToolId.slice(-8),
  requestId: (world) => world.requestId,
  nonconformityId: (world) => world.nonconformityId,
  entryId: (world) => world.entryId,
  photoId: (world) => world.photoId,
  readingLogId: (world) => world.readingLogId,
  certificateId: (world) => world.certificateId,
  code: (world) => world.code,
  wayInCode: (world) => world.wayInCode,
  memberId: (world) => world.memberId,
  invitationId: (world) => world.invitationId,
  tokenId: (world) => world.tokenId,
  webhookId: (world) => world.webhookId,
  deliveryId: (world) => world.deliveryId,
  crewId: (world) => world.crewId,
}

/** What anybody may ask without signing in, and why. */
export const PUBLIC: Record<string, string> = {
  'take-up-company': 'an empty server has nobody who could be signed in',
  'sign-up': 'a company is founded before anybody belongs to it',
  'register-company': 'the same, by its form or by a program',
  home: 'leads to the sign-in page, or to the jobs of who is signed in',
  'sign-in': 'who signs in is not signed in yet',
  'sign-out': 'ends the session that it is sent with, and tells nothing',
  'signing-in': 'a person’s own sessions, whichever company is chosen; answers 401 to nobody and to tokens',
  'end-session': 'the same; only sessions of that person',
  'own-second-step': 'a person’s own, whichever company is chosen; answers 401 to nobody and to tokens',
  'set-up-authenticator': 'the same, with their password',
  'confirm-authenticator': 'the same, with the first code',
  'make-recovery-codes': 'the same, with their password',
  'remove-authenticator': 'the same, with their password',
  'begin-passkey': 'the same, with their password',
  'add-passkey': 'the same, with what was begun in that session',
  'rename-passkey': 'the same',
  'remove-passkey': 'the same, with their password',
  'second-step-page': 'leads to the sign-in page',
  'passkey-page': 'leads to the sign-in page',
  'find-way-in': 'who signs in is not signed in yet; the name of a company and of its provider',
  'way-in': 'the same, to who has the company’s own address',
  'go-to-provider': 'the same; leads to the provider',
  'back-from-provider': 'who comes back is not signed in yet',
  'ask-for-passkey': 'who signs in is not signed in yet',
  'sign-in-with-passkey': 'who signs in is not signed in yet',
  'second-step': 'who signs in is not signed in yet',
  'end-other-sessions': 'the same',
  me: 'says who is asking; answers 401 to nobody',
  'choose-company': 'a person may have no company chosen; answers for that person alone',
  'switch-company': 'the same; only companies of that person',
  'accept-invitation': 'whoever holds the code is not a member yet',
  'check-certificate': 'anyone may ask whether a paper is genuine',
  'certificate-by-code': 'anyone who holds the paper: no customer, street, technician or photo',
  'choose-language': 'who can not read a page is the one who needs it',
  'no-signal': 'kept by a phone before anybody signed in; says nothing of anybody',
  'check-signed-copy': 'anyone may ask whether a signed copy is genuine',
  openapi: 'describes the interface, no data of anybody',
  reference: 'the same, to be read',
  'problem-codes': 'what the codes of refusals mean',
  methods: 'how numbers are worked out, no data of anybody',
  'method paper': 'the same, one of them',
  requirements: 'what hold points ask, no data of anybody',
  'requirement paper': 'the same, one of them',
  waiting: 'what waits on a phone is known to that phone alone; the page is empty',
  'signing-keys': 'the public half of the key, so that copies can be checked offline',
  'check-without-connection': 'the page with the keys inside, so that anyone can check a copy without us',
  'signing-keys-page': 'their fingerprints, to compare with a paper by eye',
}
