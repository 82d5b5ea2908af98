// How does a test say what happened on a job? Dossiers by phrase: `aJob().withSystem().withLineSet().torqued(38)`.

import type {
  AssemblyBody,
  Calibration,
  Charge,
  ClosingBody,
  Coverage,
  Dossier,
  EquipmentSheet,
  Evacuation,
  FlareBody,
  InspectionBody,
  Instrument,
  Joint,
  LeakCheckBody,
  LineSet,
  Make,
  Points,
  PressureTest,
  Provenance,
  Room,
  RunningCheck,
  Step,
  System,
  TorqueBody,
  Unit,
} from '../../server/rules/dossier.ts'
import { BUILT_IN_POLICY, type Policy } from '../../server/rules/policy.ts'
import type { InstrumentKind, JobKind, JointKind, StepKind } from '../../server/vocabulary.ts'

export const MINUTE = 60_000
export const HOUR = 60 * MINUTE
export const DAY = 24 * HOUR
/** Eight in the morning of an ordinary Wednesday. */
export const MORNING = Date.UTC(2026, 2, 4, 8, 0)

export const allYes: Points = { answers: {}, reasons: {}, allAsListed: true }

/** All yes, save the points named. `no: 'squareCut'`, `notApplicable: { nutOn: 'no nut on this end' }`. */
export function points(exceptions: {
  no?: string | string[]
  notApplicable?: Record<string, string>
}): Points {
  const answers: Points['answers'] = {}
  for (const code of [exceptions.no ?? []].flat()) answers[code] = 'no'
  for (const code of Object.keys(exceptions.notApplicable ?? {})) answers[code] = 'not-applicable'
  return { answers, reasons: { ...(exceptions.notApplicable ?? {}) }, allAsListed: true }
}

/** A single-zone heat pump for R-410A: nothing to add up to 7.5 m. */
export const aSheet = (over: Partial<EquipmentSheet> = {}): EquipmentSheet => ({
  id: 'sheet',
  maker: 'Tern Isle',
  model: 'TI-35',
  refrigerant: 'R-410A',
  source: { document: 'Installation manual TI-35', page: '12' },
  factoryChargeKg: 1.1,
  maxChargeKg: 1.6,
  prechargedLengthM: 7.5,
  chargeScheme: 'per-line',
  chargeAdders: [{ liquidOdM: 0.00635, kgPerM: 0.02 }],
  perIndoorUnit: [],
  makerTableChargeKg: null,
  minLengthM: 3,
  maxLengthM: 20,
  maxTotalLengthM: null,
  maxRiseOutdoorAboveM: 12,
  maxRiseOutdoorBelowM: 10,
  testPressureGaugePa: 3.8e6,
  maxPressureGaugePa: 4.15e6,
  vacuumTargetPa: null,
  vacuumLimitPa: null,
  vacuumHoldS: null,
  torqueNm: [
    { tubeOdM: 0.00635, lowNm: 14, highNm: 18 },
    { tubeOdM: 0.00952, lowNm: 34, highNm: 42 },
  ],
  flareDiameterM: [],
  flareLubrication: 'face',
  subcoolingK: null,
  superheatK: null,
  temperatureSplitK: { low: 8, high: 14 },
  ...over,
})

const calibrated = (kind: InstrumentKind, at = MORNING - 60 * DAY): Calibration => ({
  id: `cal-${kind}`,
  at,
  result: 'in-tolerance',
  basis: 'certificate',
  points: [],
  reference: 'certificate 1',
})

export const anInstrument = (
  id: string,
  kind: InstrumentKind,
  over: Partial<Instrument> = {},
): Instrument => ({
  id,
  kind,
  name: `${kind} ${id}`,
  serial: id.toUpperCase(),
  accuracyPercent: null,
  accuracyAbsolute: null,
  resolution: null,
  repeatability: null,
  fullScale: null,
  compound: false,
  calibrationIntervalDays: null,
  calibrations: [calibrated(kind)],
  ...over,
})

