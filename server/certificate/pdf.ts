// What does the certificate look like on paper? Vector and text alone, from the signed payload, with the copy inside.

import type PDFDocument from 'pdfkit'
import { REQUIREMENT_CODES } from '../vocabulary.ts'
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
  TORQUE_VERDICT_WORDS,
  torqueLine,
  VACUUM_VERDICT_WORDS,
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
    lang: 'en',
    displayTitle: true,
    info: {
      Title: pdfText(`Certificate ${groupedCode(certificate.code)}`),
      Author: pdfText(payload.company.name),
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
    `${payload.company.name} · certificate ${groupedCode(certificate.code)}, revision ${certificate.revision}`,
  )
  document.end()
  return done
}

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
  const side = 92
  const right = paper.right - side
  const top = paper.y
  paper.qr(modules, right, top, side)
  const width = right - paper.left - 18
  paper.text(company.name, { size: 11, bold: true, width })
  paper.gap(2)
  paper.text('Certificate of refrigerant lines and joints', { size: 19, bold: true, width })
  paper.gap(3)
  paper.text(
    'A statement by the installing company on its own work, made from the record kept while the work was done.',
    { size: 9, width, soft: true },
  )
  paper.gap(6)
  paper.text(`Check it at ${certificate.verifyAt}`, { size: 9, width, link: certificate.verifyAt })
  paper.text(`or by its code: ${groupedCode(certificate.code)}`, { size: 9, width })
  paper.y = Math.max(paper.y, top + side) + 12
  if (source.state !== 'genuine') paper.box(STATE_WORDS[source.state])
  const reference = place.reference === null ? '' : `, job ${place.reference}`
  const own = signedOff.ownWork
    ? ' Who signed off also did or recorded some of this work, which the company’s policy allows.'
    : ''
  paper.facts([
    ['For', `${place.customerName}, ${place.address}, ${place.town}${reference}`],
    ['Work', `${JOB_KIND_WORDS[job.kind]}, opened ${dayWords(job.openedAt)}`],
    ['Signed off', `${instantWords(signedOff.at)} by ${source.signatory}.${own}`],
    ['Certificate', `${groupedCode(certificate.code)}, revision ${certificate.revision}`],
    ['Systems', payload.systems.map((system) => `${system.name} (${system.refrigerant})`).join(', ')],
  ])
  paper.text(
    'Customer, address and names of people are printed from the company’s record; they are not in the signed copy.',
    {
      size: 8,
      soft: true,
    },
  )
}

function systemPart(paper: Paper, system: CertifiedSystem, source: PaperSource): void {
  const outdoor = outdoorUnitOf(system)
  paper.section(`${system.name}, ${system.refrigerant}`)
  for (const unit of system.units) {
    const removed = unit.removedAt === null ? '' : `, removed ${dayWords(unit.removedAt)}`
    paper.text(`${word(unit.role)} unit ${unit.model}, serial ${unit.serial}${removed}`, { size: 9 })
  }
  const { sheet } = system
  paper.text(
    sheet
      ? `Equipment figures: ${sheet.maker} ${sheet.model}, ${sheet.document}, page ${sheet.page}`
      : 'No equipment sheet: built-in figures were used where there are any.',
    { size: 9, soft: true },
  )
  paper.gap(8)
  strip(paper, system, outdoor?.model ?? 'outdoor unit')
  paper.subsection('Joints')
  paper.table(JOINT_COLUMNS, system.joints.map(jointCells))
  const unmeasured = system.joints.find((joint) => joint.torque?.range)?.torque?.range?.source
  if (unmeasured)
    paper.text(`Torque ranges from: ${rangeSources(system).join('; ')}.`, { size: 8, soft: true })
  const makers = [
    ...new Set(system.joints.flatMap((joint) => joint.torque?.by ?? joint.inspection?.by ?? [])),
  ]
  if (makers.length > 0)
    paper.text(`Joints made by: ${makers.map(source.crewName).join(', ')}.`, { size: 8, soft: true })
  testsPart(paper, system, source)
  chargePart(paper, system)
}

const word = (text: string) => text.charAt(0).toUpperCase() + text.slice(1)

function rangeSources(system: CertifiedSystem): string[] {
  return [...new Set(system.joints.flatMap((joint) => joint.torque?.range?.source ?? []))]
}

const JOINT_COLUMNS: Column[] = [
  { title: 'Tag', share: 9, bold: true },
  { title: 'Place and kind', share: 24 },
  { title: 'Tube', share: 8 },
  { title: 'Making', share: 8 },
  { title: 'Torque at the nut', share: 20 },
  { title: 'Range', share: 11 },
  { title: 'Verdict', share: 11 },
  { title: 'Inspection, leak check', share: 24 },
]

function jointCells(joint: CertifiedJoint): string[] {
  const about = [acceptanceLine(joint), leakCheckLine(joint)].filter((line) => line !== '')
  const place = `${placeWords(joint)}; ${kindWords(joint)}`
  return [
    joint.tag,
    joint.retiredAt === null ? place : `${place}; taken out ${dayWords(joint.retiredAt)}`,
    joint.tubeSize,
    joint.make === null ? '–' : String(joint.make),
    joint.torque === null ? '–' : torqueLine(joint),
    rangeLine(joint) || '–',
    joint.leftOut === null ? (joint.torque ? TORQUE_VERDICT_WORDS[joint.torque.verdict] : '–') : 'left out',
    joint.leftOut ?? (about.join('; ') || '–'),
  ]
}

const TEST_COLUMNS: Column[] = [
  { title: 'When', share: 18 },
  { title: 'What was under test', share: 20 },
  { title: 'Held', share: 14 },
  { title: 'From and to', share: 26 },
  { title: 'Verdict', share: 32 },
  { title: 'Smallest leak seen (estimate)', share: 22 },
]

