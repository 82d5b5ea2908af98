// What does the certificate look like on paper? From the signed payload and the frozen readings, with the copy inside.

import type PDFDocument from 'pdfkit'
import { sha256 } from '../ids.ts'
import type { Dossier } from '../rules/dossier.ts'
import type { Aftermath } from '../store/queries/certificates.ts'
import { REQUIREMENT_CODES } from '../vocabulary.ts'
import { curvesOf } from './curves.ts'
import { type Column, Paper } from './paper.ts'
import type { CertificatePayload, CertifiedJoint, CertifiedSystem } from './payload.ts'
import { type PaperFonts, paperFonts } from './pdf-fonts.ts'
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
  JOB_KIND_WORDS,
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
  TORQUE_VERDICT_WORDS,
  torqueLine,
  VACUUM_VERDICT_WORDS,
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

/** The language that the words of the paper are in (RFC 5646). */
const LANGUAGE = 'en'

/** ISO 19005-3, level A: made to last, tagged for who listens, with the signed copy as an associated file. */
const STANDARD = 'PDF/A-3a'

export async function certificatePdf(source: PaperSource): Promise<Buffer> {
  const [{ default: Document }, { create }, fonts] = await Promise.all([
    import('pdfkit'),
    import('qrcode'),
    paperFonts(),
  ])
  const { payload, signedCopy } = source
  if (signedCopy === '') throw new Error('There is no signed copy to attach.')
  const { certificate } = payload
  const document: PDFKit.PDFDocument = new (Document as typeof PDFDocument)({
    size: 'A4',
    margins: { top: 30, bottom: 38, left: 40, right: 40 },
    autoFirstPage: false,
    bufferPages: true,
    // No font of the viewer's own: what is not embedded may look different, or not be there, in some years.
    font: '',
    pdfVersion: '1.7',
    subset: STANDARD,
    tagged: true,
    lang: LANGUAGE,
    displayTitle: true,
    info: {
      Title: `Certificate ${groupedCode(certificate.code)}`,
      Subject: 'Refrigerant lines and joints: a statement by the installing company on its own work',
      Producer: 'Jointkeep',
      Creator: 'Jointkeep',
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
  document.appendXML(properties(source))
  const paper = new Paper(document, fonts)
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
    `${payload.company.name} · certificate ${groupedCode(certificate.code)}, revision ${certificate.revision}`,
    (page, count) => `Page ${page} of ${count}`,
  )
  document.end()
  return done
}

/** Who says it, and of which copy, in the file's own properties (XMP, ISO 16684-1): whoever archives it finds it there. */
function properties({ payload, signedCopy, printedAt }: PaperSource): string {
  const { certificate, company } = payload
  return `
    <rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/">
      <dc:creator><rdf:Seq><rdf:li>${inXml(company.name)}</rdf:li></rdf:Seq></dc:creator>
      <dc:identifier>${copyIdentifier(certificate.code, sha256(signedCopy))}</dc:identifier>
      <dc:language><rdf:Bag><rdf:li>${LANGUAGE}</rdf:li></rdf:Bag></dc:language>
      <xmp:ModifyDate>${new Date(printedAt).toISOString().split('.')[0]}Z</xmp:ModifyDate>
    </rdf:Description>`
}

/** How the file itself names the copy that belongs into it. */
export const copyIdentifier = (code: string, copySha256: string): string =>
  `jointkeep-certificate:${code};copy-sha256:${copySha256}`

const inXml = (text: string): string =>
  [...text.normalize('NFC')]
    .map((one) => (/[<>&"']/.test(one) ? `&#${one.charCodeAt(0)};` : /\p{Cc}/u.test(one) ? ' ' : one))
    .join('')

const STATE_WORDS: Record<Exclude<PaperSource['state'], 'genuine'>, string> = {
  altered:
    'ALTERED. When this was printed, the record behind this certificate was not what was signed. Do not rely on it.',
  superseded:
    'SUPERSEDED. The job was opened again after this certificate was issued. Ask the company for the present one.',
  recalled:
    'UNDER RECALL. An instrument that this work rests on was found out of tolerance. The company is looking into what that means here.',
  'unknown-key': 'The key that signed this certificate is no longer kept by this server.',
}

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
  paper.title('Certificate of refrigerant lines and joints', width)
  paper.text(
    'A statement by the installing company on its own work, made from the record kept while the work was done.',
    { width, soft: true },
  )
  paper.gap(3)
  paper.link(`Check it at ${certificate.verifyAt}`, certificate.verifyAt, { width })
  paper.text(`or by its code: ${groupedCode(certificate.code)}`, { width })
  const below = paper.y
  paper.qr(modules, `QR code that leads to ${certificate.verifyAt}`, right, top - 6, side)
  paper.y = Math.max(below, top + side - 10) + 4
  if (source.state !== 'genuine')
    paper.box([STATE_WORDS[source.state], ...sinceLines(source.since)].join(' '))
  const reference = place.reference === null ? '' : `, job ${place.reference}`
  const own = signedOff.ownWork
    ? ' Who signed off also did or recorded some of this work, which the company’s policy allows.'
    : ''
  const said = place.town === '' || place.address.toLowerCase().includes(place.town.toLowerCase())
  paper.facts([
    ['For', `${place.customerName}, ${place.address}${said ? '' : `, ${place.town}`}${reference}`],
    ['Work', `${JOB_KIND_WORDS[job.kind]}, opened ${dayWords(job.openedAt)}`],
    ['Signed off', `${instantWords(signedOff.at)} by ${source.signatory}.${own}`],
    ['Certificate', `${groupedCode(certificate.code)}, revision ${certificate.revision}`],
  ])
  paper.section('In short')
  paper.list(inShort(payload))
  const cautions = new Set(payload.systems.map(({ refrigerant }) => cautionFor(refrigerant)))
  paper.gap(3)
  for (const caution of cautions) paper.box(caution, 'Caution.')
}

function systemPart(paper: Paper, system: CertifiedSystem, source: PaperSource): void {
  const outdoor = outdoorUnitOf(system)
  paper.section(`${system.name}, ${system.refrigerant}`)
  const units = system.units.map((unit) => {
    const removed = unit.removedAt === null ? '' : `, removed ${dayWords(unit.removedAt)}`
    return `${word(unit.role)} unit ${unit.model}, serial ${unit.serial}${removed}`
  })
  if (units.length > 0) paper.text(`${units.join('. ')}.`)
  const { sheet } = system
  paper.text(
    sheet
      ? `Equipment figures: ${sheet.maker} ${sheet.model}, ${sheet.document}, page ${sheet.page}`
      : 'No equipment sheet: built-in figures were used where there are any.',
    { soft: true },
  )
  paper.gap(3)
  strip(paper, system, outdoor?.model ?? 'outdoor unit')
  paper.subsection('Joints')
  paper.table(JOINT_COLUMNS, system.joints.map(jointCells))
  const sources = rangeSources(system)
  const makers = [
    ...new Set(system.joints.flatMap((joint) => joint.torque?.by ?? joint.inspection?.by ?? [])),
  ]
  const notes = [
    ...(sources.length > 0 ? [`Torque ranges from: ${sources.join('; ')}.`] : []),
    ...(makers.length > 0 ? [`Joints made by: ${makers.map(source.crewName).join(', ')}.`] : []),
  ]
  if (notes.length > 0) paper.text(notes.join(' '), { size: 7.6, soft: true })
  testsPart(paper, system, source)
  chargePart(paper, system)
}

const word = (text: string) => text.charAt(0).toUpperCase() + text.slice(1)

function rangeSources(system: CertifiedSystem): string[] {
  return [...new Set(system.joints.flatMap((joint) => joint.torque?.range?.source ?? []))]
}

const JOINT_COLUMNS: Column[] = [
  { title: 'Tag', bold: true },
  { title: 'Place' },
  { title: 'Kind' },
  { title: 'Tube' },
  { title: 'Torque at the nut' },
  { title: 'Range' },
  { title: 'Verdict' },
  { title: 'Inspection, leak check' },
]

function jointCells(joint: CertifiedJoint): string[] {
  const about = [acceptanceLine(joint), leakCheckLine(joint)].filter((line) => line !== '')
  return [
    joint.tag,
    joint.retiredAt === null
      ? placeWords(joint)
      : `${placeWords(joint)}; taken out ${dayWords(joint.retiredAt)}`,
    joint.make === null || joint.make === 1 ? kindWords(joint) : `${kindWords(joint)}, making ${joint.make}`,
    joint.tubeSize,
    joint.torque === null ? '–' : torqueLine(joint),
    rangeLine(joint) || '–',
    joint.leftOut === null ? (joint.torque ? TORQUE_VERDICT_WORDS[joint.torque.verdict] : '–') : 'left out',
    joint.leftOut ?? (about.join('; ') || '–'),
  ]
}

const TEST_COLUMNS: Column[] = [
  { title: 'Test', bold: true },
  { title: 'When, what' },
  { title: 'Held' },
  { title: 'From and to' },
  { title: 'Verdict' },
  { title: 'Smallest leak seen' },
]

function testsPart(paper: Paper, system: CertifiedSystem, source: PaperSource): void {
  const { pressureTests, evacuations } = system
  if (pressureTests.length + evacuations.length > 0) {
    paper.subsection('Pressure tests and evacuations')
    paper.table(TEST_COLUMNS, [
      ...pressureTests.map((test) => [
        'Pressure test',
        `${whenWords(test)}; ${coverWords(test.covers)}; ${test.medium.replaceAll('-', ' ')}`,
        heldWords(test),
        test.start && test.end
          ? `${pressureWords(test.start.value)} to ${pressureWords(test.end.value)}`
          : '–',
        [pressureTestLine(test), ...(test.verdict === 'holds' ? [] : test.reasons)].join('. '),
        test.smallestSeenLeak ? leakWords(test.smallestSeenLeak.value) : 'not known',
      ]),
      ...evacuations.map((test) => [
        'Evacuation',
        `${whenWords(test)}; ${coverWords(test.covers)}`,
        heldWords(test),
        test.lowest && test.rise
          ? `down to ${vacuumWords(test.lowest.value)}, rose by ${vacuumWords(test.rise.value)}`
          : '–',
        [
          test.verdict === null ? 'not concluded' : VACUUM_VERDICT_WORDS[test.verdict],
          ...(test.verdict === 'tight' ? [] : test.reasons),
        ].join('. '),
        test.smallestSeenLeak ? leakWords(test.smallestSeenLeak.value) : 'not known',
      ]),
    ])
  }
  for (const repeat of source.payload.repeated.filter(({ systemId }) => systemId === system.id))
    paper.text(repeatLine(repeat))
  paper.plots(curvesOf(system, source.dossier))
}

const whenWords = (test: { at: string; ofThisJob: boolean }) =>
  test.ofThisJob ? instantWords(test.at) : `${instantWords(test.at)} (another job)`

const heldWords = (test: { held: { value: number }; requiredHold: { value: number } }) =>
  `${minutesWords(test.held.value)}; asked for ${minutesWords(test.requiredHold.value)}`

function chargePart(paper: Paper, system: CertifiedSystem): void {
  const { charge } = system
  paper.subsection('Refrigerant')
  const facts: [string, string][] = [['Charge', charge.reason || 'not recorded']]
  if (charge.maximum) facts.push(['At most', `${massWords(charge.maximum.value)} (${charge.maximum.source})`])
  if (charge.co2e)
    facts.push([
      'CO₂-equivalent',
      `${kilogramsRounded(charge.co2e.value)}, with a GWP of ${charge.co2e.gwp} (${charge.co2e.basis}, 100 years)`,
    ])
  const rooms = new Map<string, string[]>()
  for (const room of system.rooms) {
    const line = system.lineSets.find(({ id }) => id === room.lineSetId)
    const said = `${room.reason} (${room.source})`
    rooms.set(said, [...(rooms.get(said) ?? []), line?.name ?? 'line'])
  }
  for (const [said, names] of rooms)
    facts.push([names.length === 1 ? 'Room' : 'Rooms', `${names.join(', ')}: ${said}`])
  for (const check of system.runningChecks)
    facts.push([`Running, ${check.mode}`, `${instantWords(check.at)}: ${check.reason}`])
  paper.facts(facts)
}

function judgedPart(paper: Paper, payload: CertificatePayload): void {
  paper.section('What was asked, and the answer')
  const order = new Map<string, number>(REQUIREMENT_CODES.map((code, index) => [code, index]))
  const asked = [...payload.requirements].sort(
    (a, b) => (order.get(a.requirement) ?? 0) - (order.get(b.requirement) ?? 0),
  )
  // Two beside each other: most lines are short, and the paper is not to be long.
  const half = Math.ceil(asked.length / 2)
  paper.table(
    ASKED_COLUMNS,
    asked.slice(0, half).map((one, index) => {
      const beside = asked[half + index]
      return [one.title, answerWords(one), beside?.title ?? '', beside ? answerWords(beside) : '']
    }),
  )
  const rules = [...new Set(asked.flatMap(({ decisionRule }) => decisionRule ?? []))]
  if (rules.length > 0)
    paper.text(
      rules.length === 1
        ? `Decided by ${rules[0]} acceptance.`
        : `Decided by simple acceptance, save by guarded acceptance: ${asked
            .filter(({ decisionRule }) => decisionRule === 'guarded')
            .map(({ title }) => title)
            .join('; ')}.`,
      { size: 7.6, soft: true },
    )
  paper.subsection('Concessions', 30)
  if (payload.concessions.length === 0) paper.text('None.')
  paper.list(
    payload.concessions.map(
      (concession) =>
        `${concession.title} (${concession.subject.name}): released on ${dayWords(concession.at)}. Reason: ${concession.reason}${concession.ownWork ? ' Granted by somebody who did or recorded some of the work, which the company’s policy allows.' : ''}`,
    ),
  )
  const loose = payload.criteria.looserThanBuiltIn
  paper.gap(2)
  paper.text(
    loose.length === 0
      ? 'Criteria looser than the built-in ones: none.'
      : 'Criteria looser than the built-in ones:',
    { bold: loose.length > 0 },
  )
  paper.list(loose)
}

const ASKED_COLUMNS: Column[] = [
  { title: 'Requirement' },
  { title: 'Answer' },
  { title: 'Requirement' },
  { title: 'Answer' },
]

function answerWords({ met, conceded, notApplicable, notMet }: CertificatePayload['requirements'][number]) {
  const parts = [
    ...(met > 0 ? [`met (${met})`] : []),
    ...(conceded > 0 ? [`conceded (${conceded})`] : []),
    ...(notMet > 0 ? [`not met (${notMet})`] : []),
  ]
  return parts.length > 0 || notApplicable === 0 ? parts.join(', ') || '–' : 'does not apply'
}

function instrumentsPart(paper: Paper, { instruments }: CertificatePayload): void {
  if (instruments.length === 0) return
  paper.subsection('Instruments and tools')
  paper.table(
    [
      { title: 'Kind' },
      { title: 'Name', bold: true },
      { title: 'Serial' },
      { title: 'Confirmed' },
      { title: 'Next due' },
    ],
    instruments.map((instrument) => [
      instrument.kind.replaceAll('-', ' '),
      instrument.name,
      instrument.serial,
      instrument.confirmedAt === null
        ? instrument.intervalDays === null
          ? 'not asked for'
          : 'not on record'
        : `${dayWords(instrument.confirmedAt)}, ${(instrument.basis ?? '').replaceAll('-', ' ')}, ${(instrument.result ?? '').replaceAll('-', ' ')}`,
      instrument.dueAt === null ? '–' : dayWords(instrument.dueAt),
    ]),
  )
}

function closing(paper: Paper, source: PaperSource, fonts: PaperFonts): void {
  const { payload, printedAt, signedCopy } = source
  paper.section('What this paper says, and what it does not')
  paper.list(payload.statements, { size: 8 })
  paper.subsection('How to check it without us')
  paper.text(
    `A signed copy is attached to this file: the same figures, with a signature (Ed25519, JWS over canonical JSON). The page that checks it without a connection, to be kept from ${offlineAddress(payload.certificate)}, takes this file whole. These pages themselves are not signed: what counts is what the copy says. Customer, address and names of people are printed from the company’s record; they are not in the copy.`,
  )
  paper.gap(1)
  paper.text(`Signed copy, SHA-256: ${groupedHash(sha256(signedCopy))}`, { size: 7 })
  paper.text(`Signing key, fingerprint: ${fingerprintWords(keyIdOf(signedCopy))}`, { size: 7 })
  for (const head of payload.record.heads)
    paper.text(`Record ${head.chainId}, entry ${head.number}: ${head.hash}`, { size: 7, soft: true })
  paper.text(`Dossier, with the readings of the curves: ${payload.record.dossierSha256}`, {
    size: 7,
    soft: true,
  })
  paper.text(`Findings: ${payload.record.findingsSha256}`, { size: 7, soft: true })
  const lost = losesCharacters(JSON.stringify(payload), fonts.has)
    ? ' Some characters of the record cannot be printed here and show as ?; the signed copy has them.'
    : ''
  paper.text(`Printed ${instantWords(new Date(printedAt).toISOString())}.${lost}`, { size: 7.6, soft: true })
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
      alt: `Drawing of the line set ${line.name}: from ${from} to ${to}, ${between}; liquid line ${line.liquidSize}, gas line ${line.gasSize}; joints ${tags}. The table below says the same.`,
      lanes: (['liquid', 'gas'] as const).map((lane) => ({
        label: `${lane} ${lane === 'liquid' ? line.liquidSize : line.gasSize}`,
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
