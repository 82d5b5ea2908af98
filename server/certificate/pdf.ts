// What does the certificate look like on paper? From the signed payload and the frozen readings, with the copy inside.

import { sha256 } from '../ids.ts'
import type { Dossier } from '../rules/dossier.ts'
import type { Aftermath } from '../store/queries/certificates.ts'
import { REQUIREMENT_CODES } from '../vocabulary.ts'
import { coded } from '../words/coded.ts'
import { languageNow, say } from '../words/say.ts'
import { curvesOf } from './curves.ts'
import { type Column, Paper } from './paper.ts'
import { inXml, paperDocument } from './paper-document.ts'
import type { CertificatePayload, CertifiedJoint, CertifiedSystem } from './payload.ts'
import type { PaperFonts } from './pdf-fonts.ts'
import { losesCharacters } from './pdf-text.ts'
import { keyIdOf } from './verify-copy.ts'
import {
  acceptanceLine,
  cautionFor,
  coverWords,
  dayWords,
  fingerprintWords,
  groupedCode,
  groupedHash,
  inShort,
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
  sinceLines,
  torqueLine,
  torqueVerdictWords,
  vacuumVerdictWords,
  vacuumWords,
} from './words.ts'

export interface PaperSource {
  payload: CertificatePayload
  /** As it was signed; goes into the file as an attachment. */
  signedCopy: string
  /** What was frozen beside the copy: the curves are drawn from its readings. */
  dossier: Dossier
  /** From the company's rows as they are now: not part of what was signed. */
  place: { customerName: string; address: string; town: string; reference: string | null }
  /** How people are called now; who was erased stays an id. */
  crewName(crewId: string): string
  signatory: string
  /** What the certificate was worth when this was printed. */
  state: 'genuine' | 'altered' | 'superseded' | 'recalled' | 'unknown-key'
  /** What came after it was issued. */
  since: Aftermath['since']
  printedAt: number
}

/** What two zones need, in any language. */
const PAGES_OF_TWO_ZONES = 2
/** Still read without a glass: tables are set in 6.8 points then. */
const A_LITTLE_SMALLER = 0.93

export async function certificatePdf(source: PaperSource): Promise<Buffer> {
  const { pages, pdf } = await printed(source, 1)
  if (pages !== PAGES_OF_TWO_ZONES + 1) return pdf
  const smaller = await printed(source, A_LITTLE_SMALLER)
  return smaller.pages < pages ? smaller.pdf : pdf
}

async function printed(source: PaperSource, scale: number): Promise<{ pages: number; pdf: Buffer }> {
  const { payload, signedCopy } = source
  if (signedCopy === '') throw new Error('There is no signed copy to attach.')
  const { certificate } = payload
  const [{ create }, { document, fonts, written }] = await Promise.all([
    import('qrcode'),
    paperDocument({
      title: say.certificates.certificate(groupedCode(certificate.code)),
      subject: say.certificates.refrigerantLinesAndJoints,
      at: source.printedAt,
    }),
  ])
  document.appendXML(properties(source))
  const paper = new Paper(document, fonts, scale)
  heading(paper, source, create(certificate.verifyAt, { errorCorrectionLevel: 'M' }).modules)
  for (const system of payload.systems) systemPart(paper, system, source)
  judgedPart(paper, payload)
  instrumentsPart(paper, payload)
  closing(paper, source, fonts)
  document.file(Buffer.from(signedCopy, 'utf8'), {
    name: `certificate-${certificate.code}.json`,
    type: 'application/jose+json',
    description: 'The signed copy of this certificate: JWS (RFC 7515) over canonical JSON (RFC 8785)',
    creationDate: new Date(certificate.issuedAt),
    modifiedDate: new Date(certificate.issuedAt),
    // ISO 19005-3: the figures that the pages were made from.
    relationship: 'Data',
  } as object)
  paper.finish(
    say.certificates.certificateRevision(
      payload.company.name,
      groupedCode(certificate.code),
      certificate.revision,
    ),
    (page, count) => say.certificates.pageOf(page, count),
  )
  const pages = document.bufferedPageRange().count
  return { pages, pdf: await written() }
}

/** Who says it, and of which copy, in the file's own properties (XMP, ISO 16684-1): whoever archives it finds it there. */
function properties({ payload, signedCopy, printedAt }: PaperSource): string {
  const { certificate, company } = payload
  return `
    <rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/">
      <dc:creator><rdf:Seq><rdf:li>${inXml(company.name)}</rdf:li></rdf:Seq></dc:creator>
      <dc:identifier>${copyIdentifier(certificate.code, sha256(signedCopy))}</dc:identifier>
      <dc:language><rdf:Bag><rdf:li>${languageNow()}</rdf:li></rdf:Bag></dc:language>
      <xmp:ModifyDate>${new Date(printedAt).toISOString().split('.')[0]}Z</xmp:ModifyDate>
    </rdf:Description>`
}

