// What does a signed copy say of a job? Built from the frozen dossier and findings alone, in format 1.

import { sha256 } from '../ids.ts'
import { latest } from '../rules/chronology.ts'
import type {
  Dossier,
  Evacuation,
  Instrument,
  Joint,
  LeakCheckStep,
  PressureTest,
  Provenance,
  RunningCheck,
  System,
} from '../rules/dossier.ts'
import type { Finding } from '../rules/finding.ts'
import { judgeCharge } from '../rules/judge-charge.ts'
import { judgeEvacuationTest } from '../rules/judge-evacuation.ts'
import { confirmationInterval, instrumentUses } from '../rules/judge-instrument.ts'
import { judgeLeakCheck } from '../rules/judge-leak-check.ts'
import { judgePressureTest } from '../rules/judge-pressure-test.ts'
import { judgeRoom } from '../rules/judge-room.ts'
import { judgeRunningCheck } from '../rules/judge-running-check.ts'
import { judgeTorqueStep } from '../rules/judge-torque.ts'
import { netCharge } from '../rules/net-charge.ts'
import { currentMake, leakChecksOf, standingLines, stepsOf, workedOnHere } from '../rules/scope.ts'
import { concessionWords, tubeName } from '../rules/wording.ts'
import { type ChainHead, canonical } from '../store/record.ts'
import { isFlammable } from '../trade/refrigerants.ts'
import { FIRST_LANGUAGE, languageNow, say } from '../words/say.ts'
import { looserInWords } from './criteria.ts'
import {
  type Amount,
  CERTIFICATE_FORMAT,
  CERTIFICATE_FORMAT_VERSION,
  type CertificatePayload,
  type CertifiedCharge,
  type CertifiedEvacuation,
  type CertifiedInstrument,
  type CertifiedJoint,
  type CertifiedPressureTest,
  type CertifiedRepeat,
  type CertifiedRequirement,
  type CertifiedRunningCheck,
  type CertifiedSystem,
} from './payload.ts'

export interface CopySource {
  /** Without names; what is stored beside the certificate. */
  dossier: Dossier
  findings: readonly Finding[]
  certificateId: string
  code: string
  revision: number
  issuedAt: number
  issuedByMember: string
  /** Left out, it is read off the dossier, which knows not every hand. */
  ownWork?: boolean | undefined
  /** Of those who granted a concession, who had a hand in the work; left out, as far as the dossier can say. */
  concededOwnWork?: ReadonlySet<string> | undefined
  heads: readonly ChainHead[]
  publicUrl: string
  town: string
  policyVersion: number
}

const DAY_MS = 86_400_000

/** Said on every certificate, on paper and on screen. */
const statements = (): string[] => [
  say.certificates.thisIsAStatement,
  say.certificates.itIsNotA,
  say.certificates.itSpeaksOfThe,
  say.certificates.everyTestHasA,
  say.certificates.theEquipmentManualThe,
]

export function signedCopyOf(source: CopySource): CertificatePayload {
  const { dossier, findings } = source
  const { company, job, policy } = dossier
  const systems = dossier.systems.map((system) => systemOf(system, dossier))
  return {
    format: CERTIFICATE_FORMAT,
    version: CERTIFICATE_FORMAT_VERSION,
    ...(languageNow() === FIRST_LANGUAGE ? {} : { language: languageNow() }),
    certificate: {
      id: source.certificateId,
      code: source.code,
      revision: source.revision,
      issuedAt: instant(source.issuedAt),
      verifyAt: `${source.publicUrl}/verify/${source.code}`,
    },
    statements: statements(),
    company: { id: company.id, name: company.name },
    place: { town: source.town },
    job: {
      id: job.id,
      kind: job.kind,
      openedAt: instant(job.openedAt),
      submittedAt: job.submittedAt === null ? null : instant(job.submittedAt),
    },
    signedOff: {
      at: instant(source.issuedAt),
      byMember: source.issuedByMember,
      by: crewIdOf(dossier, source.issuedByMember),
      ownWork: source.ownWork ?? hasOwnWork(dossier, source.issuedByMember),
    },
    criteria: {
      policyVersion: source.policyVersion,
      decisionRule: policy.decisionRule,
      torqueFamily: policy.torqueFamily,
      gwpBasis: policy.gwpBasis,
      looserThanBuiltIn: looserInWords(policy),
    },
    systems,
    requirements: requirementsOf(findings),
    concessions: concessionsOf(source),
    repeated: systems.flatMap(repeatsOf),
    instruments: usedInstruments(dossier).map((instrument) => instrumentOf(instrument, dossier)),
    record: {
      heads: source.heads.map(({ chainId, number, hash }) => ({ chainId, number, hash })),
      dossierSha256: digestOf(dossier),
      findingsSha256: digestOf(findings),
    },
  }
}