const instruments = (): Instrument[] => [
  anInstrument('wrench', 'torque-wrench', { accuracyPercent: 4 }),
  anInstrument('gauge', 'pressure-gauge', { accuracyAbsolute: 20_000, resolution: 1000 }),
  anInstrument('thermometer', 'thermometer', { accuracyAbsolute: 0.5, resolution: 0.1 }),
  anInstrument('vacuum', 'vacuum-gauge', { resolution: 0.133 }),
  anInstrument('scale', 'scale', { accuracyAbsolute: 0.005 }),
  anInstrument('detector', 'leak-detector', { calibrations: [] }),
  anInstrument('flaring', 'flaring-tool'),
  anInstrument('press', 'press-tool'),
  anInstrument('cutter', 'tube-cutter', { calibrations: [] }),
]

type When = Partial<Provenance>

export class JobBuilder {
  readonly dossier: Dossier
  private clock = MORNING
  private chosen: Joint[] = []
  private counter = 0

  constructor(kind: JobKind) {
    this.dossier = {
      at: MORNING + 30 * DAY,
      company: { id: 'company', name: 'North Ridge' },
      // Photos have a test of their own; elsewhere none are asked for.
      policy: { ...structuredClone(BUILT_IN_POLICY), evidence: { photos: [] } },
      policyVersion: 1,
      job: {
        id: 'job',
        kind,
        reference: 'NR-1',
        siteId: 'site',
        stage: 'open',
        openedAt: MORNING - HOUR,
        submittedAt: null,
      },
      systems: [],
      instruments: instruments(),
      crew: [
        { id: 'tess', name: 'Tess', memberId: 'member-tess', credentials: [] },
        { id: 'sam', name: 'Sam', memberId: 'member-sam', credentials: [] },
      ],
      exclusions: [],
      requests: [],
      concessions: [],
    }
  }

  /** What the requirements look at. A copy, so that going on building changes nothing already judged. */
  build(): Dossier {
    return structuredClone(this.dossier)
  }

  get system(): System {
    const system = this.dossier.systems.at(-1)
    if (!system) throw new Error('Give the job a system first')
    return system
  }
  get line(): LineSet {
    const line = this.system.lineSets.at(-1)
    if (!line) throw new Error('Give the system a line set first')
    return line
  }
  joint(place: string): Joint {
    const joint = this.system.joints.findLast(
      (candidate) => candidate.place === place || candidate.tag === place,
    )
    if (!joint) throw new Error(`There is no joint ${place}`)
    return joint
  }

  // ------------------------------------------------------------ the things

  with(change: (dossier: Dossier) => void): this {
    change(this.dossier)
    return this
  }
  withPolicy(over: Partial<Policy>): this {
    Object.assign(this.dossier.policy, over)
    return this
  }
  withInstrument(id: string, over: Partial<Instrument>): this {
    this.dossier.instruments = this.dossier.instruments.map((instrument) =>
      instrument.id === id ? { ...instrument, ...over } : instrument,
    )
    return this
  }
  withSystem(over: Partial<Omit<System, 'sheet'>> & { sheet?: Partial<EquipmentSheet> | null } = {}): this {
    const number = this.dossier.systems.length + 1
    const { sheet, ...rest } = over
    const refrigerant = over.refrigerant ?? 'R-410A'
    this.dossier.systems.push({
      id: `system-${number}`,
      name: `System ${number}`,
      refrigerant,
      sheet: sheet === null ? null : aSheet({ refrigerant, ...sheet }),
      atmosphericPressurePa: 101_325,
      units: [this.aUnit(`outdoor-${number}`, 'outdoor')],
      lineSets: [],
      joints: [],
      pressureTests: [],
      evacuations: [],
      charges: [],
      runningChecks: [],
      ...rest,
    })
    return this
  }
  private aUnit(id: string, role: Unit['role'], over: Partial<Unit> = {}): Unit {
    return {
      id,
      role,
      model: `TI ${role}`,
      serial: id,
      installedAt: MORNING,
      removedAt: null,
      replacesUnitId: null,
      ...over,
    }
  }
  /** A new unit in the place of an earlier one, now. */
  replacedUnit(id: string): this {
    const old = this.system.units.find((unit) => unit.id === id)
    if (!old) throw new Error(`There is no unit ${id}`)
    this.later(1)
    old.removedAt = this.clock
    this.system.units.push(
      this.aUnit(`${id}-new`, old.role, { replacesUnitId: id, installedAt: this.clock, model: old.model }),
    )
    return this
  }