/** How the file itself names the copy that belongs into it. */
export const copyIdentifier = (code: string, copySha256: string): string =>
  `jointkeep-certificate:${code};copy-sha256:${copySha256}`

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
  const side = 88
  const right = paper.right - side
  const top = paper.y
  const width = right - paper.left - 14
  paper.text(company.name, { size: 11, bold: true, width })
  paper.title(say.certificates.certificateOfRefrigerantLines, width)
  paper.text(say.certificates.aStatementByThe, { width, soft: true })
  paper.gap(3)
  paper.link(say.certificates.checkItAt(certificate.verifyAt), certificate.verifyAt, { width })
  paper.text(say.certificates.orByItsCode(groupedCode(certificate.code)), { width })
  const below = paper.y
  paper.qr(modules, say.certificates.qrCodeThatLeads(certificate.verifyAt), right, top - 6, side)
  paper.y = Math.max(below, top + side - 10) + 4
  if (source.state !== 'genuine')
    paper.box([stateWords()[source.state], ...sinceLines(source.since)].join(' '))
  const reference = place.reference === null ? '' : say.certificates.job(place.reference)
  const own = signedOff.ownWork ? say.certificates.whoSignedOffAlso : ''
  const said = place.town === '' || place.address.toLowerCase().includes(place.town.toLowerCase())
  paper.facts([
    [
      say.certificates.forWord,
      `${place.customerName}, ${place.address}${said ? '' : `, ${place.town}`}${reference}`,
    ],
    [say.certificates.work, say.certificates.opened(jobKindWords()[job.kind], dayWords(job.openedAt))],
    [say.certificates.signedOff, say.certificates.by(instantWords(signedOff.at), source.signatory, own)],
    [
      say.certificates.certificate2,
      say.certificates.revision(groupedCode(certificate.code), certificate.revision),
    ],
  ])
  paper.section(say.certificates.inShort)
  paper.list(inShort(payload))
  const cautions = new Set(payload.systems.map(({ refrigerant }) => cautionFor(refrigerant)))
  paper.gap(3)
  for (const caution of cautions) paper.box(caution, say.certificates.caution2)
}

function systemPart(paper: Paper, system: CertifiedSystem, source: PaperSource): void {
  const outdoor = outdoorUnitOf(system)
  paper.section(`${system.name}, ${system.refrigerant}`)
  const units = system.units.map((unit) => {
    const removed = unit.removedAt === null ? '' : say.certificates.removed(dayWords(unit.removedAt))
    return say.certificates.unitSerial(word(unit.role), unit.model, unit.serial, removed)
  })
  if (units.length > 0) paper.text(`${units.join('. ')}.`)
  const { sheet } = system
  paper.text(
    sheet
      ? say.certificates.equipmentFiguresPage(sheet.maker, sheet.model, sheet.document, sheet.page)
      : say.certificates.noEquipmentSheetBuilt,
    { soft: true },
  )
  paper.gap(3)
  strip(paper, system, outdoor?.model ?? say.certificates.outdoorUnit)
  paper.subsection(say.certificates.joints)
  paper.table(jointColumns(), system.joints.map(jointCells))
  const sources = rangeSources(system)
  const makers = [
    ...new Set(system.joints.flatMap((joint) => joint.torque?.by ?? joint.inspection?.by ?? [])),
  ]
  const notes = [
    ...(sources.length > 0 ? [say.certificates.torqueRangesFrom(sources.join('; '))] : []),
    ...(makers.length > 0 ? [say.certificates.jointsMadeBy(makers.map(source.crewName).join(', '))] : []),
  ]
  if (notes.length > 0) paper.text(notes.join(' '), { size: 7.6, soft: true })
  testsPart(paper, system, source)
  chargePart(paper, system)
}

const word = (text: string) => text.charAt(0).toUpperCase() + text.slice(1)

function rangeSources(system: CertifiedSystem): string[] {
  return [...new Set(system.joints.flatMap((joint) => joint.torque?.range?.source ?? []))]
}

const jointColumns = (): Column[] => [
  { title: say.certificates.tag, bold: true },
  { title: say.certificates.place },
  { title: say.certificates.kind },
  { title: say.certificates.tube },
  { title: say.certificates.torqueAtTheNut },
  { title: say.certificates.range },
  { title: say.certificates.verdict },
  { title: say.certificates.inspectionLeakCheck },
]