/** SHA-256 of the canonical JSON (RFC 8785), of the value as it reads back from where it is stored. */
export const digestOf = (value: unknown): string => sha256(canonical(JSON.parse(JSON.stringify(value))))

const instant = (at: number): string => new Date(at).toISOString()

/** Computed figures carry digits that mean nothing; nine are more than any instrument shows. */
const figure = (value: number): number => Number(value.toPrecision(9))
const amount = <U extends string>(value: number, unit: U): Amount<U> => ({ value: figure(value), unit })
const amountOrNull = <U extends string>(value: number | null | undefined, unit: U): Amount<U> | null =>
  value === null || value === undefined || !Number.isFinite(value) ? null : amount(value, unit)

const crewIdOf = (dossier: Dossier, memberId: string): string | null =>
  dossier.crew.find((person) => person.memberId === memberId)?.id ?? null

/** Everything that was done or measured on a system, with who did it. */
export function factsOf(system: System): (Provenance & { jobId: string })[] {
  return [
    ...system.joints.flatMap((joint) => [
      ...joint.makes.flatMap((make) => [make, ...make.steps]),
      ...joint.leakChecks,
    ]),
    ...system.pressureTests,
    ...system.evacuations,
    ...system.charges,
    ...system.runningChecks,
  ]
}

function hasOwnWork(dossier: Dossier, memberId: string): boolean {
  const crewId = crewIdOf(dossier, memberId)
  return dossier.systems
    .flatMap(factsOf)
    .some(
      (fact) =>
        fact.jobId === dossier.job.id && (fact.recordedBy === memberId || fact.performedBy === crewId),
    )
}

function systemOf(system: System, dossier: Dossier): CertifiedSystem {
  const { sheet } = system
  return {
    id: system.id,
    name: system.name,
    refrigerant: system.refrigerant,
    sheet: sheet && { maker: sheet.maker, model: sheet.model, ...sheet.source },
    units: system.units.map((unit) => ({
      id: unit.id,
      role: unit.role,
      model: unit.model,
      serial: unit.serial,
      installedAt: instant(unit.installedAt),
      removedAt: unit.removedAt === null ? null : instant(unit.removedAt),
    })),
    lineSets: system.lineSets.map((line) => ({
      id: line.id,
      name: line.name,
      fromUnitId: line.fromUnitId,
      toUnitId: line.toUnitId,
      liquidSize: tubeName(line.liquidOdM),
      gasSize: tubeName(line.gasOdM),
      length: amount(line.lengthM, 'm'),
      rise: amountOrNull(line.riseM, 'm'),
      tubing: line.tubing,
    })),
    joints: system.joints.map((joint) => jointOf(joint, system, dossier)),
    pressureTests: inTime(system.pressureTests).map((test) => pressureTestOf(test, system, dossier)),
    evacuations: inTime(system.evacuations).map((test) => evacuationOf(test, system, dossier)),
    charge: chargeOf(system, dossier),
    runningChecks: inTime(system.runningChecks)
      .filter((check) => check.jobId === dossier.job.id)
      .map((check) => runningCheckOf(check, system, dossier)),
    rooms: roomsOf(system),
  }
}

const inTime = <T extends Provenance>(facts: readonly T[]): T[] =>
  [...facts].sort((a, b) => a.performedAt - b.performedAt || a.recordedAt - b.recordedAt)

