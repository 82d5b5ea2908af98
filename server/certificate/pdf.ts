// What does the certificate look like on paper? Vector and text alone, from the signed payload, with the copy inside.

import type PDFDocument from 'pdfkit'
import { REQUIREMENT_CODES } from '../vocabulary.ts'
import { coded } from '../words/coded.ts'
import { languageNow, say } from '../words/say.ts'
import { type Column, Paper } from './paper.ts'
import type { CertificatePayload, CertifiedJoint, CertifiedSystem } from './payload.ts'
import { losesCharacters, pdfText } from './pdf-text.ts'
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
  lengthWords,
  massWords,
  minutesWords,
  outdoorUnitOf,
  placeWords,
  pressureTestLine,
  pressureWords,
  rangeLine,
  repeatLine,
  torqueLine,
  torqueVerdictWords,
  vacuumVerdictWords,
  vacuumWords,
} from './words.ts'

export interface PaperSource {
  payload: CertificatePayload
  /** As it was signed; goes into the file as an attachment. */
  signedCopy: string
  /** From the company's rows as they are now: not part of what was signed. */
  place: { customerName: string; address: string; town: string; reference: string | null }
  /** How people are called now; who was erased stays an id. */
  crewName(crewId: string): string
  signatory: string
  /** What the certificate was worth when this was printed. */
  state: 'genuine' | 'altered' | 'superseded' | 'recalled' | 'unknown-key'
  printedAt: number
}

export async function certificatePdf(source: PaperSource): Promise<Buffer> {
  const [{ default: Document }, { create }] = await Promise.all([import('pdfkit'), import('qrcode')])
  const { payload } = source
  const { certificate } = payload
  const document: PDFKit.PDFDocument = new (Document as typeof PDFDocument)({
    size: 'A4',
    margins: { top: 48, bottom: 60, left: 44, right: 44 },
    bufferPages: true,
    lang: languageNow(),
    displayTitle: true,
    info: {
      Title: pdfText(say.certificates.certificate(groupedCode(certificate.code))),
      Author: pdfText(payload.company.name),
      Subject: say.certificates.refrigerantLinesAndJoints,
      Producer: say.certificates.jointkeep,
      Creator: say.certificates.jointkeep,
      CreationDate: new Date(source.printedAt),
      ModDate: new Date(source.printedAt),
    },
  })
  const chunks: Buffer[] = []
  const done = new Promise<Buffer>((resolve, reject) => {
    document.on('data', (chunk: Buffer) => chunks.push(chunk))
    document.on('end', () => resolve(Buffer.concat(chunks)))
    document.on('error', reject)
  })
  const paper = new Paper(document)
  heading(paper, source, create(certificate.verifyAt, { errorCorrectionLevel: 'M' }).modules)
  for (const system of payload.systems) systemPart(paper, system, source)
  judgedPart(paper, payload)
  instrumentsPart(paper, payload)
  closing(paper, source)
  document.file(Buffer.from(source.signedCopy, 'utf8'), {
    name: `certificate-${certificate.code}.json`,
    type: 'application/jose+json',
    description: 'The signed copy of this certificate: JWS (RFC 7515) over canonical JSON (RFC 8785)',
    creationDate: new Date(certificate.issuedAt),
    modifiedDate: new Date(certificate.issuedAt),
  })
  paper.numberPages(
    say.certificates.certificateRevision(
      payload.company.name,
      groupedCode(certificate.code),
      certificate.revision,
    ),
  )
  document.end()
  return done
}

const stateWords = (): Record<Exclude<PaperSource['state'], 'genuine'>, string> => ({
  altered: say.certificates.alteredWhenThisWas,
  superseded: say.certificates.supersededTheJobWas,
  recalled: say.certificates.underRecallAnInstrument,
  'unknown-key': say.certificates.theKeyThatSignedThis,
})

interface Modules {
  size: number
  get(row: number, column: number): number
}

