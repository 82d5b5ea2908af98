// What does a hold point get to look at? The frozen picture of one job: plain data, SI, no database.

import type {
  CalibrationBasis,
  CalibrationResult,
  ChargeDirection,
  ChargeScheme,
  ChargeSource,
  CircuitState,
  DiameterCheck,
  FlareMethod,
  InspectionOutcome,
  InstrumentKind,
  JobKind,
  JobStage,
  JointKind,
  JointOrigin,
  LeakCheckMedium,
  LeakCheckMethod,
  LeakCheckResult,
  Line,
  Lubrication,
  Mounting,
  PhotoSubjectKind,
  PointAnswer,
  PressureStage,
  PressureVerdict,
  RefrigerantName,
  RequirementCode,
  RoomMethod,
  RunningMode,
  SensitivitySource,
  TestConditions,
  TestMedium,
  TorqueIndication,
  Tracer,
  Tubing,
  UnitRole,
  VacuumPhase,
  VacuumVerdict,
} from '../vocabulary.ts'
import type { EvidencePhoto, Policy } from './policy.ts'

/** Who did it and when, kept apart from who typed it and when. Moments are milliseconds since 1970, UTC. */
export interface Provenance {
  /** Crew id of who did the work. */
  performedBy: string
  supervisedBy: string | null
  witnessedBy: string | null
  /** When the work was done, as stated. The order of work follows this. */
  performedAt: number
  /** Member id of who entered it. */
  recordedBy: string
  /** Server time of entry. */
  recordedAt: number
  /** The phone's own clock at entry, where it was sent. */
  deviceAt: number | null
}

/** A list of points answered one by one, or all at once "as listed". */
export interface Points {
  answers: Record<string, PointAnswer>
  reasons: Record<string, string>
  allAsListed: boolean
}

export interface PreparationBody {
  points: Points
  instrumentId: string | null
}
export interface FlareBody {
  instrumentId: string
  method: FlareMethod
  depthStopUsed: boolean
  projectionM: number | null
}
export interface BrazingBody {
  nitrogenFlow: boolean
  filler: string | null
}
export interface PressingBody {
  instrumentId: string
  jawSize: string
  insertionMarked: boolean
}
export interface InspectionBody {
  points: Points
  diameterCheck: DiameterCheck
  outerDiameterM: number | null
  outcome: InspectionOutcome
  photoIds: string[]
}
export interface AssemblyBody {
  points: Points
  lubricated: Lubrication
}
export interface TorqueAdapter {
  /** Drive centre to nut centre; negative when turned back. */
  offsetM: number
  /** Drive centre to grip centre. */
  wrenchLengthM: number
  angleDegrees: number
}
export interface TorqueBody {
  indication: TorqueIndication
  /** What the wrench showed; null when nothing was measured. */
  readingNm: number | null
  instrumentId: string | null
  adapter: TorqueAdapter | null
  /** For `angle-by-manual`. */
  turnDegrees: number | null
  reason: string | null
  witnessMark: boolean
  circuitState: CircuitState
}
export interface ClosingBody {
  points: Points
}
export interface LeakCheckBody {
  method: LeakCheckMethod
  medium: LeakCheckMedium
  instrumentId: string | null
  gaugePressurePa: number | null
  sensitivityKgPerYear: number | null
  sensitivitySource: SensitivitySource
  checkedOnTrialLeak: boolean
  result: LeakCheckResult
  part: string | null
  where: string | null
}

interface StepOf<Kind extends string, Body> extends Provenance {
  id: string
  kind: Kind
  jobId: string
  jointId: string
  /** Null for a leak check of a joint that has no make here. */
  makeId: string | null
  /** The step that this one supersedes by correction, if any. */
  correctsId: string | null
  body: Body
}
export type PreparationStep = StepOf<'preparation', PreparationBody>
export type FlareStep = StepOf<'flare', FlareBody>
export type BrazingStep = StepOf<'brazing', BrazingBody>
export type PressingStep = StepOf<'pressing', PressingBody>
export type InspectionStep = StepOf<'inspection', InspectionBody>
export type AssemblyStep = StepOf<'assembly', AssemblyBody>
export type TorqueStep = StepOf<'torque', TorqueBody>
export type ClosingStep = StepOf<'closing', ClosingBody>
export type LeakCheckStep = StepOf<'leak-check', LeakCheckBody>
export type Step =
  | PreparationStep
  | FlareStep
  | BrazingStep
  | PressingStep
  | InspectionStep
  | AssemblyStep
  | TorqueStep
  | ClosingStep
  | LeakCheckStep