function jointOf(joint: Joint, system: System, dossier: Dossier): CertifiedJoint {
  const make = currentMake(joint)
  const torque = make && stepsOf(make, 'torque').at(-1)
  const inspection = make && stepsOf(make, 'inspection').at(-1)
  const leakCheck = leakChecksOf(joint).at(-1)
  return {
    id: joint.id,
    tag: joint.tag,
    place: joint.place,
    line: joint.line,
    indoors: joint.indoors,
    tubeSize: tubeName(joint.tubeOdM),
    tubeOd: amount(joint.tubeOdM, 'm'),
    kind: joint.kind,
    origin: joint.origin,
    lineSetId: joint.lineSetId,
    unitId: joint.unitId,
    make: make?.number ?? null,
    workedOnHere: workedOnHere(joint, dossier.job.id),
    retiredAt: joint.retiredAt === null ? null : instant(joint.retiredAt),
    leftOut: dossier.exclusions.find((left) => left.jointId === joint.id)?.reason ?? null,
    torque: torque ? torqueOf(joint, torque, system, dossier) : null,
    inspection: inspection
      ? {
          outcome: inspection.body.outcome,
          diameterCheck: inspection.body.diameterCheck,
          outerDiameter: amountOrNull(inspection.body.outerDiameterM, 'm'),
          ...doneBy(inspection),
        }
      : null,
    leakCheck: leakCheck ? leakCheckOf(leakCheck, joint, system, dossier) : null,
    nitrogenFlow: (make && stepsOf(make, 'brazing').at(-1)?.body.nitrogenFlow) ?? null,
    insertionMarked: (make && stepsOf(make, 'pressing').at(-1)?.body.insertionMarked) ?? null,
  }
}

const doneBy = (fact: Provenance) => ({ at: instant(fact.performedAt), by: fact.performedBy })

function torqueOf(
  joint: Joint,
  step: Extract<Joint['makes'][number]['steps'][number], { kind: 'torque' }>,
  system: System,
  { policy, instruments }: Dossier,
): NonNullable<CertifiedJoint['torque']> {
  const judged = judgeTorqueStep(joint, step.body, { policy, sheet: system.sheet, instruments })
  return {
    verdict: judged.verdict,
    indication: step.body.indication,
    reading: amountOrNull(step.body.readingNm, 'N.m'),
    applied: amountOrNull(judged.appliedNm, 'N.m'),
    uncertainty: amountOrNull(judged.uncertaintyNm, 'N.m'),
    range: judged.range && {
      low: figure(judged.range.lowNm),
      high: figure(judged.range.highNm),
      unit: 'N.m',
      source: judged.range.source,
    },
    decisionRule: judged.decisionRule,
    instrumentId: step.body.instrumentId,
    ...doneBy(step),
  }
}

function leakCheckOf(
  check: LeakCheckStep,
  joint: Joint,
  system: System,
  { policy }: Dossier,
): NonNullable<CertifiedJoint['leakCheck']> {
  const judged = judgeLeakCheck(check.body, joint, system, policy)
  return {
    method: check.body.method,
    medium: check.body.medium,
    result: check.body.result,
    verdict: judged.verdict,
    sensitivity: amountOrNull(judged.sensitivityKgPerYear, 'kg/yr'),
    instrumentId: check.body.instrumentId,
    ...doneBy(check),
  }
}

/** The sections under test, as they are called. */
export function coveredNames(test: Pick<PressureTest, 'covers'>, system: System): string[] {
  return test.covers.map(({ kind, id }) => {
    if (kind === 'line-set')
      return system.lineSets.find((line) => line.id === id)?.name ?? say.certificates.aLineSet
    if (kind === 'joint')
      return system.joints.find((joint) => joint.id === id)?.tag ?? say.certificates.aJoint
    const unit = system.units.find((candidate) => candidate.id === id)
    return unit ? say.certificates.unit(unit.role, unit.model) : say.certificates.aUnit
  })
}

function pressureTestOf(test: PressureTest, system: System, dossier: Dossier): CertifiedPressureTest {
  const judged = judgePressureTest(test, system, dossier)
  return {
    id: test.id,
    ofThisJob: test.jobId === dossier.job.id,
    ...doneBy(test),
    covers: coveredNames(test, system),
    verdict: test.concludedAt === null ? null : judged.verdict,
    reasons: judged.reasons.map(({ text }) => text),
    held: amount(judged.holdS, 's'),
    requiredHold: amount(judged.requiredHoldS, 's'),
    gaugeInstrumentId: test.gaugeInstrumentId,
    smallestSeenLeak: amountOrNull(judged.smallestSeenRefrigerantKgPerYear, 'kg/yr'),
    repeatOf: test.repeatOf,
    repeatCause: test.repeatCause,
    medium: test.medium,
    thermometerInstrumentId: test.thermometerInstrumentId,
    required: judged.required && {
      ...amount(judged.required.pressurePa, 'Pa'),
      source: judged.required.source,
    },
    start: amountOrNull(judged.startGaugePressurePa, 'Pa'),
    end: amountOrNull(judged.endGaugePressurePa, 'Pa'),
    expected: amountOrNull(judged.expectedGaugePressurePa, 'Pa'),
    change: amountOrNull(judged.changePa, 'Pa'),
    changeUncertainty: amountOrNull(judged.changeUncertaintyPa, 'Pa'),
    band: amountOrNull(judged.bandPa, 'Pa'),
  }
}

