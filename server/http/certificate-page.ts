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
  JOB_KIND_WORDS,
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
  TORQUE_VERDICT_WORDS,
  VACUUM_VERDICT_WORDS,
  vacuumWords,
} from '../certificate/words.ts'
import type { Dossier, System } from '../rules/dossier.ts'
import { judgeEvacuationTest } from '../rules/judge-evacuation.ts'
import { judgePressureTest } from '../rules/judge-pressure-test.ts'
import type { CertificatePlace, CertificateRow } from '../store/queries/certificates.ts'
import { isFlammable } from '../trade/refrigerants.ts'
import { formatNumber, formatQuantity, fromKelvins, fromNewtonMetres, fromPascals } from '../trade/units.ts'
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
  people.members.get(memberId) || 'a member who is no longer there'

const OWN_WORK = '; did or recorded some of the work, which the policy allows'

export function certificatePageProps(
  data: CertificateData,
  payload: CertificatePayload,
  shell: Shell,
): CertificatePageProps {
  const { row, standing, place } = data
  const { certificate, job, signedOff } = payload
  const own = signedOff.ownWork ? OWN_WORK : ''
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
        label: 'Site',
        value: placeInWords(place),
        note: 'Not in the signed copy.',
      },
      {
        label: 'Work',
        value: JOB_KIND_WORDS[job.kind],
        ...(place.reference === null ? {} : { note: place.reference }),
      },
      {
        label: 'Signed off',
        value: instantWords(signedOff.at),
        note: `by ${memberNamed(data, signedOff.byMember)}${own}`,
      },
      {
        label: 'Judged by',
        value: `${payload.criteria.decisionRule} acceptance`,
        note: `criteria version ${payload.criteria.policyVersion}`,
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
      by: `${memberNamed(data, concession.byMember)}, ${dayWords(concession.at)}${concession.ownWork ? OWN_WORK : ''}`,
    })),
    looser: payload.criteria.looserThanBuiltIn,
    instruments: payload.instruments.map((instrument) => ({
      id: instrument.id,
      kind: instrument.kind.replaceAll('-', ' '),
      name: instrument.name,
      serial: instrument.serial,
      confirmed:
        instrument.confirmedAt === null
          ? instrument.intervalDays === null
            ? 'not asked for'
            : 'not on record'
          : [dayWords(instrument.confirmedAt), instrument.basis, instrument.result]
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
      ...payload.record.heads.map((head) => `record ${head.chainId}, entry ${head.number}: ${head.hash}`),
      `dossier ${payload.record.dossierSha256}`,
      `findings ${payload.record.findingsSha256}`,
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
        label: `${unit.role} unit`,
        value: `${unit.model}, serial ${unit.serial}`,
        ...(unit.removedAt === null ? {} : { note: `removed ${dayWords(unit.removedAt)}` }),
      })),
      {
        label: 'Equipment sheet',
        value: system.sheet ? `${system.sheet.maker} ${system.sheet.model}` : 'none: built-in figures',
        ...(system.sheet ? { note: `${system.sheet.document}, page ${system.sheet.page}` } : {}),
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
  const retired = joint.retiredAt === null ? '' : `, taken out ${dayWords(joint.retiredAt)}`
  return {
    id: joint.id,
    tag: joint.tag,
    place: placeWords(joint),
    kind: `${kindWords(joint)}${retired}`,
    tube: joint.tubeSize,
    making: joint.make === null ? '' : `making ${joint.make}`,
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
            verdict: TORQUE_VERDICT_WORDS[torque.verdict],
            outcome: torque.verdict === 'in-range' ? 'met' : 'failed',
            also: `${formatNumber(fromNewtonMetres(torque.applied.value, 'ft.lbf'), 1)} ft·lbf`,
            source: torque.range.source,
          }
        : null,
    noTorque:
      joint.leftOut !== null
        ? `left out: ${joint.leftOut}`
        : torque === null
          ? 'none'
          : TORQUE_VERDICT_WORDS[torque.verdict],
    accepted: acceptanceLine(joint),
    leakCheck: leakCheckLine(joint) || 'no leak check',
  }
}

