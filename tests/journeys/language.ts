// In which words is a job told? Verbs of the trade; each is carried out by a crew's hands and judged by the server.

import { decideCorrection } from '../../server/commands/corrections/decide-correction.ts'
import { addInstrument } from '../../server/commands/instruments/add-instrument.ts'
import { recordCalibration } from '../../server/commands/instruments/record-calibration.ts'
import { leaveOutJoint } from '../../server/commands/jobs/leave-out-joint.ts'
import { openJob } from '../../server/commands/jobs/open-job.ts'
import { addCrewPerson } from '../../server/commands/people/add-crew-person.ts'
import { addEquipmentSheet, type SheetInput } from '../../server/commands/places/add-equipment-sheet.ts'
import { addJoint } from '../../server/commands/places/add-joint.ts'
import { addLineSet } from '../../server/commands/places/add-line-set.ts'
import { addSystem } from '../../server/commands/places/add-system.ts'
import { addUnit } from '../../server/commands/places/add-unit.ts'
import { removeUnit } from '../../server/commands/places/remove-unit.ts'
import { retireJoint } from '../../server/commands/places/retire-joint.ts'
import { newId } from '../../server/ids.ts'
import type { Finding } from '../../server/rules/finding.ts'
import type { Policy } from '../../server/rules/policy.ts'
import { listEntriesAbout } from '../../server/store/queries/entries.ts'
import { appendFact } from '../../server/store/record.ts'
import { scopeOf } from '../../server/store/store.ts'
import type {
  CalibrationBasis,
  CalibrationResult,
  InstrumentKind,
  JobKind,
  JointKind,
  JointOrigin,
  Line,
  LineSetJointKind,
  Outcome,
  RefrigerantName,
  RequirementCode,
} from '../../server/vocabulary.ts'
import { type Cast, DAY, MINUTE, type Player } from '../support/cast.ts'
import { aSite, inches, metres, SHEET, type ToolName, usualInstruments } from '../support/setups.ts'
import { type Act, type Hands, look, Refused } from './hands.ts'

export interface JobStory {
  /** As a practitioner would say it. */
  title: string
  kind?: JobKind
  refrigerant?: RefrigerantName
  sheet?: Partial<SheetInput>
  policy?: (builtIn: Policy) => Policy
  /** Also told by filling in the pages: by a visitor without script, or in a real browser too. */
  onPages?: 'without script' | 'browser too'
  tell(it: Teller): Promise<void>
  /**
   * Per requirement: the least good outcome of its subjects, or by the subject's name. What is not named here must be
   * met or not apply, so that each file says all that is wrong with its job.
   */
  expects: { signable: boolean } & Partial<Record<RequirementCode, Outcome | Record<string, Outcome>>>
}

export const job = (story: JobStory): JobStory => story

const iso = (at: number) => new Date(at).toISOString()
const MPA = (value: number) => ({ value, unit: 'MPa' })
const CELSIUS = (value: number) => ({ value, unit: 'degC' })

interface Joint {
  id: string
  tag: string
  place: string
  kind: string
  line: string
  indoors: boolean
  retiredAt: string | null
  unitId: string | null
  lineSetId: string | null
  makes: { id: string; current: boolean; steps: { id: string; kind: string }[] }[]
}

export interface Lay {
  jointKind?: LineSetJointKind
  ends?: JointOrigin
  branchIndoors?: boolean
  liquid?: number
  gas?: number
  length?: number
  rise?: number
  tubing?: 'new' | 'reused'
  previousRefrigerant?: string
  cleaning?: string
  room?: number
  mounting?: 'floor' | 'wall' | 'ceiling'
  /** The maker's own table for the room, instead of its area alone. */
  table?: { document: string; page: string }
  from?: string
  toBranch?: string
}

export interface Making {
  by?: Player
  torque?: { value: number; unit: string }
  steps?: Record<string, Record<string, unknown>>
  /** Stop before this step. */
  before?: string
  performedAt?: number
  /** Crew ids, where it was somebody else than who holds the phone. */
  performedBy?: string
  supervisedBy?: string
}