function testsPart(paper: Paper, system: CertifiedSystem, source: PaperSource): void {
  if (system.pressureTests.length > 0) {
    paper.subsection('Standing pressure tests')
    paper.table(
      TEST_COLUMNS,
      system.pressureTests.map((test) => [
        instantWords(test.at) + (test.ofThisJob ? '' : ' (another job)'),
        `${coverWords(test.covers)}; ${test.medium.replaceAll('-', ' ')}`,
        `${minutesWords(test.held.value)}; asked for ${minutesWords(test.requiredHold.value)}`,
        test.start && test.end
          ? `${pressureWords(test.start.value)} to ${pressureWords(test.end.value)}`
          : '–',
        [pressureTestLine(test), ...(test.verdict === 'holds' ? [] : test.reasons)].join('. '),
        test.smallestSeenLeak ? leakWords(test.smallestSeenLeak.value) : 'not known',
      ]),
    )
  }
  if (system.evacuations.length > 0) {
    paper.subsection('Evacuations')
    paper.table(
      TEST_COLUMNS,
      system.evacuations.map((test) => [
        instantWords(test.at) + (test.ofThisJob ? '' : ' (another job)'),
        coverWords(test.covers),
        `${minutesWords(test.held.value)}; asked for ${minutesWords(test.requiredHold.value)}`,
        test.lowest && test.rise
          ? `down to ${vacuumWords(test.lowest.value)}, rose by ${vacuumWords(test.rise.value)}`
          : '–',
        [
          test.verdict === null ? 'not concluded' : VACUUM_VERDICT_WORDS[test.verdict],
          ...(test.verdict === 'tight' ? [] : test.reasons),
        ].join('. '),
        test.smallestSeenLeak ? leakWords(test.smallestSeenLeak.value) : 'not known',
      ]),
    )
  }
  for (const repeat of source.payload.repeated.filter(({ systemId }) => systemId === system.id))
    paper.text(repeatLine(repeat), { size: 9 })
}

function chargePart(paper: Paper, system: CertifiedSystem): void {
  const { charge } = system
  paper.subsection('Refrigerant')
  const facts: [string, string][] = [['Charge', charge.reason || 'not recorded']]
  if (charge.maximum) facts.push(['At most', `${massWords(charge.maximum.value)} (${charge.maximum.source})`])
  if (charge.co2e)
    facts.push([
      'CO2-equivalent',
      `${kilogramsRounded(charge.co2e.value)}, with a GWP of ${charge.co2e.gwp} (${charge.co2e.basis}, 100 years)`,
    ])
  for (const room of system.rooms) {
    const line = system.lineSets.find(({ id }) => id === room.lineSetId)
    facts.push([`Room, ${line?.name ?? 'line'}`, `${room.reason} (${room.source})`])
  }
  facts.push(['Caution', cautionFor(system.refrigerant)])
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
  paper.table(
    [
      { title: 'Requirement', share: 50 },
      { title: 'Met', share: 10 },
      { title: 'Conceded', share: 12 },
      { title: 'Does not apply', share: 14 },
      { title: 'Decided by', share: 20 },
    ],
    asked.map((one) => [
      one.title,
      String(one.met),
      String(one.conceded),
      String(one.notApplicable),
      one.decisionRule === null ? '–' : `${one.decisionRule} acceptance`,
    ]),
  )
  paper.subsection('Concessions')
  if (payload.concessions.length === 0) paper.text('None.', { size: 9 })
  for (const concession of payload.concessions)
    paper.text(
      `${concession.title} (${concession.subject.name}): released on ${dayWords(concession.at)}. Reason: ${concession.reason}${concession.ownWork ? ' Granted by somebody who did or recorded some of the work, which the company’s policy allows.' : ''}`,
      { size: 9, bullet: true },
    )
  paper.subsection('Criteria looser than the built-in ones')
  const loose = payload.criteria.looserThanBuiltIn
  if (loose.length === 0) paper.text('None.', { size: 9 })
  for (const one of loose) paper.text(one, { size: 9, bullet: true })
}

function instrumentsPart(paper: Paper, { instruments }: CertificatePayload): void {
  if (instruments.length === 0) return
  paper.section('Instruments and tools')
  paper.table(
    [
      { title: 'Kind', share: 20 },
      { title: 'Name', share: 30 },
      { title: 'Serial', share: 20 },
      { title: 'Confirmed', share: 30 },
      { title: 'Next due', share: 16 },
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

function closing(paper: Paper, { payload, printedAt, signedCopy }: PaperSource): void {
  paper.section('What this paper says, and what it does not')
  for (const statement of payload.statements) paper.text(statement, { size: 9, bullet: true })
  paper.subsection('How to check it without us')
  paper.text(
    'A signed copy is attached to this file. It holds the same figures with a signature (Ed25519, JWS over canonical JSON), and can be checked without a connection by anyone who has the public key of the issuing server.',
    { size: 9 },
  )
  paper.gap(3)
  for (const head of payload.record.heads)
    paper.text(`Record ${head.chainId}, entry ${head.number}: ${head.hash}`, { size: 7, mono: true })
  paper.text(`Dossier ${payload.record.dossierSha256}`, { size: 7, mono: true })
  paper.text(`Findings ${payload.record.findingsSha256}`, { size: 7, mono: true })
  paper.gap(3)
  paper.text(`Printed ${instantWords(new Date(printedAt).toISOString())}.`, { size: 8, soft: true })
  if (losesCharacters(JSON.stringify(payload)))
    paper.text(
      'Some characters of the record cannot be printed here and show as ?; the signed copy has them.',
      {
        size: 8,
        soft: true,
      },
    )
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
