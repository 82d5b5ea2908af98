// What goes on a certificate's page? The signed payload in words, the frozen facts as curves, people by their names.

import type {
  CertificatePageProps,
  CertifiedJointRow,
  CertifiedSystemBlock,
  CertifiedTestBlock,
} from '../../views/certificates/certificate.tsx'
import { crewLabel } from '../certificate/names.ts'
import type { CertificatePayload, CertifiedJoint, CertifiedSystem } from '../certificate/payload.ts'
import type { Standing } from '../certificate/standing.ts'
import {
  acceptanceLine,
  cautionFor,
  coverWords,
  dayWords,
  groupedCode,
  instantWords,
  jobKindWords,
  kilogramsRounded,
  kindWords,
  leakCheckLine,
  leakWords,
  massWords,
  minutesWords,
  placeWords,
  pressureTestLine,
  pressureWords,
  repeatLine,
  sinceLines,
  torqueVerdictWords,
  vacuumVerdictWords,
  vacuumWords,
} from '../certificate/words.ts'
import type { Dossier, System } from '../rules/dossier.ts'
import { judgeEvacuationTest } from '../rules/judge-evacuation.ts'
import { judgePressureTest } from '../rules/judge-pressure-test.ts'
import type { CertificatePlace, CertificateRow } from '../store/queries/certificates.ts'
import { isFlammable } from '../trade/refrigerants.ts'
import { formatNumber, formatQuantity, fromKelvins, fromNewtonMetres, fromPascals } from '../trade/units.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import { findingItem } from './finding-items.ts'
import type { Shell } from './shell.ts'
import { stripOf } from './strip-of.ts'

export interface CertificateData {
  row: CertificateRow
  standing: Standing
  place: CertificatePlace
  people: { crew: Map<string, string>; members: Map<string, string> }
}

/** How a person is called now; who was erased stays an id. */
export const crewNamed =
  ({ people }: Pick<CertificateData, 'people'>) =>
  (crewId: string): string =>
    people.crew.get(crewId) || crewLabel(crewId)
export const memberNamed = ({ people }: Pick<CertificateData, 'people'>, memberId: string): string =>
  people.members.get(memberId) || say.certificates.aMemberWhoIs

const ownWork = () => say.certificates.didOrRecordedSome

export function certificatePageProps(
  data: CertificateData,
  payload: CertificatePayload,
  shell: Shell,
): CertificatePageProps {
  const { row, standing, place } = data
  const { certificate, job, signedOff } = payload
  const own = signedOff.ownWork ? ownWork() : ''
  return {
    shell,
    code: groupedCode(certificate.code),
    revision: certificate.revision,
    state: standing.state,
    faults: standing.faults,
    since: sinceLines(standing.since),
    hrefs: {
      pdf: `/certificates/${row.id}.pdf`,
      json: `/certificates/${row.id}.json`,
      verify: `/verify/${certificate.code}`,
      job: `/jobs/${job.id}`,
    },
    facts: [
      {
        label: say.certificates.site,
        value: placeInWords(place),
        note: say.certificates.notInTheSigned,
      },
      {
        label: say.certificates.work,
        value: jobKindWords()[job.kind],
        ...(place.reference === null ? {} : { note: place.reference }),
      },
      {
        label: say.certificates.signedOff,
        value: instantWords(signedOff.at),
        note: say.certificates.by2(memberNamed(data, signedOff.byMember), own),
      },
      {
        label: say.certificates.judgedBy,
        value: say.certificates.acceptance(coded(payload.criteria.decisionRule)),
        note: say.certificates.criteriaVersion(payload.criteria.policyVersion),
      },
    ],
    systems: payload.systems.flatMap((system) => {
      const frozen = row.dossier.systems.find(({ id }) => id === system.id)
      return frozen ? systemBlock(system, frozen, row.dossier, payload, data) : []
    }),
    // What is left to do belongs to the day it was judged, not to a sealed paper.
    findings: row.findings.map((finding) => ({
      ...findingItem(finding, { jobId: row.jobId }),
      ...(finding.subject.kind === 'person' ? { subject: crewNamed(data)(finding.subject.id) } : {}),
      nextAction: undefined,
      nextHref: undefined,
    })),
    concessions: payload.concessions.map((concession) => ({
      id: `${concession.requirement}-${concession.subject.id}`,
      what: `${concession.title} (${concession.subject.name}).`,
      reason: concession.reason,
      by: `${memberNamed(data, concession.byMember)}, ${dayWords(concession.at)}${concession.ownWork ? ownWork() : ''}`,
    })),
    looser: payload.criteria.looserThanBuiltIn,
    instruments: payload.instruments.map((instrument) => ({
      id: instrument.id,
      kind: coded(instrument.kind),
      name: instrument.name,
      serial: instrument.serial,
      confirmed:
        instrument.confirmedAt === null
          ? instrument.intervalDays === null
            ? say.certificates.notAskedFor
            : say.certificates.notOnRecord
          : [
              dayWords(instrument.confirmedAt),
              instrument.basis && coded(instrument.basis),
              instrument.result && coded(instrument.result),
            ]
              .join(', ')
              .replaceAll(/(?<=[a-z])-/g, ' '),
      due: instrument.dueAt === null ? '–' : dayWords(instrument.dueAt),
    })),
    cautions: [...new Set(payload.systems.map((system) => system.refrigerant))].map((refrigerant) => ({
      harm: isFlammable(refrigerant) ? ('flammable' as const) : ('pressure' as const),
      words: cautionFor(refrigerant),
    })),
    statements: payload.statements,
    record: [
      ...payload.record.heads.map((head) =>
        say.certificates.recordEntry2(head.chainId, head.number, head.hash),
      ),
      say.certificates.dossier2(payload.record.dossierSha256),
      say.certificates.findings2(payload.record.findingsSha256),
    ],
  }
}