function heading(paper: Paper, source: PaperSource, modules: Modules): void {
  const { payload, place } = source
  const { certificate, company, job, signedOff } = payload
  const side = 92
  const right = paper.right - side
  const top = paper.y
  paper.qr(modules, right, top, side)
  const width = right - paper.left - 18
  paper.text(company.name, { size: 11, bold: true, width })
  paper.gap(2)
  paper.text(say.certificates.certificateOfRefrigerantLines, { size: 19, bold: true, width })
  paper.gap(3)
  paper.text(say.certificates.aStatementByThe, { size: 9, width, soft: true })
  paper.gap(6)
  paper.text(say.certificates.checkItAt(certificate.verifyAt), { size: 9, width, link: certificate.verifyAt })
  paper.text(say.certificates.orByItsCode(groupedCode(certificate.code)), { size: 9, width })
  paper.y = Math.max(paper.y, top + side) + 12
  if (source.state !== 'genuine') paper.box(stateWords()[source.state])
  const reference = place.reference === null ? '' : say.certificates.job(place.reference)
  const own = signedOff.ownWork ? say.certificates.whoSignedOffAlso : ''
  paper.facts([
    [say.certificates.forWord, `${place.customerName}, ${place.address}, ${place.town}${reference}`],
    [say.certificates.work, say.certificates.opened(jobKindWords()[job.kind], dayWords(job.openedAt))],
    [say.certificates.signedOff, say.certificates.by(instantWords(signedOff.at), source.signatory, own)],
    [
      say.certificates.certificate2,
      say.certificates.revision(groupedCode(certificate.code), certificate.revision),
    ],
    [
      say.certificates.systems,
      payload.systems.map((system) => `${system.name} (${system.refrigerant})`).join(', '),
    ],
  ])
  paper.text(say.certificates.customerAddressAndNames, {
    size: 8,
    soft: true,
  })
}

function systemPart(paper: Paper, system: CertifiedSystem, source: PaperSource): void {
  const outdoor = outdoorUnitOf(system)
  paper.section(`${system.name}, ${system.refrigerant}`)
  for (const unit of system.units) {
    const removed = unit.removedAt === null ? '' : say.certificates.removed(dayWords(unit.removedAt))
    paper.text(say.certificates.unitSerial(word(unit.role), unit.model, unit.serial, removed), { size: 9 })
  }
  const { sheet } = system
  paper.text(
    sheet
      ? say.certificates.equipmentFiguresPage(sheet.maker, sheet.model, sheet.document, sheet.page)
      : say.certificates.noEquipmentSheetBuilt,
    { size: 9, soft: true },
  )
  paper.gap(8)
  strip(paper, system, outdoor?.model ?? say.certificates.outdoorUnit)
  paper.subsection(say.certificates.joints)
  paper.table(jointColumns(), system.joints.map(jointCells))
  const unmeasured = system.joints.find((joint) => joint.torque?.range)?.torque?.range?.source
  if (unmeasured)
    paper.text(say.certificates.torqueRangesFrom(rangeSources(system).join('; ')), { size: 8, soft: true })
  const makers = [
    ...new Set(system.joints.flatMap((joint) => joint.torque?.by ?? joint.inspection?.by ?? [])),
  ]
  if (makers.length > 0)
    paper.text(say.certificates.jointsMadeBy(makers.map(source.crewName).join(', ')), { size: 8, soft: true })
  testsPart(paper, system, source)
  chargePart(paper, system)
}

const word = (text: string) => text.charAt(0).toUpperCase() + text.slice(1)

function rangeSources(system: CertifiedSystem): string[] {
  return [...new Set(system.joints.flatMap((joint) => joint.torque?.range?.source ?? []))]
}

const jointColumns = (): Column[] => [
  { title: say.certificates.tag, share: 9, bold: true },
  { title: say.certificates.placeAndKind, share: 24 },
  { title: say.certificates.tube, share: 8 },
  { title: say.certificates.making, share: 8 },
  { title: say.certificates.torqueAtTheNut, share: 20 },
  { title: say.certificates.range, share: 11 },
  { title: say.certificates.verdict, share: 11 },
  { title: say.certificates.inspectionLeakCheck, share: 24 },
]

function jointCells(joint: CertifiedJoint): string[] {
  const about = [acceptanceLine(joint), leakCheckLine(joint)].filter((line) => line !== '')
  const place = `${placeWords(joint)}; ${kindWords(joint)}`
  return [
    joint.tag,
    joint.retiredAt === null ? place : say.certificates.takenOut(place, dayWords(joint.retiredAt)),
    joint.tubeSize,
    joint.make === null ? '–' : String(joint.make),
    joint.torque === null ? '–' : torqueLine(joint),
    rangeLine(joint) || '–',
    joint.leftOut === null
      ? joint.torque
        ? torqueVerdictWords()[joint.torque.verdict]
        : '–'
      : say.certificates.leftOut,
    joint.leftOut ?? (about.join('; ') || '–'),
  ]
}

