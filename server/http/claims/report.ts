// What does the report of a claim say? The record in words: units, callbacks, joints, tests, certificates.

import {
  causeWords,
  claimWords,
  foundByWords,
  placeWords as leakPlaceWords,
  outcomeWords,
  partWords,
  responsibilityWords,
} from '../../../views/callbacks/words.ts'
import { sentenceOf, unknownWords } from '../../../views/joints/history-words.ts'
import type { ClaimReport, ReportPart } from '../../certificate/claim-report.ts'
import type { StandingState } from '../../certificate/standing.ts'
import { groupedCode, pressureVerdictWords, vacuumVerdictWords } from '../../certificate/words.ts'
import type { Joint } from '../../rules/dossier.ts'
import { historyOfJoint } from '../../rules/joint-history.ts'
import { isPort } from '../../rules/scope.ts'
import { isPressureTest } from '../../rules/staleness.ts'
import { day, moment } from '../../rules/wording.ts'
import type { FindingRow, WholeCallback } from '../../store/queries/callbacks.ts'
import type { StepCorrection } from '../../store/queries/corrections.ts'
import type { LeakCheckMethod, LeakPlace } from '../../vocabulary.ts'
import { coded } from '../../words/coded.ts'
import { say } from '../../words/say.ts'
import { placeWords } from '../strip-of.ts'
import type { ClaimRecord } from './claim-record.ts'

export interface ReportOptions {
  company: string
  /** How the customer is said: with name and address, or withheld. */
  customer: string
  madeAt: number
  madeBy: string
  corrections: ReadonlyMap<string, StepCorrection[]>
  /** What is not in the packet, each in a sentence. */
  notIn: readonly string[]
  /** Where a certificate stands in the packet. */
  pathOf(certificateId: string): string
}

export const stateWords = (): Record<StandingState, string> => ({
  genuine: say.claims.stateGenuine,
  altered: say.claims.stateAltered,
  superseded: say.claims.stateSuperseded,
  recalled: say.claims.stateRecalled,
  'unknown-key': say.claims.stateUnknownKey,
})

/** Those that a callback found leaking; where none was found, all that are in service. Ports are told of only when found. */
export function concernedJoints({ callbacks, system }: ClaimRecord): { joints: Joint[]; named: boolean } {
  const found = new Set(callbacks.flatMap(({ findings }) => findings.flatMap(({ jointId }) => jointId ?? [])))
  const named = system.joints.filter(({ id }) => found.has(id))
  if (named.length > 0) return { joints: named, named: true }
  const inService = system.joints.filter((joint) => joint.retiredAt === null && !isPort(joint))
  return { joints: inService, named: false }
}

export function reportOf(record: ClaimRecord, options: ReportOptions): ClaimReport {
  const { system } = record
  const { sheet } = system
  return {
    company: options.company,
    title: say.claims.report(system.name),
    lead: say.claims.reportLead,
    madeAt: options.madeAt,
    facts: [
      [say.claims.customer, options.customer],
      [say.claims.refrigerant, system.refrigerant],
      [
        say.claims.equipmentFigures,
        sheet
          ? say.claims.sheetFrom(sheet.maker, sheet.model, sheet.source.document, sheet.source.page)
          : say.claims.noSheet,
      ],
      [say.claims.made, say.claims.madeAtBy(moment(options.madeAt), options.madeBy)],
    ],
    sections: [
      { title: say.claims.units, parts: [unitsPart(record)] },
      { title: say.claims.callbacks, parts: callbackParts(record) },
      { title: say.claims.jointsConcerned, parts: jointParts(record, options) },
      { title: say.claims.tests, parts: [testsPart(record)] },
      { title: say.claims.certificates, parts: [certificatesPart(record, options)] },
      { title: say.claims.whatIsNotIn, parts: [{ title: '', list: [...options.notIn] }] },
    ],
  }
}

function unitsPart({ units }: ClaimRecord): ReportPart {
  return {
    title: '',
    table: {
      columns: [
        say.claims.unit,
        say.claims.model,
        say.claims.serial,
        say.claims.installed,
        say.claims.removed,
        say.claims.warranty,
      ],
      rows: units.map((unit) => [
        unit.name,
        unit.model,
        unit.serial,
        day(unit.installedAt),
        unit.removedAt === null ? '–' : day(unit.removedAt),
        unit.warrantyEndAt === null
          ? say.claims.warrantyNotSaid
          : say.claims.warrantyUntil(day(unit.warrantyEndAt), unit.registeredWithMaker),
      ]),
    },
  }
}

function callbackParts(record: ClaimRecord): ReportPart[] {
  const { callbacks } = record
  if (callbacks.length === 0) return [{ title: '', text: say.claims.noCallbacks }]
  return callbacks.toReversed().map((callback) => ({
    title: say.claims.callbackOf(day(callback.reportedAt)),
    facts: callbackFacts(callback, record),
  }))
}