function systemBlock(
  system: CertifiedSystem,
  frozen: System,
  dossier: Dossier,
  payload: CertificatePayload,
  data: CertificateData,
): CertifiedSystemBlock {
  return {
    id: system.id,
    name: system.name,
    refrigerant: system.refrigerant,
    facts: [
      ...system.units.map((unit) => ({
        label: say.certificates.unit2(coded(unit.role)),
        value: say.certificates.serial2(unit.model, unit.serial),
        ...(unit.removedAt === null ? {} : { note: say.certificates.removed2(dayWords(unit.removedAt)) }),
      })),
      {
        label: say.certificates.equipmentSheet,
        value: system.sheet
          ? `${system.sheet.maker} ${system.sheet.model}`
          : say.certificates.noneBuiltInFigures,
        ...(system.sheet ? { note: say.certificates.page(system.sheet.document, system.sheet.page) } : {}),
      },
    ],
    strip: stripOf(frozen, dossier, { hrefOf: (joint) => `/joints/${joint.id}` }),
    joints: system.joints.map((joint) => jointRow(joint, data)),
    tests: [...pressureBlocks(system, frozen, dossier), ...evacuationBlocks(system, frozen, dossier)],
    repeats: payload.repeated.filter(({ systemId }) => systemId === system.id).map(repeatLine),
    refrigerantFacts: refrigerantFacts(system),
  }
}

function jointRow(joint: CertifiedJoint, data: CertificateData): CertifiedJointRow {
  const { torque } = joint
  const by = torque?.by ?? joint.inspection?.by
  const retired = joint.retiredAt === null ? '' : say.certificates.takenOut2(dayWords(joint.retiredAt))
  return {
    id: joint.id,
    tag: joint.tag,
    place: placeWords(joint),
    kind: `${kindWords(joint)}${retired}`,
    tube: joint.tubeSize,
    making: joint.make === null ? '' : say.certificates.making2(joint.make),
    by: by === undefined ? '' : crewNamed(data)(by),
    torque:
      torque?.applied && torque.range
        ? {
            value: formatNumber(torque.applied.value, 1),
            unit: 'N·m',
            at: torque.applied.value,
            low: torque.range.low,
            high: torque.range.high,
            uncertainty: torque.uncertainty?.value,
            verdict: torqueVerdictWords()[torque.verdict],
            outcome: torque.verdict === 'in-range' ? 'met' : 'failed',
            also: `${formatNumber(fromNewtonMetres(torque.applied.value, 'ft.lbf'), 1)} ft·lbf`,
            source: torque.range.source,
          }
        : null,
    noTorque:
      joint.leftOut !== null
        ? say.certificates.leftOut2(joint.leftOut)
        : torque === null
          ? say.certificates.noneAtAll
          : torqueVerdictWords()[torque.verdict],
    accepted: acceptanceLine(joint),
    leakCheck: leakCheckLine(joint) || say.certificates.noLeakCheck,
  }
}