  /** A line set to an indoor unit, with its four joints, which are chosen for what follows. */
  withLineSet(
    over: Partial<Omit<LineSet, 'room'>> & { room?: Partial<Room> | null; origin?: Joint['origin'] } = {},
  ): this {
    const { system } = this
    const number = system.lineSets.length + 1
    const { room, origin, ...rest } = over
    const id = `${system.id}-line-${number}`
    const indoor = this.aUnit(`${system.id}-indoor-${number}`, 'indoor')
    system.units.push(indoor)
    const line: LineSet = {
      id,
      name: `Line ${number}`,
      fromUnitId: system.units[0]?.id ?? null,
      toUnitId: indoor.id,
      liquidOdM: 0.00635,
      gasOdM: 0.00952,
      lengthM: 5,
      riseM: 2,
      tubing: 'new',
      tubeWallM: null,
      previousRefrigerant: null,
      cleaning: null,
      jointKind: 'flare',
      room:
        room === null
          ? null
          : {
              floorAreaM2: 25,
              releaseHeightM: null,
              mounting: 'wall',
              method: 'unventilated',
              document: null,
              page: null,
              measured: true,
              ...room,
            },
      jobId: this.dossier.job.id,
      ...rest,
    }
    system.lineSets.push(line)
    this.chosen = []
    for (const [place, unitId] of [
      ['outdoor-liquid', line.fromUnitId],
      ['outdoor-gas', line.fromUnitId],
      ['indoor-liquid', line.toUnitId],
      ['indoor-gas', line.toUnitId],
    ] as const) {
      this.chosen.push(
        this.addJoint({
          lineSetId: id,
          unitId,
          place,
          line: place.endsWith('gas') ? 'gas' : 'liquid',
          kind: line.jointKind,
          origin: origin ?? 'field',
        }),
      )
    }
    return this
  }
  private addJoint(over: Partial<Joint>): Joint {
    const { system } = this
    const number = system.joints.length + 1
    const line = over.line ?? 'liquid'
    const joint: Joint = {
      id: `${system.id}-joint-${number}`,
      tag: `${system.id === 'system-1' ? 'A' : 'B'}-${number}`,
      lineSetId: null,
      unitId: null,
      place: `extra-${number}`,
      indoors: (over.place ?? '').startsWith('indoor'),
      line,
      tubeOdM: line === 'gas' ? 0.00952 : 0.00635,
      kind: 'flare',
      origin: 'field',
      retiredAt: null,
      makes: [],
      leakChecks: [],
      ...over,
    }
    system.joints.push(joint)
    return joint
  }
  /** One more joint on the last line set (or on none, with `lineSetId: null`), chosen for what follows. */
  withJoint(over: Partial<Joint> & { kind: JointKind }): this {
    const lineSetId =
      over.lineSetId === undefined ? (this.system.lineSets.at(-1)?.id ?? null) : over.lineSetId
    this.chosen = [this.addJoint({ ...over, lineSetId })]
    return this
  }

  // ------------------------------------------------------------ time and choice

  later(byMinutes: number): this {
    this.clock += byMinutes * MINUTE
    return this
  }
  get now(): number {
    return this.clock
  }
  /** Chooses joints by place or tag for the steps that follow. */
  at(...places: string[]): this {
    this.chosen = places.map((place) => this.joint(place))
    return this
  }
  everywhere(): this {
    this.chosen = [...this.system.joints]
    return this
  }
  onLine(id: string): this {
    this.chosen = this.system.joints.filter((joint) => joint.lineSetId === id)
    return this
  }

  private id(prefix: string): string {
    this.counter += 1
    return `${prefix}-${this.counter}`
  }
  private provenance(over: When = {}): Provenance {
    this.clock += MINUTE
    return {
      performedBy: 'tess',
      supervisedBy: null,
      witnessedBy: null,
      performedAt: this.clock,
      recordedBy: 'member-tess',
      recordedAt: this.clock,
      deviceAt: null,
      ...over,
    }
  }