const testColumns = (): Column[] => [
  { title: say.certificates.when, share: 18 },
  { title: say.certificates.whatWasUnderTest, share: 20 },
  { title: say.certificates.held, share: 14 },
  { title: say.certificates.fromAndTo, share: 26 },
  { title: say.certificates.verdict, share: 32 },
  { title: say.certificates.smallestLeakSeenEstimate, share: 22 },
]

function testsPart(paper: Paper, system: CertifiedSystem, source: PaperSource): void {
  if (system.pressureTests.length > 0) {
    paper.subsection(say.certificates.standingPressureTests)
    paper.table(
      testColumns(),
      system.pressureTests.map((test) => [
        instantWords(test.at) + (test.ofThisJob ? '' : say.certificates.anotherJob),
        `${coverWords(test.covers)}; ${coded(test.medium)}`,
        say.certificates.askedFor(minutesWords(test.held.value), minutesWords(test.requiredHold.value)),
        test.start && test.end
          ? say.certificates.to(pressureWords(test.start.value), pressureWords(test.end.value))
          : '–',
        [pressureTestLine(test), ...(test.verdict === 'holds' ? [] : test.reasons)].join('. '),
        test.smallestSeenLeak ? leakWords(test.smallestSeenLeak.value) : say.certificates.notKnown,
      ]),
    )
  }
  if (system.evacuations.length > 0) {
    paper.subsection(say.certificates.evacuations)
    paper.table(
      testColumns(),
      system.evacuations.map((test) => [
        instantWords(test.at) + (test.ofThisJob ? '' : say.certificates.anotherJob),
        coverWords(test.covers),
        say.certificates.askedFor(minutesWords(test.held.value), minutesWords(test.requiredHold.value)),
        test.lowest && test.rise
          ? say.certificates.downToRoseBy(vacuumWords(test.lowest.value), vacuumWords(test.rise.value))
          : '–',
        [
          test.verdict === null ? say.certificates.notConcluded : vacuumVerdictWords()[test.verdict],
          ...(test.verdict === 'tight' ? [] : test.reasons),
        ].join('. '),
        test.smallestSeenLeak ? leakWords(test.smallestSeenLeak.value) : say.certificates.notKnown,
      ]),
    )
  }
  for (const repeat of source.payload.repeated.filter(({ systemId }) => systemId === system.id))
    paper.text(repeatLine(repeat), { size: 9 })
}

function chargePart(paper: Paper, system: CertifiedSystem): void {
  const { charge } = system
  paper.subsection(say.certificates.refrigerant)
  const facts: [string, string][] = [[say.certificates.charge, charge.reason || say.certificates.notRecorded]]
  if (charge.maximum)
    facts.push([say.certificates.atMost2, `${massWords(charge.maximum.value)} (${charge.maximum.source})`])
  if (charge.co2e)
    facts.push([
      'CO2-equivalent',
      say.certificates.withAGwpOf(kilogramsRounded(charge.co2e.value), charge.co2e.gwp, charge.co2e.basis),
    ])
  for (const room of system.rooms) {
    const line = system.lineSets.find(({ id }) => id === room.lineSetId)
    facts.push([
      say.certificates.room(line?.name ?? say.certificates.line),
      `${room.reason} (${room.source})`,
    ])
  }
  facts.push([say.certificates.caution, cautionFor(system.refrigerant)])
  for (const check of system.runningChecks)
    facts.push([say.certificates.running(check.mode), `${instantWords(check.at)}: ${check.reason}`])
  paper.facts(facts)
}

function judgedPart(paper: Paper, payload: CertificatePayload): void {
  paper.section(say.certificates.whatWasAskedAnd)
  const order = new Map<string, number>(REQUIREMENT_CODES.map((code, index) => [code, index]))
  const asked = [...payload.requirements].sort(
    (a, b) => (order.get(a.requirement) ?? 0) - (order.get(b.requirement) ?? 0),
  )
  paper.table(
    [
      { title: say.certificates.requirement, share: 50 },
      { title: say.certificates.met, share: 10 },
      { title: say.certificates.conceded, share: 12 },
      { title: say.certificates.doesNotApply, share: 14 },
      { title: say.certificates.decidedBy, share: 20 },
    ],
    asked.map((one) => [
      one.title,
      String(one.met),
      String(one.conceded),
      String(one.notApplicable),
      one.decisionRule === null ? '–' : say.certificates.acceptance(coded(one.decisionRule)),
    ]),
  )
  paper.subsection(say.certificates.concessions)
  if (payload.concessions.length === 0) paper.text(say.certificates.none, { size: 9 })
  for (const concession of payload.concessions)
    paper.text(
      say.certificates.releasedOnReason(
        concession.title,
        concession.subject.name,
        dayWords(concession.at),
        concession.reason,
        concession.ownWork ? say.certificates.grantedBySomebodyWho : '',
      ),
      { size: 9, bullet: true },
    )
  paper.subsection(say.certificates.criteriaLooserThanThe)
  const loose = payload.criteria.looserThanBuiltIn
  if (loose.length === 0) paper.text(say.certificates.none, { size: 9 })
  for (const one of loose) paper.text(one, { size: 9, bullet: true })
}