const smallestLeak = (seen: { value: number } | null) => ({
  label: say.certificates.smallestLeakSeen,
  value: seen ? leakWords(seen.value) : say.certificates.notKnown,
  note: seen ? say.certificates.anEstimate : undefined,
})

function pressureBlocks(system: CertifiedSystem, frozen: System, dossier: Dossier): CertifiedTestBlock[] {
  return system.pressureTests.flatMap((test) => {
    const raw = frozen.pressureTests.find(({ id }) => id === test.id)
    if (!raw) return []
    const judged = judgePressureTest(raw, frozen, dossier)
    const zero = judged.startAtMs ?? raw.performedAt
    const minutes = (at: number) => (at - zero) / 60_000
    const megapascals = (pressurePa: number) => fromPascals(pressurePa, 'MPa')
    const words = pressureTestLine(test)
    const { startAtMs, endAtMs, startGaugePressurePa, expectedGaugePressurePa, changeUncertaintyPa } = judged
    return {
      id: test.id,
      title: say.certificates.pressureTest(instantWords(test.at)),
      href: `/pressure-tests/${test.id}`,
      facts: [
        {
          label: say.certificates.verdict,
          value: words,
          note: test.verdict === 'holds' ? undefined : test.reasons.join(' '),
        },
        {
          label: say.certificates.underTest,
          value: `${coverWords(test.covers)}, ${coded(test.medium)}`,
        },
        {
          label: say.certificates.held,
          value: minutesWords(test.held.value),
          note: say.certificates.askedFor2(minutesWords(test.requiredHold.value)),
        },
        {
          label: say.certificates.fromAndTo,
          value:
            test.start && test.end
              ? say.certificates.to(pressureWords(test.start.value), pressureWords(test.end.value))
              : say.certificates.notKnown,
        },
        ...(test.required
          ? [
              {
                label: say.certificates.testPressure,
                value: pressureWords(test.required.value),
                note: test.required.source,
              },
            ]
          : []),
        smallestLeak(test.smallestSeenLeak),
      ],
      pressure: {
        id: `pressure-${test.id}`,
        title: say.certificates.pressureTestOf(coverWords(test.covers)),
        unit: 'MPa',
        readings: raw.readings.map((reading) => ({
          minutes: minutes(reading.at),
          stage: reading.stage,
          gaugePressure: megapascals(reading.gaugePressurePa),
          pressureTyped: formatQuantity(megapascals(reading.gaugePressurePa), 'MPa'),
          temperatureTyped: formatQuantity(fromKelvins(reading.temperatureK, 'degC'), 'degC'),
          atWords: instantWords(new Date(reading.at).toISOString()).slice(11),
        })),
        expected:
          startAtMs === null ||
          endAtMs === null ||
          startGaugePressurePa === null ||
          expectedGaugePressurePa === null ||
          changeUncertaintyPa === null
            ? undefined
            : [
                {
                  minutes: minutes(startAtMs),
                  low: megapascals(startGaugePressurePa),
                  high: megapascals(startGaugePressurePa),
                },
                {
                  minutes: minutes(endAtMs),
                  low: megapascals(expectedGaugePressurePa - changeUncertaintyPa),
                  high: megapascals(expectedGaugePressurePa + changeUncertaintyPa),
                },
              ],
        testPressure: test.required
          ? {
              value: megapascals(test.required.value),
              label: say.certificates.testPressure2(formatQuantity(megapascals(test.required.value), 'MPa')),
            }
          : undefined,
        longEnough: {
          minutes: test.requiredHold.value / 60,
          label: minutesWords(test.requiredHold.value),
        },
        verdict: words,
      },
    }
  })
}

