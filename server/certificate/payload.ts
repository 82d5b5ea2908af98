// What does a certificate say, field by field? Format 1; docs/certificate-format.md explains it to who reads a copy.

import type {
  ChargeDirection,
  DecisionRule,
  DiameterCheck,
  InspectionOutcome,
  InstrumentKind,
  JobKind,
  JointKind,
  JointOrigin,
  Language,
  LeakCheckMedium,
  LeakCheckMethod,
  LeakCheckResult,
  Line,
  PressureVerdict,
  RefrigerantName,
  RequirementCode,
  RunningMode,
  SectionTestKind,
  SubjectKind,
  TestMedium,
  TorqueFamily,
  TorqueIndication,
  TorqueVerdict,
  Tubing,
  UnitRole,
  VacuumVerdict,
} from '../vocabulary.ts'

export const CERTIFICATE_FORMAT = 'jointkeep-certificate'
export const CERTIFICATE_FORMAT_VERSION = 1

/** In SI; the unit says which. */
export interface Amount<U extends string = string> {
  value: number
  unit: U
}

/** ISO 8601, UTC. */
export type Instant = string
/** Of a person of the crew; names are never part of a signed copy. */
export type CrewId = string

export interface CertifiedTorque {
  verdict: TorqueVerdict
  indication: TorqueIndication
  /** What the wrench showed. */
  reading: Amount<'N.m'> | null
  /** At the nut, with the adapter reckoned in. */
  applied: Amount<'N.m'> | null
  /** Half-width within which the true torque lies. */
  uncertainty: Amount<'N.m'> | null
  range: { low: number; high: number; unit: 'N.m'; source: string } | null
  decisionRule: DecisionRule
  instrumentId: string | null
  at: Instant
  by: CrewId
}

export interface CertifiedInspection {
  outcome: InspectionOutcome
  diameterCheck: DiameterCheck
  outerDiameter: Amount<'m'> | null
  at: Instant
  by: CrewId
}

export interface CertifiedLeakCheck {
  method: LeakCheckMethod
  medium: LeakCheckMedium
  result: LeakCheckResult
  /** Whether it could have found what it had to find. */
  verdict: 'tight' | 'leak' | 'not-enough'
  /** The smallest leak this check finds, an estimate. */
  sensitivity: Amount<'kg/yr'> | null
  instrumentId: string | null
  at: Instant
  by: CrewId
}

export interface CertifiedJoint {
  id: string
  tag: string
  place: string
  line: Line
  indoors: boolean
  tubeSize: string
  tubeOd: Amount<'m'>
  kind: JointKind
  origin: JointOrigin
  lineSetId: string | null
  unitId: string | null
  /** The making that counts: 1, 2, 3 …; null for one that was not made here. */
  make: number | null
  /** Whether this job made it or worked on it. */
  workedOnHere: boolean
  retiredAt: Instant | null
  /** Why it was left out of this job, where it was. */
  leftOut: string | null
  torque: CertifiedTorque | null
  inspection: CertifiedInspection | null
  leakCheck: CertifiedLeakCheck | null
  /** Of a brazed joint: did nitrogen flow? Of a pressed one: was the insertion marked? */
  nitrogenFlow: boolean | null
  insertionMarked: boolean | null
}

interface CertifiedTest<Verdict> {
  id: string
  ofThisJob: boolean
  at: Instant
  by: CrewId
  /** What was under test, by name; empty means the whole system. */
  covers: string[]
  verdict: Verdict | null
  /** Why it was not a pass, each in a sentence. */
  reasons: string[]
  held: Amount<'s'>
  requiredHold: Amount<'s'>
  gaugeInstrumentId: string
  /** The smallest leak it would have seen, as refrigerant lost in service: an estimate. */
  smallestSeenLeak: Amount<'kg/yr'> | null
  repeatOf: string | null
  repeatCause: string | null
}

export interface CertifiedPressureTest extends CertifiedTest<PressureVerdict> {
  medium: TestMedium
  thermometerInstrumentId: string | null
  required: (Amount<'Pa'> & { source: string }) | null
  start: Amount<'Pa'> | null
  end: Amount<'Pa'> | null
  /** What a tight system would have shown at the end, at the temperature of the end. */
  expected: Amount<'Pa'> | null
  change: Amount<'Pa'> | null
  changeUncertainty: Amount<'Pa'> | null
  /** The largest fall that may stay unseen. */
  band: Amount<'Pa'> | null
}

export interface CertifiedEvacuation extends CertifiedTest<VacuumVerdict> {
  target: Amount<'Pa'> & { source: string }
  limit: Amount<'Pa'> & { source: string }
  lowest: Amount<'Pa'> | null
  rise: Amount<'Pa'> | null
  /** How the pressure ran once isolated. */
  shape: 'level' | 'line' | 'saturating' | 'both' | null
}