/** One making of a joint. Steps are the effective ones (corrections applied), oldest first by `performedAt`. */
export interface Make extends Provenance {
  id: string
  jointId: string
  jobId: string
  /** 1, 2, 3 …; the highest is current. */
  number: number
  reason: string | null
  steps: Step[]
}

export interface Joint {
  id: string
  tag: string
  lineSetId: string | null
  /** The unit whose connection this joint is, where it is one. */
  unitId: string | null
  /** For example `indoor-gas`, or free text for an extra joint. */
  place: string
  /** Inside the building: field-made indoor joints of flammable systems are judged more strictly. */
  indoors: boolean
  line: Line
  tubeOdM: number
  kind: JointKind
  origin: JointOrigin
  retiredAt: number | null
  /** Oldest first. Makes of earlier jobs are here too. */
  makes: Make[]
  /** Leak checks of the joint, whichever job, effective ones, oldest first. */
  leakChecks: LeakCheckStep[]
}

export interface Room {
  floorAreaM2: number
  releaseHeightM: number | null
  mounting: Mounting | null
  method: RoomMethod
  document: string | null
  page: string | null
  /** False when the area was taken from a drawing or an estimate. */
  measured: boolean
}

export interface LineSet {
  id: string
  name: string
  fromUnitId: string | null
  toUnitId: string | null
  liquidOdM: number
  gasOdM: number
  lengthM: number
  /** Positive when the indoor end is above the outdoor end. */
  riseM: number | null
  tubing: Tubing
  tubeWallM: number | null
  previousRefrigerant: string | null
  cleaning: string | null
  jointKind: JointKind
  room: Room | null
  /** The job that laid or changed it. */
  jobId: string | null
  /** When what is known of it was last changed; said only where something rests on it. */
  changedAt?: number | undefined
}

export interface Unit {
  id: string
  role: UnitRole
  model: string
  serial: string
  installedAt: number
  removedAt: number | null
  replacesUnitId: string | null
}

export interface Range {
  low: number
  high: number
}

/** The figures of one equipment model as its manual states them. SI throughout. */
export interface EquipmentSheet {
  id: string
  maker: string
  model: string
  refrigerant: RefrigerantName
  source: { document: string; page: string }
  factoryChargeKg: number | null
  maxChargeKg: number | null
  prechargedLengthM: number | null
  chargeScheme: ChargeScheme | null
  chargeAdders: { liquidOdM: number; kgPerM: number }[]
  perIndoorUnit: { model: string; massKg: number }[]
  makerTableChargeKg: number | null
  minLengthM: number | null
  maxLengthM: number | null
  maxTotalLengthM: number | null
  maxRiseOutdoorAboveM: number | null
  maxRiseOutdoorBelowM: number | null
  testPressureGaugePa: number | null
  maxPressureGaugePa: number | null
  vacuumTargetPa: number | null
  vacuumLimitPa: number | null
  vacuumHoldS: number | null
  torqueNm: { tubeOdM: number; lowNm: number; highNm: number }[]
  flareDiameterM: { tubeOdM: number; lowM: number; highM: number }[]
  flareLubrication: Lubrication | null
  subcoolingK: Range | null
  superheatK: Range | null
  temperatureSplitK: Range | null
}

export interface Reading {
  id: string
  at: number
  instrumentId: string | null
  /** Where it stands in the place of another: when it was put there. */
  correctedAt?: number | undefined
}
export interface PressureReading extends Reading {
  stage: PressureStage
  gaugePressurePa: number
  temperatureK: number
  thermometerInstrumentId: string | null
}
export interface VacuumReading extends Reading {
  phase: VacuumPhase
  absolutePressurePa: number
  temperatureK: number | null
}

export interface Coverage {
  kind: 'line-set' | 'unit' | 'joint'
  id: string
}