  // ------------------------------------------------------------ the work

  made(over: Partial<Make> = {}): this {
    for (const joint of this.chosen) {
      joint.makes.push({
        id: this.id('make'),
        jointId: joint.id,
        jobId: this.dossier.job.id,
        number: joint.makes.length + 1,
        reason: joint.makes.length > 0 ? 'remade' : null,
        steps: [],
        ...this.provenance(over),
        ...over,
      })
    }
    return this
  }
  private step(
    kind: Exclude<StepKind, 'leak-check'>,
    body: Step['body'],
    over: When & { jobId?: string } = {},
  ): this {
    for (const joint of this.chosen) {
      const make = joint.makes.at(-1)
      if (!make) throw new Error(`Make ${joint.tag} first`)
      make.steps.push({
        id: this.id(kind),
        kind,
        jobId: over.jobId ?? make.jobId,
        jointId: joint.id,
        makeId: make.id,
        correctsId: null,
        body: structuredClone(body),
        ...this.provenance(over),
      } as Step)
    }
    return this
  }
  prepared(answers: Points = allYes): this {
    return this.step('preparation', { points: answers, instrumentId: 'cutter' })
  }
  flared(over: Partial<FlareBody> = {}): this {
    return this.step('flare', {
      instrumentId: 'flaring',
      method: 'manual-clutch',
      depthStopUsed: true,
      projectionM: 0.001,
      ...over,
    })
  }
  brazed(nitrogenFlow = true): this {
    return this.step('brazing', { nitrogenFlow, filler: null })
  }
  pressed(over: Partial<{ jawSize: string; insertionMarked: boolean }> = {}): this {
    return this.step('pressing', { instrumentId: 'press', jawSize: '3/8 in', insertionMarked: true, ...over })
  }
  inspected(over: Partial<InspectionBody> = {}): this {
    return this.step('inspection', {
      points: allYes,
      diameterCheck: 'gauge-pass',
      outerDiameterM: null,
      outcome: 'accepted',
      photoIds: [],
      ...over,
    })
  }
  assembled(over: Partial<AssemblyBody> = {}): this {
    return this.step('assembly', { points: allYes, lubricated: 'face', ...over })
  }
  /** Without a figure: the middle of the range of the joint's size. */
  torqued(readingNm?: number, over: Partial<TorqueBody> & When & { jobId?: string } = {}): this {
    const middle: Record<string, number> = { '0.00635': 16, '0.00952': 38 }
    const all = this.chosen
    for (const joint of all) {
      this.chosen = [joint]
      const { witnessedBy, performedAt, recordedAt, jobId, ...body } = over
      const when: When & { jobId?: string } = {}
      if (witnessedBy !== undefined) when.witnessedBy = witnessedBy
      if (performedAt !== undefined) when.performedAt = performedAt
      if (recordedAt !== undefined) when.recordedAt = recordedAt
      if (jobId !== undefined) when.jobId = jobId
      this.step(
        'torque',
        {
          indication: 'read',
          readingNm: readingNm ?? middle[String(joint.tubeOdM)] ?? 0,
          instrumentId: 'wrench',
          adapter: null,
          turnDegrees: null,
          reason: null,
          witnessMark: true,
          circuitState: 'empty',
          ...body,
        },
        when,
      )
    }
    this.chosen = all
    return this
  }
  closed(over: Partial<ClosingBody> = {}): this {
    return this.step('closing', { points: allYes, ...over })
  }
  leakChecked(over: Partial<LeakCheckBody> & When & { jobId?: string } = {}): this {
    const { performedAt, recordedAt, jobId, ...body } = over
    for (const joint of this.chosen) {
      joint.leakChecks.push({
        id: this.id('leak-check'),
        kind: 'leak-check',
        jobId: jobId ?? this.dossier.job.id,
        jointId: joint.id,
        makeId: joint.makes.at(-1)?.id ?? null,
        correctsId: null,
        ...this.provenance({
          ...(performedAt === undefined ? {} : { performedAt }),
          ...(recordedAt === undefined ? {} : { recordedAt }),
        }),
        body: {
          method: 'bubble',
          medium: 'nitrogen',
          instrumentId: null,
          gaugePressurePa: 3.9e6,
          sensitivityKgPerYear: null,
          sensitivitySource: 'built-in',
          checkedOnTrialLeak: false,
          result: 'none-found',
          part: null,
          where: null,
          ...body,
        },
      })
    }
    return this
  }
  /** A detector good for 3 g/year, tried on a reference leak, on the charged system at rest. */
  leakCheckedByDetector(over: Partial<LeakCheckBody> = {}): this {
    return this.leakChecked({
      method: 'refrigerant-detector',
      medium: 'refrigerant',
      instrumentId: 'detector',
      gaugePressurePa: 1.5e6,
      sensitivityKgPerYear: 0.003,
      sensitivitySource: 'trial-leak',
      checkedOnTrialLeak: true,
      ...over,
    })
  }
  /** Every step of a flare from cut tube to leak check, on every chosen joint. */
  flareComplete(): this {
    return this.made().prepared().flared().inspected().assembled().torqued().leakChecked()
  }