function evacuationOf(test: Evacuation, system: System, dossier: Dossier): CertifiedEvacuation {
  const judged = judgeEvacuationTest(test, system, dossier)
  const { targetPa, limitPa, holdS } = judged.criteria
  return {
    id: test.id,
    ofThisJob: test.jobId === dossier.job.id,
    ...doneBy(test),
    covers: coveredNames(test, system),
    verdict: test.concludedAt === null ? null : judged.verdict,
    reasons: judged.reasons.map(({ text }) => text),
    held: amount(judged.holdS, 's'),
    requiredHold: amount(holdS.value, 's'),
    gaugeInstrumentId: test.gaugeInstrumentId,
    smallestSeenLeak: amountOrNull(judged.unseenRefrigerantKgPerYear, 'kg/yr'),
    repeatOf: test.repeatOf,
    repeatCause: test.repeatCause,
    target: { ...amount(targetPa.value, 'Pa'), source: targetPa.source },
    limit: { ...amount(limitPa.value, 'Pa'), source: limitPa.source },
    lowest: amountOrNull(judged.lowestPressurePa, 'Pa'),
    rise: amountOrNull(judged.riseInHoldPa, 'Pa'),
    shape: judged.curve?.kind ?? null,
  }
}

function chargeOf(system: System, dossier: Dossier): CertifiedCharge {
  const judged = judgeCharge(system, dossier)
  const { net, required, maximum, co2e } = judged
  return {
    verdict: judged.verdict,
    reason: judged.reason,
    required: required && {
      ...amount(required.totalKg, 'kg'),
      factory: figure(required.factoryKg),
      additional: figure(required.additionalKg),
      source: required.source,
    },
    factory: amountOrNull(net.factoryKg, 'kg'),
    weighedIn: amount(net.weighedInKg, 'kg'),
    takenOut: amount(net.takenOutKg, 'kg'),
    total: amountOrNull(net.totalKg, 'kg'),
    tolerance: amountOrNull(judged.toleranceKg, 'kg'),
    maximum: maximum && { ...amount(maximum.massKg, 'kg'), source: maximum.source },
    co2e: co2e && { ...amount(co2e.kg, 'kg'), gwp: co2e.gwp, basis: co2e.basis, source: co2e.source },
    entries: inTime(system.charges).map((charge) => ({
      direction: charge.direction,
      mass: amountOrNull(charge.massKg, 'kg'),
      scaleInstrumentId: charge.scaleInstrumentId,
      ...doneBy(charge),
      ofThisJob: charge.jobId === dossier.job.id,
    })),
  }
}

function runningCheckOf(check: RunningCheck, system: System, { policy }: Dossier): CertifiedRunningCheck {
  const judged = judgeRunningCheck(check, system, policy)
  return {
    ...doneBy(check),
    mode: check.mode,
    verdict: judged.verdict,
    reason: judged.reason,
    differences: judged.differences.map(({ name, measuredK, range }) => ({
      name,
      measured: amountOrNull(measuredK, 'K'),
      range: range && {
        low: figure(range.lowK),
        high: figure(range.highK),
        unit: 'K' as const,
        source: range.source,
      },
    })),
    notPossible: check.notPossible && {
      reason: check.notPossible.reason,
      dueAt: instant(check.notPossible.dueAt),
    },
  }
}

/** For a flammable refrigerant: does each room that was described take the charge? */
function roomsOf(system: System): CertifiedSystem['rooms'] {
  if (!isFlammable(system.refrigerant)) return []
  const chargeKg = netCharge(system).totalKg
  if (chargeKg === null) return []
  return standingLines(system)
    .filter((line) => line.room !== null)
    .map((line) => {
      const { verdict, reason, source } = judgeRoom(system.refrigerant, chargeKg, line.room)
      return { lineSetId: line.id, verdict, reason, source }
    })
}

function requirementsOf(findings: readonly Finding[]): CertifiedRequirement[] {
  const byCode = new Map<string, CertifiedRequirement>()
  for (const finding of findings) {
    const sum = byCode.get(finding.requirement) ?? {
      requirement: finding.requirement,
      title: finding.title,
      source: finding.source,
      decisionRule: finding.decisionRule,
      met: 0,
      conceded: 0,
      notApplicable: 0,
      notMet: 0,
    }
    if (finding.outcome === 'met') sum.met += 1
    else if (finding.outcome === 'conceded') sum.conceded += 1
    else if (finding.outcome === 'not-applicable') sum.notApplicable += 1
    else sum.notMet += 1
    byCode.set(finding.requirement, sum)
  }
  return [...byCode.values()]
}