function instrumentsPart(paper: Paper, { instruments }: CertificatePayload): void {
  if (instruments.length === 0) return
  paper.section(say.certificates.instrumentsAndTools)
  paper.table(
    [
      { title: say.certificates.kind, share: 20 },
      { title: say.certificates.name, share: 30 },
      { title: say.certificates.serial, share: 20 },
      { title: say.certificates.confirmed, share: 30 },
      { title: say.certificates.nextDue, share: 16 },
    ],
    instruments.map((instrument) => [
      coded(instrument.kind),
      instrument.name,
      instrument.serial,
      instrument.confirmedAt === null
        ? instrument.intervalDays === null
          ? say.certificates.notAskedFor
          : say.certificates.notOnRecord
        : `${dayWords(instrument.confirmedAt)}, ${coded(instrument.basis ?? '')}, ${coded(instrument.result ?? '')}`,
      instrument.dueAt === null ? '–' : dayWords(instrument.dueAt),
    ]),
  )
}

function closing(paper: Paper, { payload, printedAt, signedCopy }: PaperSource): void {
  paper.section(say.certificates.whatThisPaperSays)
  for (const statement of payload.statements) paper.text(statement, { size: 9, bullet: true })
  paper.subsection(say.certificates.howToCheckIt)
  paper.text(say.certificates.aSignedCopyIs, { size: 9 })
  paper.gap(3)
  for (const head of payload.record.heads)
    paper.text(say.certificates.recordEntry(head.chainId, head.number, head.hash), { size: 7, mono: true })
  paper.text(say.certificates.dossier(payload.record.dossierSha256), { size: 7, mono: true })
  paper.text(say.certificates.findings(payload.record.findingsSha256), { size: 7, mono: true })
  paper.gap(3)
  paper.text(say.certificates.printed(instantWords(new Date(printedAt).toISOString())), {
    size: 8,
    soft: true,
  })
  if (losesCharacters(JSON.stringify(payload)))
    paper.text(say.certificates.someCharactersOfThe, {
      size: 8,
      soft: true,
    })
  if (signedCopy === '') throw new Error('There is no signed copy to attach.')
}

/** The lines as they are piped: liquid thin, gas thick, a mark for each joint, filled when it is done. */
function strip(paper: Paper, system: CertifiedSystem, outdoorModel: string): void {
  for (const line of system.lineSets) {
    const joints = system.joints.filter((joint) => joint.lineSetId === line.id && joint.retiredAt === null)
    const unit = system.units.find(({ id }) => id === line.toUnitId)
    const source = system.units.find(({ id }) => id === line.fromUnitId)
    paper.pipes({
      from: source?.model ?? outdoorModel,
      to: unit ? `${line.name} (${unit.model})` : line.name,
      between: lengthWords(line.length.value),
      lanes: (['liquid', 'gas'] as const).map((lane) => ({
        label: `${coded(lane)} ${lane === 'liquid' ? line.liquidSize : line.gasSize}`,
        thick: lane === 'gas',
        marks: marksOf(joints.filter((joint) => joint.line === lane)),
      })),
    })
  }
}

function marksOf(joints: CertifiedJoint[]) {
  const ends = joints.filter((joint) => /^(outdoor|indoor)-(liquid|gas)$/.test(joint.place))
  const onPipe = joints.filter((joint) => joint.kind !== 'service-port' && joint.kind !== 'valve-cap')
  const between = onPipe.filter((joint) => !ends.includes(joint))
  return onPipe.map((joint) => ({
    tag: joint.tag,
    filled: joint.make !== null && joint.leftOut === null,
    at: !ends.includes(joint)
      ? (between.indexOf(joint) + 1) / (between.length + 1)
      : joint.place.startsWith('outdoor')
        ? 0
        : 1,
  }))
}