  /**
   * A nitrogen test at 3.9 MPa. `shape`: holds, falls by 0.1 MPa, or is cut short after twenty minutes.
   */
  pressureTested(
    over: Partial<PressureTest> & {
      shape?: 'holds' | 'falls' | 'short'
      startPa?: number
      holdMinutes?: number
    } = {},
  ): this {
    const { shape = 'holds', startPa = 3.9e6, holdMinutes, ...rest } = over
    const when = this.provenance({
      ...(rest.performedAt === undefined ? {} : { performedAt: rest.performedAt }),
      ...(rest.recordedAt === undefined ? {} : { recordedAt: rest.recordedAt }),
    })
    const begun = when.performedAt
    const held = (holdMinutes ?? (shape === 'short' ? 20 : 65)) * MINUTE
    const endPa = shape === 'falls' ? startPa - 100_000 : startPa
    const id = this.id('pressure')
    const reading = (at: number, gaugePressurePa: number, stage: 'raise' | 'hold') => ({
      id: `${id}-${stage}-${at}`,
      at,
      stage,
      gaugePressurePa,
      temperatureK: 293.15,
      instrumentId: null,
      thermometerInstrumentId: null,
    })
    this.clock = Math.max(this.clock, begun + 15 * MINUTE + held)
    this.system.pressureTests.push({
      ...when,
      id,
      jobId: this.dossier.job.id,
      covers: [],
      throughOutdoorUnit: false,
      repeatOf: null,
      repeatCause: null,
      repeatNote: null,
      concludedAt: begun + 15 * MINUTE + held,
      medium: 'nitrogen',
      tracer: null,
      gaugeInstrumentId: 'gauge',
      thermometerInstrumentId: 'thermometer',
      atmosphericPressurePa: 101_325,
      conditions: 'shade',
      readings: [
        reading(begun + MINUTE, startPa, 'raise'),
        reading(begun + 15 * MINUTE, startPa, 'hold'),
        reading(begun + 15 * MINUTE + held, endPa, 'hold'),
      ],
      verdict: null,
      ...rest,
    })
    return this
  }
  /** `shape`: tight, rising like a leak, levelling off like moisture, or stopped after three minutes. */
  evacuated(
    over: Partial<Evacuation> & {
      shape?: 'tight' | 'leak' | 'moisture' | 'short'
      holdMinutes?: number
    } = {},
  ): this {
    const { shape = 'tight', holdMinutes, ...rest } = over
    const when = this.provenance({
      ...(rest.performedAt === undefined ? {} : { performedAt: rest.performedAt }),
      ...(rest.recordedAt === undefined ? {} : { recordedAt: rest.recordedAt }),
    })
    const begun = when.performedAt
    const isolated = begun + 20 * MINUTE
    const held = holdMinutes ?? (shape === 'short' ? 3 : 15)
    const id = this.id('evacuation')
    const level = (t: number) =>
      shape === 'leak'
        ? 40 + 12 * t
        : shape === 'moisture'
          ? 40 + 560 * (1 - Math.exp(-t / 2.5))
          : 40 + 12 * (1 - Math.exp(-t / 3))
    const count = shape === 'short' ? 3 : 11
    this.clock = Math.max(this.clock, isolated + held * MINUTE)
    this.system.evacuations.push({
      ...when,
      id,
      jobId: this.dossier.job.id,
      covers: [],
      throughOutdoorUnit: false,
      repeatOf: null,
      repeatCause: null,
      repeatNote: null,
      concludedAt: isolated + held * MINUTE,
      gaugeInstrumentId: 'vacuum',
      gaugeAt: 'far-side',
      isolatedAt: 'core-tool',
      readings: [
        { at: begun + MINUTE, phase: 'pull' as const, absolutePressurePa: 2000 },
        { at: isolated - MINUTE, phase: 'pull' as const, absolutePressurePa: 40 },
        ...Array.from({ length: count }, (_, index) => {
          const t = (held * index) / (count - 1)
          return { at: isolated + t * MINUTE, phase: 'decay' as const, absolutePressurePa: level(t) }
        }),
      ].map((reading, index) => ({
        id: `${id}-${index}`,
        instrumentId: null,
        temperatureK: 293.15,
        ...reading,
      })),
      verdict: null,
      ...rest,
    })
    return this
  }
  charged(over: Partial<Charge> = {}): this {
    this.system.charges.push({
      id: this.id('charge'),
      jobId: this.dossier.job.id,
      direction: 'factory-released',
      massKg: null,
      scaleInstrumentId: null,
      source: null,
      cylinderId: null,
      ...this.provenance(),
      ...over,
    })
    return this
  }
  weighedIn(massKg: number, over: Partial<Charge> = {}): this {
    return this.charged({ direction: 'in', massKg, scaleInstrumentId: 'scale', source: 'virgin', ...over })
  }
  recovered(massKg: number, over: Partial<Charge> = {}): this {
    return this.charged({ direction: 'out', massKg, scaleInstrumentId: 'scale', ...over })
  }
  /** Twenty minutes in cooling with a split of 11 K. */
  ran(over: Partial<RunningCheck> = {}): this {
    this.later(20)
    this.system.runningChecks.push({
      id: this.id('running'),
      jobId: this.dossier.job.id,
      mode: 'cooling',
      steadyS: 1200,
      liquidLinePressureGaugePa: null,
      liquidLineTemperatureK: null,
      suctionPressureGaugePa: null,
      suctionTemperatureK: null,
      supplyAirK: 287.15,
      returnAirK: 298.15,
      ambientK: 303.15,
      notPossible: null,
      ...this.provenance(),
      ...over,
    })
    return this
  }