export interface CertifiedCharge {
  verdict: 'within' | 'under' | 'over' | 'above-maximum' | 'unknown'
  reason: string
  required: (Amount<'kg'> & { factory: number; additional: number; source: string }) | null
  factory: Amount<'kg'> | null
  weighedIn: Amount<'kg'>
  takenOut: Amount<'kg'>
  total: Amount<'kg'> | null
  tolerance: Amount<'kg'> | null
  maximum: (Amount<'kg'> & { source: string }) | null
  co2e: (Amount<'kg'> & { gwp: number; basis: string; source: string }) | null
  entries: {
    direction: ChargeDirection
    mass: Amount<'kg'> | null
    scaleInstrumentId: string | null
    at: Instant
    by: CrewId
    ofThisJob: boolean
  }[]
}

export interface CertifiedRunningCheck {
  at: Instant
  by: CrewId
  mode: RunningMode
  verdict: 'within' | 'outside' | 'nothing-to-compare' | 'not-steady' | 'incomplete' | 'not-possible'
  reason: string
  differences: {
    name: string
    measured: Amount<'K'> | null
    range: { low: number; high: number; unit: 'K'; source: string } | null
  }[]
  notPossible: { reason: string; dueAt: Instant } | null
}

export interface CertifiedSystem {
  id: string
  name: string
  refrigerant: RefrigerantName
  sheet: { maker: string; model: string; document: string; page: string } | null
  units: {
    id: string
    role: UnitRole
    model: string
    serial: string
    installedAt: Instant
    removedAt: Instant | null
  }[]
  lineSets: {
    id: string
    name: string
    fromUnitId: string | null
    toUnitId: string | null
    liquidSize: string
    gasSize: string
    length: Amount<'m'>
    rise: Amount<'m'> | null
    tubing: Tubing
  }[]
  joints: CertifiedJoint[]
  pressureTests: CertifiedPressureTest[]
  evacuations: CertifiedEvacuation[]
  charge: CertifiedCharge
  runningChecks: CertifiedRunningCheck[]
  rooms: { lineSetId: string; verdict: string; reason: string; source: string }[]
}

export interface CertifiedConcession {
  requirement: RequirementCode
  title: string
  subject: { kind: SubjectKind; id: string; name: string }
  reason: string
  byMember: string
  at: Instant
  /** Only where it is so: who granted it did or recorded some of the work, which the policy allows. */
  ownWork?: true | undefined
}

export interface CertifiedRequirement {
  requirement: RequirementCode
  title: string
  source: string
  decisionRule: DecisionRule | null
  met: number
  conceded: number
  notApplicable: number
  /** Always 0 on a job that was signed off; kept so that the sum can be checked. */
  notMet: number
}

export interface CertifiedRepeat {
  kind: SectionTestKind
  systemId: string
  /** The sections that were tested more than once, where not the whole system was. */
  covers?: string[] | undefined
  tests: number
  verdicts: string[]
  /** Which of them was the first to pass. */
  firstPass: number | null
  causes: string[]
}

export interface CertifiedInstrument {
  id: string
  kind: InstrumentKind
  name: string
  serial: string
  /** The last confirmation before the work was signed off. */
  confirmedAt: Instant | null
  basis: 'certificate' | 'own-check' | null
  reference: string | null
  result: string | null
  /** How often a confirmation is asked for; null where none is. */
  intervalDays: number | null
  /** When the next one is due, by the policy and the instrument's own interval. */
  dueAt: Instant | null
}

export interface CertificatePayload {
  format: typeof CERTIFICATE_FORMAT
  version: typeof CERTIFICATE_FORMAT_VERSION
  /** What its sentences are written in (BCP 47); absent means English. */
  language?: Language | undefined
  certificate: {
    id: string
    code: string
    /** 1 for the first sign-off of a job, 2 after it was reopened, … */
    revision: number
    issuedAt: Instant
    verifyAt: string
  }
  /** What this is and what it is not, in sentences. */
  statements: string[]
  company: { id: string; name: string }
  place: { town: string }
  job: { id: string; kind: JobKind; openedAt: Instant; submittedAt: Instant | null }
  signedOff: {
    at: Instant
    byMember: string
    by: CrewId | null
    /** True when who signed off also did or recorded some of the work, which the policy then allows. */
    ownWork: boolean
  }
  criteria: {
    policyVersion: number
    decisionRule: DecisionRule
    torqueFamily: TorqueFamily
    gwpBasis: string
    /** Criteria of the company that ask for less than the built-in ones, each in a sentence. */
    looserThanBuiltIn: string[]
  }
  systems: CertifiedSystem[]
  requirements: CertifiedRequirement[]
  concessions: CertifiedConcession[]
  repeated: CertifiedRepeat[]
  instruments: CertifiedInstrument[]
  record: {
    /** The head of each system's chain after the sign-off was entered. */
    heads: { chainId: string; number: number; hash: string }[]
    /** SHA-256 of the canonical JSON of what was frozen: the dossier and all findings. */
    dossierSha256: string
    findingsSha256: string
  }
}