export class Teller {
  readonly cast: Cast
  readonly hands: Hands
  /** Who is at work. */
  by: Player
  systemId = ''
  jobId = ''
  siteId = ''
  refrigerant: RefrigerantName = 'R-32'
  sheet: SheetInput
  instruments = {} as Record<ToolName, string>
  readonly #lines = new Map<string, string>()
  readonly #units = new Map<string, string>()
  #pressTool = ''
  #jobs = 1
  /** Crew id of whose work it is, where it is not who holds the phone. */
  asPerformedBy: string | null = null
  /** The code of the last refusal, for what must not be possible. */
  refusal: string | null = null

  constructor(cast: Cast, hands: Hands, sheet: SheetInput) {
    this.cast = cast
    this.hands = hands
    this.by = cast.tess
    this.sheet = sheet
  }

  get now(): number {
    return this.cast.clock.now
  }
  later(minutes: number): void {
    this.cast.clock.pass(minutes * MINUTE)
  }
  /** The next morning; the detector is tried on its reference leak, as every day. */
  async nextDay(): Promise<void> {
    this.cast.clock.pass(DAY - 8 * 60 * MINUTE)
    await this.#begins()
  }
  async #begins(): Promise<void> {
    await signIn(this.cast)
    await this.confirms(this.instruments.leakDetector, 'in-tolerance', 'own-check')
  }

  async act(act: Act, by: Player = this.by): Promise<void> {
    await this.hands.send(by, act)
  }
  /** Work on a joint that an earlier job made belongs to the job that is said. */
  #job = () => (this.#jobs > 1 ? { jobId: this.jobId } : {})
  #whose = () => (this.asPerformedBy === null ? {} : { performedBy: this.asPerformedBy })

  /** Something that must be refused; keeps the code. */
  async cannot(work: () => Promise<unknown>, what: RegExp): Promise<void> {
    try {
      await work()
    } catch (problem) {
      const code = problem instanceof Refused ? problem.code : 'no form'
      if (problem instanceof Error && what.test(`${code} ${problem.message}`)) {
        this.refusal = code
        return
      }
      throw problem
    }
    throw new Error(`This went through, though it must not: ${what}`)
  }

  async lays(name: string, lay: Lay = {}): Promise<void> {
    const { cast } = this
    const named = lay.from === undefined ? {} : { fromUnitId: this.unit(lay.from) }
    const room = {
      floorArea: { value: lay.room ?? 22, unit: 'm2' as const },
      mounting: lay.mounting ?? 'wall',
    }
    const to = lay.toBranch
      ? { toUnitId: this.unit(lay.toBranch) }
      : { indoorModel: 'LS-35 indoor', indoorSerial: `IN-${name}` }
    const { lineSet } = await cast.run(cast.sam, addLineSet, {
      systemId: this.systemId,
      jobId: this.jobId,
      name,
      ...named,
      ...to,
      liquidOd: inches(lay.liquid ?? 0.25),
      gasOd: inches(lay.gas ?? 0.375),
      length: metres(lay.length ?? 6),
      rise: metres(lay.rise ?? 1.5),
      tubing: lay.tubing ?? 'new',
      ...(lay.previousRefrigerant ? { previousRefrigerant: lay.previousRefrigerant } : {}),
      ...(lay.cleaning ? { cleaning: lay.cleaning } : {}),
      jointKind: lay.jointKind ?? 'flare',
      ...(lay.ends ? { jointOrigin: lay.ends } : {}),
      ...(lay.branchIndoors === undefined ? {} : { branchIndoors: lay.branchIndoors }),
      ...(lay.table
        ? { room: { ...room, method: 'sheet-table' as const, ...lay.table } }
        : { roomFloorArea: room.floorArea, mounting: room.mounting }),
    })
    this.#lines.set(name, lineSet.id)
    if (lineSet.toUnitId) this.#units.set(name, lineSet.toUnitId)
  }

  async addsBranchBox(name: string): Promise<void> {
    const unit = await this.cast.run(this.cast.sam, addUnit, {
      systemId: this.systemId,
      role: 'branch',
      model: 'BX-4',
      serial: `BX-${name}`,
    })
    this.#units.set(name, unit.id)
  }

  /** A joint that no line set laid out: "elbow in the loft". */
  async addsJoint(
    name: string,
    joint: { on: string; kind: JointKind; line?: Line; od?: number; indoors?: boolean; origin?: JointOrigin },
  ): Promise<void> {
    await this.cast.run(this.cast.sam, addJoint, {
      systemId: this.systemId,
      jobId: this.jobId,
      lineSetId: this.line(joint.on),
      place: name,
      line: joint.line ?? 'gas',
      tubeOd: inches(joint.od ?? 0.375),
      kind: joint.kind,
      origin: joint.origin ?? 'field',
      ...(joint.indoors === undefined ? {} : { indoors: joint.indoors }),
    })
  }

  /** Cut out, or gone with its tube. */
  async cutsOut(name: string, because: string): Promise<void> {
    const { id: jointId } = await this.joint(name)
    await this.cast.run(this.by, retireJoint, { jointId, jobId: this.jobId, reason: because })
    this.later(1)
  }

  async leavesOut(name: string, because: string): Promise<void> {
    const { id: jointId } = await this.joint(name)
    await this.cast.run(this.by, leaveOutJoint, { jobId: this.jobId, jointId, reason: because })
  }

  /** A new outdoor unit in the place of the one that stands there. */
  async replacesOutdoorUnit(serial: string, because: string): Promise<void> {
    await this.cast.run(this.by, addUnit, {
      systemId: this.systemId,
      role: 'outdoor',
      model: 'LS outdoor',
      serial,
      replacesUnitId: await this.#outdoorUnit(),
      reason: because,
    })
    this.later(1)
  }
  /** Every unit, for good. */
  async takesTheSystemAway(because: string): Promise<void> {
    for (const unit of await this.#standing())
      await this.cast.run(this.by, removeUnit, { unitId: unit.id, reason: because })
    this.later(1)
  }
  async #standing(): Promise<{ id: string; role: string }[]> {
    const { units } = await look(this.cast, this.cast.sam, `/systems/${this.systemId}`)
    return units.filter((unit: { removedAt: string | null }) => unit.removedAt === null)
  }
  async #outdoorUnit(): Promise<string> {
    return (await this.#standing()).find((unit) => unit.role === 'outdoor')?.id ?? ''
  }

  /** An instrument that is not among the usual ones; nobody has the certificate unless it says so. */
  async brings(kind: InstrumentKind, name: string, confirmed = false): Promise<string> {
    const gauge = {
      fullScale: { value: 6, unit: 'MPa' as const },
      resolution: { value: 1, unit: 'kPa' as const },
      accuracyPercent: 0.5,
    }
    const { id } = await this.cast.run(this.cast.sam, addInstrument, {
      kind,
      name,
      serial: `${name}-${this.jobId.slice(-8)}`,
      ...(kind === 'pressure-gauge' ? gauge : {}),
    })
    if (kind === 'press-tool') this.#pressTool = id
    if (confirmed) await this.confirms(id, 'in-tolerance', 'own-check')
    return id
  }
  /** What a check of an instrument came to, just now. */
  async confirms(
    instrumentId: string,
    result: CalibrationResult = 'in-tolerance',
    basis: CalibrationBasis = 'certificate',
    asFoundErrorPercent?: number,
  ): Promise<void> {
    await this.cast.run(this.cast.sam, recordCalibration, {
      instrumentId,
      at: iso(this.now),
      result,
      basis,
      reference: `check ${this.jobId.slice(-8)}`,
      ...(asFoundErrorPercent === undefined ? {} : { asFoundErrorPercent }),
    })
    this.later(1)
  }

  /** Somebody who works and has no account. */
  async hires(name: string, ...schemes: string[]): Promise<string> {
    const person = await this.cast.run(this.cast.sam, addCrewPerson, {
      name,
      credentials: schemes.map((scheme) => ({ scheme, number: 'K-1' })),
    })
    return person.id
  }

  /** The job is signed; another one begins on the same system, on another day. */
  async comesBack(kind: JobKind, daysLater = 30): Promise<void> {
    this.cast.clock.pass(daysLater * DAY)
    const job = await this.cast.run(this.cast.sam, openJob, {
      siteId: this.siteId,
      kind,
      systemIds: [this.systemId],
    })
    this.jobId = job.id
    this.#jobs += 1
    await this.#begins()
    this.later(20)
  }

  /** So many days go by. */
  async waits(days: number): Promise<void> {
    this.cast.clock.pass(days * DAY)
    await this.#begins()
  }
  /** A job that somebody else opened on the system. */
  isSentTo(jobId: string): void {
    this.jobId = jobId
    this.#jobs += 1
    this.later(20)
  }

  /** Asks for a recorded step of a joint to be replaced; the original stays in sight. Answers the correction. */
  async corrects(
    name: string,
    kind: string,
    replacement: Record<string, unknown>,
    because: string,
  ): Promise<string> {
    const joint = await this.joint(name)
    const make = joint.makes.find((one) => one.current)
    const step = make?.steps.findLast((one) => one.kind === kind)
    const scope = scopeOf(this.cast.store.store.reader(), this.by.companyId)
    const entry = (await listEntriesAbout(scope, joint.id)).find((one) =>
      one.facts.some((fact) => fact.id === step?.id),
    )
    await this.act({
      path: '/corrections',
      on: this.page(joint.id),
      body: { entryId: entry?.id, reason: because, replacement },
    })
    const { items } = await look(this.cast, this.cast.sam, `/jobs/${this.jobId}/corrections`)
    return items.at(-1).id
  }
  async decides(correctionId: string, decision: 'accepted' | 'refused', because: string): Promise<void> {
    this.later(5)
    await this.cast.run(this.cast.sam, decideCorrection, {
      correctionId,
      decision,
      reason: because,
    })
  }

  unit(name: string): string {
    const id = this.#units.get(name)
    if (!id) throw new Error(`No unit is called ${name}.`)
    return id
  }
  line(name: string): string {
    const id = this.#lines.get(name)
    if (!id) throw new Error(`No line set is called ${name}.`)
    return id
  }

  async joints(): Promise<Joint[]> {
    const system = await look(this.cast, this.cast.sam, `/systems/${this.systemId}`)
    return system.joints.filter((joint: Joint) => joint.retiredAt === null)
  }

  /** "Kitchen indoor-gas" */
  async joint(name: string): Promise<Joint> {
    const joints = await this.joints()
    const found = joints.find((one) => this.nameOf(one) === name)
    if (!found)
      throw new Error(
        `No joint is called ${name}; there are ${joints.map((one) => this.nameOf(one)).join(', ')}.`,
      )
    return look(this.cast, this.cast.sam, `/joints/${found.id}`)
  }

  nameOf(joint: Pick<Joint, 'lineSetId' | 'place'>): string {
    const line = [...this.#lines].find(([, id]) => id === joint.lineSetId)?.[0]
    return line ? `${line} ${joint.place}` : joint.place
  }

  page = (jointId: string) => `/joints/${jointId}?job=${this.jobId}`

  async starts(jointId: string, reason?: string, making: Making = {}): Promise<string> {
    await this.act(
      {
        path: `/joints/${jointId}/makes`,
        on: this.page(jointId),
        body: { jobId: this.jobId, ...(reason ? { reason } : {}), ...this.#whose(), ...when(making) },
      },
      making.by,
    )
    const joint = await look(this.cast, this.cast.sam, `/joints/${jointId}`)
    return joint.makes.find((make: { current: boolean }) => make.current).id
  }

  async step(
    jointId: string,
    makeId: string,
    kind: string,
    body: Record<string, unknown>,
    making: Making = {},
  ) {
    await this.act(
      {
        path: `/makes/${makeId}/${kind}`,
        on: this.page(jointId),
        body: { ...body, ...this.#job(), ...this.#whose(), ...when(making) },
      },
      making.by,
    )
    this.later(1)
  }

  /** The usual good record of a step, for a joint of this kind. */
  usual(kind: string, joint: Joint, making: Making): Record<string, unknown> {
    const gas = joint.line === 'gas'
    const size = making.torque ?? { value: gas ? 38 : 16, unit: 'N.m' }
    const usual: Record<string, Record<string, unknown>> = {
      preparation: { allAsListed: true },
      flare: { instrumentId: this.instruments.flaringTool, method: 'powered', depthStopUsed: true },
      brazing: { nitrogenFlow: true },
      pressing: { instrumentId: this.#pressTool, jawSize: gas ? '3/8 in' : '1/4 in', insertionMarked: true },
      inspection: { allAsListed: true, diameterCheck: 'gauge-pass', outcome: 'accepted' },
      assembly: { allAsListed: true, lubricated: 'face' },
      torque: { indication: 'read', reading: size, instrumentId: this.instruments.torqueWrench },
    }
    return { ...usual[kind], ...making.steps?.[kind] }
  }

  /** Every step but the leak check, which comes under pressure. */
  async makes(name: string, making: Making = {}): Promise<string> {
    const joint = await this.joint(name)
    const makeId = await this.starts(joint.id, undefined, making)
    await this.finishes(name, makeId, making)
    return makeId
  }

  async finishes(name: string, makeId: string, making: Making = {}): Promise<void> {
    const joint = await this.joint(name)
    const { steps } = (await look(this.cast, this.cast.sam, `/joints/${joint.id}`)) as { steps: string[] }
    for (const kind of steps) {
      if (kind === making.before) return
      if (kind === 'leak-check') continue
      await this.step(joint.id, makeId, kind, this.usual(kind, joint, making), making)
    }
  }

  async makesInTurn(names: string[], making: Making = {}): Promise<void> {
    for (const name of names) await this.makes(name, making)
  }
  /** Cut off and made anew, for a reason. */
  async remakes(name: string, because: string, making: Making = {}): Promise<void> {
    const { id } = await this.joint(name)
    await this.finishes(name, await this.starts(id, because, making), making)
  }

  /** Every joint of the system that is not a port or cap. */
  async makesEveryJoint(making: Making = {}): Promise<void> {
    for (const joint of await this.joints()) if (!isPort(joint)) await this.makes(this.nameOf(joint), making)
  }

  async torques(name: string, reading: { value: number; unit: string }, more: Record<string, unknown> = {}) {
    const joint = await this.joint(name)
    const makeId = joint.makes.find((make) => make.current)?.id ?? ''
    await this.step(joint.id, makeId, 'torque', {
      indication: 'read',
      reading,
      instrumentId: this.instruments.torqueWrench,
      ...more,
    })
  }

  async checks(name: string, body: Record<string, unknown>): Promise<void> {
    const joint = await this.joint(name)
    const makeId = joint.makes.find((make) => make.current)?.id
    if (makeId) return this.step(joint.id, makeId, 'leak-check', body)
    await this.act({
      path: `/joints/${joint.id}/leak-checks`,
      on: this.page(joint.id),
      body: { jobId: this.jobId, ...body },
    })
  }

  /** Bubbles outdoors, the tracer's detector tried on its reference leak indoors. */
  async checksEveryJoint(only?: (joint: Joint) => boolean): Promise<void> {
    for (const joint of await this.joints()) {
      if (isPort(joint) || (only && !only(joint))) continue
      await this.checks(this.nameOf(joint), joint.indoors ? this.byDetector() : this.byBubbles())
    }
  }
  byBubbles = () => ({ method: 'bubble', medium: 'nitrogen', gaugePressure: MPA(4.15), result: 'none-found' })
  byDetector = () => ({
    method: 'tracer-hydrogen',
    medium: 'tracer-mix',
    instrumentId: this.instruments.leakDetector,
    gaugePressure: MPA(2),
    sensitivity: { value: 3, unit: 'g/yr' },
    sensitivitySource: 'instrument',
    checkedOnTrialLeak: true,
    result: 'none-found',
  })

  async findsALeak(name: string, where = 'nut'): Promise<void> {
    await this.checks(name, { ...this.byBubbles(), result: 'found', where })
    this.later(1)
  }

  /** Holds for an hour at one temperature, unless told otherwise. */
  async pressureTests(
    how: {
      lines?: string[]
      medium?: string
      from?: number
      to?: number
      minutes?: number
      fromC?: number
      toC?: number
      raise?: number
      gauge?: string
      repeatOf?: string
      repeatCause?: string
    } = {},
  ): Promise<string> {
    const minutes = how.minutes ?? 61
    this.later(minutes + 20)
    const began = this.now - (minutes + 15) * MINUTE
    await this.act({
      path: `/systems/${this.systemId}/pressure-tests`,
      on: `/systems/${this.systemId}/pressure-tests/new?jobId=${this.jobId}`,
      body: {
        jobId: this.jobId,
        medium: how.medium ?? 'nitrogen',
        ...(how.lines ? { covers: how.lines.map((line) => ({ lineSetId: this.line(line) })) } : {}),
        gaugeInstrumentId: how.gauge ?? this.instruments.pressureGauge,
        thermometerInstrumentId: this.instruments.thermometer,
        performedAt: iso(began),
        ...(how.repeatOf ? { repeatOf: how.repeatOf } : {}),
        ...(how.repeatCause ? { repeatCause: how.repeatCause } : {}),
        ...this.#whose(),
      },
    })
    const testId = await this.#latest('pressureTests')
    const on = `/pressure-tests/${testId}`
    const reading = (minute: number, stage: string, pressure: number, celsius: number) => ({
      at: iso(began + minute * MINUTE),
      stage,
      gaugePressure: MPA(pressure),
      temperature: CELSIUS(celsius),
    })
    const from = how.from ?? 4.16
    await this.act({
      path: `${on}/readings`,
      on,
      body: {
        readings: [
          reading(1, 'raise', how.raise ?? 1.5, how.fromC ?? 20),
          reading(13, 'hold', from, how.fromC ?? 20),
          reading(14 + minutes, 'hold', how.to ?? from, how.toC ?? how.fromC ?? 20),
        ],
      },
    })
    await this.act({ path: `${on}/conclude`, on, body: {} })
    this.later(1)
    return testId
  }

  /** Flattens at 620 micron, unless told otherwise. */
  async evacuates(
    how: {
      lines?: string[]
      shape?: 'tight' | 'moist' | 'leaking'
      throughOutdoorUnit?: boolean
      repeatOf?: string
      repeatCause?: string
      minutes?: number
    } = {},
  ): Promise<string> {
    const minutes = how.minutes ?? 20
    this.later(minutes + 45)
    const isolated = this.now - (minutes + 1) * MINUTE
    await this.act({
      path: `/systems/${this.systemId}/evacuations`,
      on: `/systems/${this.systemId}/evacuations/new?jobId=${this.jobId}`,
      body: {
        jobId: this.jobId,
        ...(how.lines ? { covers: how.lines.map((line) => ({ lineSetId: this.line(line) })) } : {}),
        ...(how.throughOutdoorUnit ? { throughOutdoorUnit: true } : {}),
        gaugeInstrumentId: this.instruments.vacuumGauge,
        performedAt: iso(this.now - (minutes + 42) * MINUTE),
        ...this.#whose(),
        ...(how.repeatOf ? { repeatOf: how.repeatOf } : {}),
        ...(how.repeatCause ? { repeatCause: how.repeatCause } : {}),
      },
    })
    const testId = await this.#latest('evacuations')
    const on = `/evacuations/${testId}`
    const curve: Record<string, (minute: number) => number> = {
      tight: (minute) => 310 + 310 * (1 - Math.exp(-minute / 4)),
      moist: (minute) => 400 + 3600 * (1 - Math.exp(-minute / 5)),
      leaking: (minute) => 300 + 180 * minute,
    }
    const micronAt = curve[how.shape ?? 'tight'] ?? (() => 0)
    const reading = (at: number, phase: string, micron: number) => ({
      at: iso(at),
      phase,
      absolutePressure: { value: Math.round(micron), unit: 'micron' },
    })
    const decay = Array.from({ length: minutes / 2 + 1 }, (_, index) =>
      reading(isolated + index * 2 * MINUTE, 'decay', micronAt(index * 2)),
    )
    await this.act({
      path: `${on}/readings`,
      on,
      body: {
        readings: [
          reading(isolated - 30 * MINUTE, 'pull', 4000),
          reading(isolated - 2 * MINUTE, 'pull', micronAt(0)),
          ...decay,
        ],
      },
    })
    await this.act({ path: `${on}/conclude`, on, body: {} })
    this.later(1)
    return testId
  }

  /** Of the tests on the job's page, the newest. */
  async #latest(kind: 'pressureTests' | 'evacuations'): Promise<string> {
    const { db, t } = this.cast.store.store.reader()
    const { and, desc, eq } = await import('drizzle-orm')
    const [row] = await db
      .select({ id: t.sectionTests.id })
      .from(t.sectionTests)
      .where(
        and(
          eq(t.sectionTests.companyId, this.by.companyId),
          eq(t.sectionTests.systemId, this.systemId),
          eq(t.sectionTests.kind, kind === 'evacuations' ? 'evacuation' : 'pressure'),
        ),
      )
      .orderBy(desc(t.sectionTests.recordedAt), desc(t.sectionTests.id))
      .limit(1)
    return row?.id ?? ''
  }

  async charges(body: Record<string, unknown> = { direction: 'factory-released' }): Promise<void> {
    this.later(15)
    await this.act({
      path: `/systems/${this.systemId}/charges`,
      on: `/systems/${this.systemId}/charge?jobId=${this.jobId}`,
      body: { jobId: this.jobId, ...this.#whose(), ...body },
    })
  }

  async weighsIn(grams: number): Promise<void> {
    await this.charges({
      direction: 'in',
      mass: { value: grams, unit: 'g' },
      scaleInstrumentId: this.instruments.scale,
      source: 'virgin',
    })
  }
  async recovers(grams: number): Promise<void> {
    await this.charges({
      direction: 'out',
      mass: { value: grams, unit: 'g' },
      scaleInstrumentId: this.instruments.scale,
    })
  }

  async runs(body: Record<string, unknown> = {}): Promise<void> {
    this.later(30)
    const usual = { steadyMinutes: 20, supplyAir: CELSIUS(13), returnAir: CELSIUS(24) }
    await this.act({
      path: `/systems/${this.systemId}/running-checks`,
      on: `/systems/${this.systemId}/running-checks?jobId=${this.jobId}`,
      body: {
        jobId: this.jobId,
        mode: 'cooling',
        ...this.#whose(),
        ...('notPossible' in body ? {} : usual),
        ...body,
      },
    })
  }

  /** All ports and caps, those of one line set in one go, with the detector on the charged system. */
  async closesPorts(): Promise<void> {
    this.later(5)
    const ports = (await this.joints()).filter(isPort)
    for (const lineSetId of new Set(ports.map((port) => port.lineSetId))) {
      const pairs: { jointId: string; known: string | undefined }[] = []
      for (const port of ports.filter((one) => one.lineSetId === lineSetId)) {
        const joint: Joint = await look(this.cast, this.cast.sam, `/joints/${port.id}`)
        const made = joint.makes.find((make) => make.current)
        pairs.push({ jointId: port.id, known: made?.id })
      }
      await this.#closes(pairs)
    }
  }
  async #closes(pairs: { jointId: string; known: string | undefined }[]): Promise<void> {
    const check = {
      method: 'refrigerant-detector',
      medium: 'refrigerant',
      instrumentId: this.instruments.leakDetector,
      result: 'none-found',
    }
    const whose = this.#whose()
    const steps = pairs.flatMap(({ jointId, known }) => {
      const makeId = known ?? newId()
      return [
        ...(known ? [] : [{ step: 'make', id: makeId, jointId, ...whose }]),
        { step: 'closing', makeId, allAsListed: true, ...whose },
        { step: 'leak-check', makeId, ...check, ...whose },
      ]
    })
    await this.act({
      path: `/jobs/${this.jobId}/steps`,
      on: this.page(pairs[0]?.jointId ?? ''),
      body: { steps },
      form: { allAsListed: true, ...check },
    })
    this.later(pairs.length)
  }

  /** The usual rest of an installation, once the joints are made. */
  async finishesTheRest(): Promise<void> {
    await this.checksEveryJoint()
    await this.pressureTests()
    await this.evacuates()
    await this.startsUp()
  }
  /** Released, run and closed. */
  async startsUp(): Promise<void> {
    await this.charges()
    await this.runs()
    await this.closesPorts()
  }
  /** A whole single-zone job, signed. */
  async installs(name: string, lay: Lay = {}): Promise<void> {
    await this.lays(name, lay)
    await this.makesEveryJoint()
    await this.finishesTheRest()
    await this.submits()
    await this.signsOff()
  }
  /** What the finding is called after, as the story calls it. */
  async subjectName(finding: Finding): Promise<string> {
    if (finding.subject.kind !== 'joint') return finding.subject.name
    const { joints } = await look(this.cast, this.cast.sam, `/systems/${this.systemId}`)
    const joint = joints.find((one: Joint) => one.id === finding.subject.id)
    return joint ? this.nameOf(joint) : finding.subject.name
  }

  async findings(): Promise<Finding[]> {
    return look(this.cast, this.cast.sam, `/jobs/${this.jobId}/hold-points`)
  }

  async finding(requirement: RequirementCode, subject?: string): Promise<Finding> {
    const found = (await this.findings()).find(
      (one) => one.requirement === requirement && (subject === undefined || one.subject.name === subject),
    )
    if (!found) throw new Error(`No finding of ${requirement} for ${subject}.`)
    return found
  }

  async submits(
    requests?: { requirement: RequirementCode; subjectId: string; reason: string }[],
  ): Promise<void> {
    this.later(5)
    await this.act({
      path: `/jobs/${this.jobId}/submit`,
      on: `/jobs/${this.jobId}`,
      body: requests ? { requests } : {},
    })
  }
  async signsOff(by: Player = this.cast.sam): Promise<void> {
    this.later(60)
    await this.act({ path: `/jobs/${this.jobId}/sign-off`, on: `/jobs/${this.jobId}`, body: {} }, by)
  }
  async sendsBack(because: string): Promise<void> {
    this.later(5)
    await this.act(
      {
        path: `/jobs/${this.jobId}/send-back`,
        on: `/jobs/${this.jobId}`,
        body: { reason: because },
      },
      this.cast.sam,
    )
  }
  async concedes(requirement: RequirementCode, subjectId: string, reason: string): Promise<void> {
    await this.act(
      {
        path: `/jobs/${this.jobId}/concessions`,
        on: `/jobs/${this.jobId}`,
        body: { requirement, subjectId, reason },
      },
      this.cast.sam,
    )
  }
}

const isPort = (joint: { kind: string }) => joint.kind === 'service-port' || joint.kind === 'valve-cap'
const when = ({ performedAt, performedBy, supervisedBy }: Making) => ({
  ...(performedAt === undefined ? {} : { performedAt: iso(performedAt) }),
  ...(performedBy === undefined ? {} : { performedBy }),
  ...(supervisedBy === undefined ? {} : { supervisedBy }),
})

/** Sessions end after some weeks without use. */
async function signIn(cast: Cast): Promise<void> {
  for (const player of [cast.tess, cast.sam, cast.olga])
    player.cookie = `jointkeep_session=${await cast.deps.sessions.start(player.personId, player.companyId)}`
}

/** Sets the scene: a site, a sheet, instruments, an open job with an outdoor unit. Then the story is told. */
export async function tell(cast: Cast, hands: Hands, story: JobStory, mark: string): Promise<Teller> {
  const refrigerant = story.refrigerant ?? 'R-32'
  const sheet: SheetInput = { ...SHEET, refrigerant, ...story.sheet }
  const it = new Teller(cast, hands, sheet)
  it.refrigerant = refrigerant
  const scope = scopeOf(cast.store.store.reader(), cast.sam.companyId)
  const { findPolicy } = await import('../../server/store/queries/policy.ts')
  const { BUILT_IN_POLICY } = await import('../../server/rules/policy.ts')
  const base: Policy = { ...BUILT_IN_POLICY, evidence: { photos: [] } }
  const inForce = await findPolicy(scope)
  const wanted = story.policy?.(base) ?? base
  if (JSON.stringify(wanted) !== JSON.stringify(inForce.criteria))
    await cast.store.store.transaction(async (session) => {
      await appendFact(scopeOf(session, cast.sam.companyId), 'policies', {
        companyId: cast.sam.companyId,
        id: newId(),
        version: inForce.version + 1,
        criteria: wanted,
        reason: 'for a story',
        changedBy: cast.sam.memberId,
        createdAt: cast.clock.now,
      })
    })
  await signIn(cast)
  it.siteId = (await aSite(cast, cast.sam)).id
  it.instruments = await usualInstruments(cast, { by: cast.sam, mark })
  const sheetRow = await cast.run(cast.sam, addEquipmentSheet, sheet)
  const opened = await cast.run(cast.sam, openJob, { siteId: it.siteId, kind: story.kind ?? 'installation' })
  it.jobId = opened.id
  const { system } = await cast.run(cast.sam, addSystem, {
    jobId: opened.id,
    name: `House ${mark}`,
    refrigerant,
    equipmentSheetId: sheetRow.id,
    outdoorModel: 'LS outdoor',
    outdoorSerial: `OUT-${mark}`,
  })
  it.systemId = system.id
  cast.clock.pass(10 * MINUTE)
  await story.tell(it)
  return it
}