/** Only those that a finding rests on: one that was granted and then not needed released nothing. */
function concessionsOf({
  dossier,
  findings,
  concededOwnWork,
}: CopySource): CertificatePayload['concessions'] {
  const isOwn = (memberId: string) => concededOwnWork?.has(memberId) ?? hasOwnWork(dossier, memberId)
  return findings.flatMap((finding) => {
    if (finding.outcome !== 'conceded') return []
    const granted = dossier.concessions.findLast(
      (concession) =>
        concession.requirement === finding.requirement && concession.subjectId === finding.subject.id,
    )
    const { requirement, title, subject } = finding
    const ownWork = granted !== undefined && isOwn(granted.by)
    return {
      requirement,
      title,
      subject,
      reason: granted ? concessionWords(granted) : finding.reason,
      byMember: granted?.by ?? '',
      at: instant(granted?.at ?? dossier.at),
      ...(ownWork ? { ownWork } : {}),
    }
  })
}

/**
 * No testing until it passes unseen: where this job tested something more than once, all tests of it are counted. Sections
 * that were tested one after the other, each once, are no repeats of each other.
 */
export function repeatsOf(
  system: Pick<CertifiedSystem, 'id' | 'lineSets' | 'pressureTests' | 'evacuations'>,
): CertifiedRepeat[] {
  const lines = new Set(system.lineSets.map(({ name }) => name))
  const of = (
    kind: CertifiedRepeat['kind'],
    tests: readonly (CertifiedPressureTest | CertifiedEvacuation)[],
    passes: string,
  ): CertifiedRepeat[] => {
    const here = tests.filter((test) => test.ofThisJob && test.verdict !== null)
    return sharing(here, lines).flatMap((same) => {
      if (same.length < 2) return []
      const first = same.findIndex((test) => test.verdict === passes)
      const isWhole = same.some((test) => test.covers.length === 0)
      return [
        {
          kind,
          systemId: system.id,
          ...(isWhole ? {} : { covers: [...new Set(same.flatMap((test) => test.covers))] }),
          tests: same.length,
          verdicts: same.map((test) => test.verdict ?? ''),
          firstPass: first < 0 ? null : first + 1,
          causes: same.flatMap((test) => test.repeatCause ?? []),
        },
      ]
    })
  }
  return [...of('pressure', system.pressureTests, 'holds'), ...of('evacuation', system.evacuations, 'tight')]
}

/**
 * Tests that had something in common, in the order they were made. What is no line set by its name, a joint or a unit,
 * may lie in any of them.
 */
function sharing<Test extends { covers: readonly string[] }>(
  tests: readonly Test[],
  lines: ReadonlySet<string>,
): Test[][] {
  const isAnywhere = ({ covers }: Test) => covers.length === 0 || covers.some((name) => !lines.has(name))
  const share = (one: Test, other: Test) =>
    isAnywhere(one) || isAnywhere(other) || one.covers.some((name) => other.covers.includes(name))
  return tests.reduce<Test[][]>((groups, test) => {
    const touched = groups.filter((group) => group.some((other) => share(test, other)))
    const merged = tests.filter((one) => one === test || touched.some((group) => group.includes(one)))
    return [...groups.filter((group) => !touched.includes(group)), merged]
  }, [])
}

function usedInstruments(dossier: Dossier): Instrument[] {
  const uses = instrumentUses(dossier)
  return dossier.instruments.filter((instrument) => uses.has(instrument.id))
}

function instrumentOf(instrument: Instrument, dossier: Dossier): CertifiedInstrument {
  const before = instrument.calibrations.filter((calibration) => calibration.at <= dossier.at)
  const last = latest(before.map((calibration) => ({ ...calibration, ...at(calibration.at) })))
  const intervalDays = confirmationInterval(instrument, dossier.policy.confirmationDays)
  return {
    id: instrument.id,
    kind: instrument.kind,
    name: instrument.name,
    serial: instrument.serial,
    confirmedAt: last ? instant(last.at) : null,
    basis: last?.basis ?? null,
    reference: last?.reference ?? null,
    result: last?.result ?? null,
    intervalDays,
    dueAt: last && intervalDays !== null ? instant(last.at + intervalDays * DAY_MS) : null,
  }
}

const at = (moment: number) => ({ performedAt: moment, recordedAt: moment })