function callbackFacts(callback: WholeCallback, record: ClaimRecord): [string, string][] {
  const { detail, closedAt } = callback
  const typed = (name: string) => {
    const said = detail.typed[name]
    return said === undefined ? say.callbacks.notSaid : `${said.value} ${said.unit}`
  }
  return [
    [say.callbacks.whatIsSaid, callback.symptom],
    [
      say.callbacks.howItStands,
      `${outcomeWords()[callback.outcome]}, ${closedAt === null ? say.claims.stillOpen : say.claims.closedOn(day(closedAt))}`,
    ],
    ...callback.findings.map((finding): [string, string] => [
      say.claims.found,
      findingWords(finding, record),
    ]),
    [
      say.callbacks.putDownTo,
      detail.responsibility === null ? say.callbacks.notSaid : responsibilityWords()[detail.responsibility],
    ],
    [say.callbacks.refrigerantRecovered, typed('refrigerantRecovered')],
    [say.callbacks.refrigerantAdded, typed('refrigerantAdded')],
    [say.callbacks.labour, typed('labourTime')],
    ...detail.partsReplaced.map((one): [string, string] => [
      say.callbacks.replaced(one.part),
      [
        one.oldSerial && say.callbacks.old(one.oldSerial),
        one.newSerial && say.callbacks.newWord(one.newSerial),
      ]
        .filter(Boolean)
        .join(', '),
    ]),
    ...(detail.claim === null
      ? []
      : [
          [
            say.callbacks.claimOnTheMaker,
            say.claims.claimWords(
              detail.claim.maker,
              detail.claim.number ?? say.callbacks.noNumberYet,
              claimWords()[detail.claim.status],
              detail.claim.amount ?? '',
            ),
          ] satisfies [string, string],
        ]),
  ]
}

function findingWords(finding: FindingRow, { system }: ClaimRecord): string {
  const joint = system.joints.find(({ id }) => id === finding.jointId)
  const place = finding.place as LeakPlace | null
  const what = [
    partWords()[finding.part],
    joint && `${joint.tag} (${placeWords(joint, system.units)})`,
    place && leakPlaceWords()[place],
  ]
  return say.claims.foundWords(
    what.filter(Boolean).join(', '),
    foundByWords()[finding.method as LeakCheckMethod] ?? finding.method,
    causeWords(finding.cause),
    finding.size ?? '',
  )
}

function jointParts(record: ClaimRecord, { corrections }: ReportOptions): ReportPart[] {
  const { system, policy, instruments, callbacks, people, photos } = record
  const { joints, named } = concernedJoints(record)
  if (joints.length === 0) return [{ title: '', text: say.claims.noJoints }]
  const sayings = { day, person: (crewId: string) => people.crew.get(crewId) ?? say.claims.somebody }
  return [
    ...(named ? [] : [{ title: '', text: say.claims.allJoints }]),
    ...joints.map((joint) => {
      const history = historyOfJoint({
        joint,
        system,
        judging: { policy: policy.criteria, sheet: system.sheet, instruments },
        corrections: corrections.get(joint.id) ?? [],
        callbacks,
        photos: photos.filter(({ subjectId }) => subjectId === joint.id).length,
      })
      const unknown = history.unknown.map((one) => unknownWords(one, sayings))
      return {
        title: say.claims.jointTitle(joint.tag, placeWords(joint, system.units), coded(joint.line)),
        list: [
          ...history.summary.map((said) => sentenceOf(said, sayings)),
          ...unknown.map((words) => `${say.claims.notKnown} ${words}`),
        ],
      }
    }),
  ]
}

function testsPart({ pressureTests, evacuations, system }: ClaimRecord): ReportPart {
  const tests = [...pressureTests, ...evacuations].map(({ test }) => test)
  if (tests.length === 0) return { title: '', text: say.claims.noTests }
  tests.sort((a, b) => a.performedAt - b.performedAt || (a.id < b.id ? -1 : 1))
  const nameOf = (id: string) =>
    system.lineSets.find((line) => line.id === id)?.name ??
    system.joints.find((joint) => joint.id === id)?.tag ??
    system.units.find((unit) => unit.id === id)?.model ??
    '–'
  return {
    title: '',
    table: {
      columns: [
        say.claims.test,
        say.claims.when,
        say.claims.covered,
        say.claims.verdict,
        say.claims.readingsCount,
      ],
      rows: tests.map((test) => [
        isPressureTest(test) ? say.claims.pressureTest : say.claims.evacuation,
        moment(test.performedAt),
        test.covers.length === 0 ? system.name : test.covers.map(({ id }) => nameOf(id)).join(', '),
        test.verdict === null
          ? say.claims.notConcluded
          : { ...pressureVerdictWords(), ...vacuumVerdictWords() }[test.verdict],
        String(test.readings.length),
      ]),
    },
  }
}

function certificatesPart({ certificates }: ClaimRecord, { pathOf }: ReportOptions): ReportPart {
  if (certificates.length === 0) return { title: '', text: say.claims.noCertificates }
  return {
    title: '',
    table: {
      columns: [say.claims.code, say.claims.revision, say.claims.issued, say.claims.state, say.claims.file],
      rows: certificates.map(({ row, standing }) => [
        groupedCode(row.code),
        String(row.revision),
        day(row.issuedAt),
        stateWords()[standing.state],
        pathOf(row.id),
      ]),
    },
  }
}