  // ------------------------------------------------------------ decisions

  leftOut(reason: string): this {
    for (const joint of this.chosen) this.dossier.exclusions.push({ jointId: joint.id, reason })
    return this
  }
  asked(requirement: Dossier['requests'][number]['requirement'], subjectId: string): this {
    this.dossier.requests.push({ requirement, subjectId, reason: 'please', by: 'tess', at: this.clock })
    return this
  }
  conceded(requirement: Dossier['requests'][number]['requirement'], subjectId: string): this {
    this.dossier.concessions.push({ requirement, subjectId, reason: 'granted', by: 'sam', at: this.clock })
    return this
  }

  only(covers: Coverage): { covers: Coverage[] } {
    return { covers: [covers] }
  }
}

export const aJob = (kind: JobKind = 'installation') => new JobBuilder(kind)

/** A single-zone flare heat pump, every joint made and checked, nothing tested yet. */
export const aJobWithJointsMade = (
  over: Parameters<JobBuilder['withSystem']>[0] = {},
  line: Parameters<JobBuilder['withLineSet']>[0] = {},
) => aJob().withSystem(over).withLineSet(line).flareComplete()

/** The whole of it: ready to be signed off. */
export const aFinishedJob = (
  over: Parameters<JobBuilder['withSystem']>[0] = {},
  line: Parameters<JobBuilder['withLineSet']>[0] = {},
) => aJobWithJointsMade(over, line).pressureTested().evacuated().charged().ran()