function jointCells(joint: CertifiedJoint): string[] {
  const about = [acceptanceLine(joint), leakCheckLine(joint)].filter((line) => line !== '')
  return [
    joint.tag,
    joint.retiredAt === null
      ? placeWords(joint)
      : say.certificates.takenOut(placeWords(joint), dayWords(joint.retiredAt)),
    joint.make === null || joint.make === 1
      ? kindWords(joint)
      : say.certificates.making3(kindWords(joint), joint.make),
    joint.tubeSize,
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
  { title: say.certificates.test, bold: true },
  { title: say.certificates.whenWhat },
  { title: say.certificates.held },
  { title: say.certificates.fromAndTo },
  { title: say.certificates.verdict },
  { title: say.certificates.smallestLeakSeen },
]

function testsPart(paper: Paper, system: CertifiedSystem, source: PaperSource): void {
  const { pressureTests, evacuations } = system
  if (pressureTests.length + evacuations.length > 0) {
    paper.subsection(say.certificates.pressureTestsAndEvacuations)
    paper.table(testColumns(), [
      ...pressureTests.map((test) => [
        say.certificates.pressureTest2,
        `${whenWords(test)}; ${coverWords(test.covers)}; ${coded(test.medium)}`,
        heldWords(test),
        test.start && test.end
          ? say.certificates.to(pressureWords(test.start.value), pressureWords(test.end.value))
          : '–',
        [pressureTestLine(test), ...(test.verdict === 'holds' ? [] : test.reasons)].join('. '),
        test.smallestSeenLeak ? leakWords(test.smallestSeenLeak.value) : say.certificates.notKnown,
      ]),
      ...evacuations.map((test) => [
        say.certificates.evacuation3,
        `${whenWords(test)}; ${coverWords(test.covers)}`,
        heldWords(test),
        test.lowest && test.rise
          ? say.certificates.downToRoseBy(vacuumWords(test.lowest.value), vacuumWords(test.rise.value))
          : '–',
        [
          test.verdict === null ? say.certificates.notConcluded : vacuumVerdictWords()[test.verdict],
          ...(test.verdict === 'tight' ? [] : test.reasons),
        ].join('. '),
        test.smallestSeenLeak ? leakWords(test.smallestSeenLeak.value) : say.certificates.notKnown,
      ]),
    ])
  }
  for (const repeat of source.payload.repeated.filter(({ systemId }) => systemId === system.id))
    paper.text(repeatLine(repeat))
  paper.plots(curvesOf(system, source.dossier))
}

const whenWords = (test: { at: string; ofThisJob: boolean }) =>
  test.ofThisJob ? instantWords(test.at) : say.certificates.anotherJob2(instantWords(test.at))

const heldWords = (test: { held: { value: number }; requiredHold: { value: number } }) =>
  say.certificates.askedFor(minutesWords(test.held.value), minutesWords(test.requiredHold.value))

function chargePart(paper: Paper, system: CertifiedSystem): void {
  const { charge } = system
  paper.subsection(say.certificates.refrigerant)
  const facts: [string, string][] = [[say.certificates.charge, charge.reason || say.certificates.notRecorded]]
  if (charge.maximum)
    facts.push([say.certificates.atMost2, `${massWords(charge.maximum.value)} (${charge.maximum.source})`])
  if (charge.co2e)
    facts.push([
      'CO₂-equivalent',
      say.certificates.withAGwpOf(kilogramsRounded(charge.co2e.value), charge.co2e.gwp, charge.co2e.basis),
    ])
  const rooms = new Map<string, string[]>()
  for (const room of system.rooms) {
    const line = system.lineSets.find(({ id }) => id === room.lineSetId)
    const said = `${room.reason} (${room.source})`
    rooms.set(said, [...(rooms.get(said) ?? []), line?.name ?? 'line'])
  }
  for (const [said, names] of rooms)
    facts.push([
      names.length === 1 ? say.certificates.room2 : say.certificates.rooms,
      `${names.join(', ')}: ${said}`,
    ])
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
  // Two beside each other: most lines are short, and the paper is not to be long.
  const half = Math.ceil(asked.length / 2)
  paper.table(
    askedColumns(),
    asked.slice(0, half).map((one, index) => {
      const beside = asked[half + index]
      return [one.title, answerWords(one), beside?.title ?? '', beside ? answerWords(beside) : '']
    }),
  )
  const rules = [...new Set(asked.flatMap(({ decisionRule }) => decisionRule ?? []))]
  if (rules.length > 0)
    paper.text(
      rules.length === 1
        ? say.certificates.decidedByAcceptance(rules[0])
        : say.certificates.decidedBySimpleAcceptance(
            asked
              .filter(({ decisionRule }) => decisionRule === 'guarded')
              .map(({ title }) => title)
              .join('; '),
          ),
      { size: 7.6, soft: true },
    )
  paper.subsection(say.certificates.concessions, 30)
  if (payload.concessions.length === 0) paper.text(say.certificates.none)
  paper.list(
    payload.concessions.map((concession) =>
      say.certificates.releasedOnReason(
        concession.title,
        concession.subject.name,
        dayWords(concession.at),
        concession.reason,
        concession.ownWork ? say.certificates.grantedBySomebodyWho : '',
      ),
    ),
  )
  const loose = payload.criteria.looserThanBuiltIn
  paper.gap(2)
  paper.text(
    loose.length === 0
      ? say.certificates.criteriaLooserThanTheBuilt
      : say.certificates.criteriaLooserThanTheBuiltIn,
    { bold: loose.length > 0 },
  )
  paper.list(loose)
}

const askedColumns = (): Column[] => [
  { title: say.certificates.requirement },
  { title: say.certificates.answer },
  { title: say.certificates.requirement },
  { title: say.certificates.answer },
]

function answerWords({ met, conceded, notApplicable, notMet }: CertificatePayload['requirements'][number]) {
  const parts = [
    ...(met > 0 ? [say.certificates.met2(met)] : []),
    ...(conceded > 0 ? [say.certificates.conceded2(conceded)] : []),
    ...(notMet > 0 ? [say.certificates.notMet(notMet)] : []),
  ]
  return parts.length > 0 || notApplicable === 0 ? parts.join(', ') || '–' : say.certificates.doesNotApply2
}

function instrumentsPart(paper: Paper, { instruments }: CertificatePayload): void {
  if (instruments.length === 0) return
  paper.subsection(say.certificates.instrumentsAndTools)
  paper.table(
    [
      { title: say.certificates.kind },
      { title: say.certificates.name, bold: true },
      { title: say.certificates.serial },
      { title: say.certificates.confirmed },
      { title: say.certificates.nextDue },
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

function closing(paper: Paper, source: PaperSource, fonts: PaperFonts): void {
  const { payload, printedAt, signedCopy } = source
  paper.section(say.certificates.whatThisPaperSays)
  paper.list(payload.statements, { size: 8 })
  paper.subsection(say.certificates.howToCheckIt)
  paper.text(say.certificates.aSignedCopyIsAttachedTo(offlineAddress(payload.certificate)))
  paper.gap(1)
  paper.text(say.certificates.signedCopySha256(groupedHash(sha256(signedCopy))), { size: 7 })
  paper.text(say.certificates.signingKeyFingerprint(fingerprintWords(keyIdOf(signedCopy))), { size: 7 })
  for (const head of payload.record.heads)
    paper.text(say.certificates.recordEntry(head.chainId, head.number, head.hash), { size: 7, soft: true })
  paper.text(say.certificates.dossierWithTheReadings(payload.record.dossierSha256), {
    size: 7,
    soft: true,
  })
  paper.text(say.certificates.findings3(payload.record.findingsSha256), { size: 7, soft: true })
  const lost = losesCharacters(JSON.stringify(payload), fonts.has)
    ? say.certificates.someCharactersOfTheRecord
    : ''
  paper.text(say.certificates.printed2(instantWords(new Date(printedAt).toISOString()), lost), {
    size: 7.6,
    soft: true,
  })
}

const offlineAddress = ({ verifyAt }: CertificatePayload['certificate']) =>
  `${verifyAt.slice(0, verifyAt.lastIndexOf('/'))}/offline`

/** The lines as they are piped: liquid thin, gas thick, a mark for each joint, filled when it is done. */
function strip(paper: Paper, system: CertifiedSystem, outdoorModel: string): void {
  for (const line of system.lineSets) {
    const joints = system.joints.filter((joint) => joint.lineSetId === line.id && joint.retiredAt === null)
    const unit = system.units.find(({ id }) => id === line.toUnitId)
    const source = system.units.find(({ id }) => id === line.fromUnitId)
    const from = source?.model ?? outdoorModel
    const to = unit ? `${line.name} (${unit.model})` : line.name
    const between = lengthWords(line.length.value)
    const tags = joints.map(({ tag }) => tag).join(', ')
    paper.pipes({
      from,
      to,
      between,
      alt: say.certificates.drawingOfTheLine(
        line.name,
        from,
        to,
        between,
        line.liquidSize,
        line.gasSize,
        tags,
      ),
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