/** What pressure tests and evacuations have in common: a time span over chosen sections of a system. */
interface SectionTest extends Provenance {
  id: string
  jobId: string
  /** The sections under test. Empty means the whole system. */
  covers: Coverage[]
  throughOutdoorUnit: boolean
  /** A failed test that this one repeats, and the cause that was dealt with. */
  repeatOf: string | null
  repeatCause: string | null
  repeatNote: string | null
  /** When it was concluded; null while it runs. */
  concludedAt: number | null
}
export interface PressureTest extends SectionTest {
  medium: TestMedium
  tracer: { kind: Tracer; fraction: number } | null
  gaugeInstrumentId: string
  thermometerInstrumentId: string | null
  atmosphericPressurePa: number
  conditions: TestConditions | null
  readings: PressureReading[]
  verdict: PressureVerdict | null
}
export interface Evacuation extends SectionTest {
  gaugeInstrumentId: string
  gaugeAt: 'far-side' | 'near-pump' | null
  isolatedAt: 'core-tool' | 'manifold' | null
  readings: VacuumReading[]
  verdict: VacuumVerdict | null
}

export interface Charge extends Provenance {
  id: string
  jobId: string
  direction: ChargeDirection
  massKg: number | null
  scaleInstrumentId: string | null
  source: ChargeSource | null
  cylinderId: string | null
}

export interface RunningCheck extends Provenance {
  id: string
  jobId: string
  mode: RunningMode
  steadyS: number | null
  liquidLinePressureGaugePa: number | null
  liquidLineTemperatureK: number | null
  suctionPressureGaugePa: number | null
  suctionTemperatureK: number | null
  supplyAirK: number | null
  returnAirK: number | null
  ambientK: number | null
  notPossible: { reason: string; dueAt: number } | null
}

export interface System {
  id: string
  name: string
  refrigerant: RefrigerantName
  sheet: EquipmentSheet | null
  atmosphericPressurePa: number
  units: Unit[]
  lineSets: LineSet[]
  joints: Joint[]
  pressureTests: PressureTest[]
  evacuations: Evacuation[]
  charges: Charge[]
  runningChecks: RunningCheck[]
}

export interface Calibration {
  id: string
  at: number
  result: CalibrationResult
  basis: CalibrationBasis
  /** Error = (shown − true)/true, in percent of true. */
  points: { nominal: number; asFoundErrorPercent: number; asLeftErrorPercent: number | null }[]
  reference: string | null
  /** When it was entered; left out of what was sealed before this was looked at. */
  recordedAt?: number | undefined
  /** When the last of the uses that it allows was made, before the next check; left out where that did not come. */
  spentAt?: number | undefined
}

export interface Instrument {
  id: string
  kind: InstrumentKind
  name: string
  serial: string
  accuracyPercent: number | null
  /** SI of the instrument's quantity: N·m, Pa, K, kg. */
  accuracyAbsolute: number | null
  resolution: number | null
  repeatability: number | null
  fullScale: number | null
  /** A compound gauge cannot show a deep vacuum. */
  compound: boolean
  calibrationIntervalDays: number | null
  calibrations: Calibration[]
}

export interface Credential {
  scheme: string
  category: string | null
  number: string
  validUntil: number | null
}
export interface CrewPerson {
  id: string
  name: string
  memberId: string | null
  credentials: Credential[]
}

/** Something a technician asked a manager to release, or a manager did release, although it does not meet. */
export interface Concession {
  requirement: RequirementCode
  subjectId: string
  reason: string
  /** What a release hangs on; left out where it hangs on nothing. */
  conditions?: string | undefined
  by: string
  at: number
}

/** A photo as evidence; its bytes stay in the store. */
export interface Photo {
  id: string
  subjectKind: PhotoSubjectKind
  subjectId: string
  stepId?: string | undefined
  /** Which of the photos that the policy asks for it is; null for any other. */
  shows: EvidencePhoto | null
  /** Of the bytes as they are kept. */
  sha256: string
}

export interface Dossier {
  /** The moment for which the job is judged. */
  at: number
  company: { id: string; name: string }
  policy: Policy
  policyVersion: number
  job: {
    id: string
    kind: JobKind
    reference: string | null
    siteId: string
    stage: JobStage
    openedAt: number
    submittedAt: number | null
  }
  systems: System[]
  instruments: Instrument[]
  crew: CrewPerson[]
  /** Joints left out of this job's scope, each with a reason. */
  exclusions: { jointId: string; reason: string }[]
  /** Joints that the job's callback found leaking, and when it was reported; left out where there are none. */
  leaking?: { jointId: string; at: number }[] | undefined
  requests: Concession[]
  concessions: Concession[]
  /** Taken on this job; left out of what was sealed before photos could be taken. */
  photos?: Photo[] | undefined
}