const smallestLeak = (seen: { value: number } | null) => ({
  label: 'Smallest leak seen',
  value: seen ? leakWords(seen.value) : 'not known',
  note: seen ? 'an estimate' : undefined,
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
      title: `Pressure test, ${instantWords(test.at)}`,
      href: `/pressure-tests/${test.id}`,
      facts: [
        {
          label: 'Verdict',
          value: words,
          note: test.verdict === 'holds' ? undefined : test.reasons.join(' '),
        },
        { label: 'Under test', value: `${coverWords(test.covers)}, ${test.medium.replaceAll('-', ' ')}` },
        {
          label: 'Held',
          value: minutesWords(test.held.value),
          note: `asked for ${minutesWords(test.requiredHold.value)}`,
        },
        {
          label: 'From and to',
          value:
            test.start && test.end
              ? `${pressureWords(test.start.value)} to ${pressureWords(test.end.value)}`
              : 'not known',
        },
        ...(test.required
          ? [
              {
                label: 'Test pressure',
                value: pressureWords(test.required.value),
                note: test.required.source,
              },
            ]
          : []),
        smallestLeak(test.smallestSeenLeak),
      ],
      pressure: {
        id: `pressure-${test.id}`,
        title: `Pressure test of ${coverWords(test.covers)}`,
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
              label: `test pressure ${formatQuantity(megapascals(test.required.value), 'MPa')}`,
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
    const words = test.verdict === null ? 'not concluded' : VACUUM_VERDICT_WORDS[test.verdict]
    const fitted = judged.curve?.points.filter((point) => point.timeS / 60 <= last) ?? []
    return {
      id: test.id,
      title: `Evacuation, ${instantWords(test.at)}`,
      href: `/evacuations/${test.id}`,
      facts: [
        {
          label: 'Verdict',
          value: words,
          note: test.verdict === 'tight' ? undefined : test.reasons.join(' '),
        },
        { label: 'Evacuated', value: coverWords(test.covers) },
        {
          label: 'Isolated',
          value: minutesWords(test.held.value),
          note: `asked for ${minutesWords(test.requiredHold.value)}`,
        },
        {
          label: 'Down to',
          value: test.lowest ? vacuumWords(test.lowest.value) : 'not known',
          note: `target ${vacuumWords(test.target.value)}, ${test.target.source}`,
        },
        {
          label: 'Rose by',
          value: test.rise ? vacuumWords(test.rise.value) : 'not known',
          note: `limit ${vacuumWords(test.limit.value)}, ${test.limit.source}`,
        },
        smallestLeak(test.smallestSeenLeak),
      ],
      decay: {
        id: `decay-${test.id}`,
        title: `Evacuation of ${coverWords(test.covers)}`,
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
                label: 'curve that fits best',
                points: fitted.map((point) => ({
                  minutes: point.timeS / 60,
                  absolutePressure: micron(point.pressurePa),
                })),
              }
            : undefined,
        limit: {
          value: micron(test.limit.value),
          label: `limit ${formatQuantity(micron(test.limit.value), 'micron')}`,
        },
        target: {
          value: micron(test.target.value),
          label: `target ${formatQuantity(micron(test.target.value), 'micron')}`,
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
    { label: 'Charge', value: charge.reason || 'not recorded' },
    ...(charge.maximum
      ? [{ label: 'At most', value: massWords(charge.maximum.value), note: charge.maximum.source }]
      : []),
    ...(charge.co2e
      ? [
          {
            label: 'CO₂-equivalent',
            value: kilogramsRounded(charge.co2e.value),
            note: `GWP ${charge.co2e.gwp}, ${charge.co2e.basis}`,
          },
        ]
      : []),
    ...system.rooms.map((room) => ({
      label: `Room of ${system.lineSets.find(({ id }) => id === room.lineSetId)?.name ?? 'a line'}`,
      value: room.reason,
      note: room.source,
    })),
    ...system.runningChecks.map((check) => ({
      label: `Running check, ${instantWords(check.at)}`,
      value: check.reason,
      note: check.mode,
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