function evacuationBlocks(system: CertifiedSystem, frozen: System, dossier: Dossier): CertifiedTestBlock[] {
  return system.evacuations.flatMap((test) => {
    const raw = frozen.evacuations.find(({ id }) => id === test.id)
    if (!raw) return []
    const judged = judgeEvacuationTest(raw, frozen, dossier)
    const zero = judged.isolatedAtMs ?? raw.performedAt
    const minutes = (at: number) => (at - zero) / 60_000
    const micron = (pressurePa: number) => fromPascals(pressurePa, 'micron')
    const last = Math.max(0, ...raw.readings.map((reading) => minutes(reading.at)))
    const words = test.verdict === null ? say.certificates.notConcluded : vacuumVerdictWords()[test.verdict]
    const fitted = judged.curve?.points.filter((point) => point.timeS / 60 <= last) ?? []
    return {
      id: test.id,
      title: say.certificates.evacuation(instantWords(test.at)),
      href: `/evacuations/${test.id}`,
      facts: [
        {
          label: say.certificates.verdict,
          value: words,
          note: test.verdict === 'tight' ? undefined : test.reasons.join(' '),
        },
        { label: say.certificates.evacuated, value: coverWords(test.covers) },
        {
          label: say.certificates.isolated,
          value: minutesWords(test.held.value),
          note: say.certificates.askedFor2(minutesWords(test.requiredHold.value)),
        },
        {
          label: say.certificates.downTo,
          value: test.lowest ? vacuumWords(test.lowest.value) : say.certificates.notKnown,
          note: say.certificates.target(vacuumWords(test.target.value), test.target.source),
        },
        {
          label: say.certificates.roseBy,
          value: test.rise ? vacuumWords(test.rise.value) : say.certificates.notKnown,
          note: say.certificates.limit(vacuumWords(test.limit.value), test.limit.source),
        },
        smallestLeak(test.smallestSeenLeak),
      ],
      decay: {
        id: `decay-${test.id}`,
        title: say.certificates.evacuationOf(coverWords(test.covers)),
        unit: 'micron',
        readings: raw.readings.map((reading) => ({
          minutes: minutes(reading.at),
          phase: reading.phase,
          absolutePressure: micron(reading.absolutePressurePa),
          pressureTyped: formatQuantity(micron(reading.absolutePressurePa), 'micron'),
          temperatureTyped:
            reading.temperatureK === null
              ? undefined
              : formatQuantity(fromKelvins(reading.temperatureK, 'degC'), 'degC'),
          atWords: instantWords(new Date(reading.at).toISOString()).slice(11),
        })),
        fitted:
          fitted.length > 1
            ? {
                label: say.certificates.curveThatFitsBest,
                points: fitted.map((point) => ({
                  minutes: point.timeS / 60,
                  absolutePressure: micron(point.pressurePa),
                })),
              }
            : undefined,
        limit: {
          value: micron(test.limit.value),
          label: say.certificates.limit2(formatQuantity(micron(test.limit.value), 'micron')),
        },
        target: {
          value: micron(test.target.value),
          label: say.certificates.target2(formatQuantity(micron(test.target.value), 'micron')),
        },
        longEnough: { minutes: test.requiredHold.value / 60, label: minutesWords(test.requiredHold.value) },
        verdict: words,
      },
    }
  })
}

function refrigerantFacts(system: CertifiedSystem): CertifiedSystemBlock['refrigerantFacts'] {
  const { charge } = system
  return [
    { label: say.certificates.charge, value: charge.reason || say.certificates.notRecorded },
    ...(charge.maximum
      ? [
          {
            label: say.certificates.atMost2,
            value: massWords(charge.maximum.value),
            note: charge.maximum.source,
          },
        ]
      : []),
    ...(charge.co2e
      ? [
          {
            label: say.certificates.coEquivalent,
            value: kilogramsRounded(charge.co2e.value),
            note: say.certificates.gwp(charge.co2e.gwp, charge.co2e.basis),
          },
        ]
      : []),
    ...system.rooms.map((room) => ({
      label: say.certificates.roomOf(
        system.lineSets.find(({ id }) => id === room.lineSetId)?.name ?? say.certificates.aLine,
      ),
      value: room.reason,
      note: room.source,
    })),
    ...system.runningChecks.map((check) => ({
      label: say.certificates.runningCheck(instantWords(check.at)),
      value: check.reason,
      note: coded(check.mode),
    })),
  ]
}

/** Most addresses end with their town; it is said once. */
function placeInWords({
  customerName,
  address,
  town,
}: {
  customerName: string
  address: string
  town: string
}) {
  const said = town === '' || address.toLowerCase().includes(town.toLowerCase())
  return [customerName, address, ...(said ? [] : [town])].join(', ')
}
