// Which files are in a claim packet, and what does its manifest say of them? Everything but the photos is made beforehand.

import { claimReportPdf } from '../../certificate/claim-report.ts'
import { certificatePdf } from '../../certificate/pdf.ts'
import { NOTHING_WITHHELD, type Redactor, redactorOf } from '../../certificate/redaction.ts'
import type { PublicKey, Signer } from '../../certificate/signer.ts'
import { type Files, hashOf } from '../../store/files.ts'
import { listCorrectionsOfJoint, type StepCorrection } from '../../store/queries/corrections.ts'
import type { PhotoRow } from '../../store/queries/photos.ts'
import { canonical } from '../../store/record.ts'
import { FIRST_LANGUAGE, inLanguage, languageNow, say } from '../../words/say.ts'
import { type CertificateData, crewNamed, memberNamed } from '../certificate-page.ts'
import { csvText } from '../csv.ts'
import { instant } from '../json.ts'
import { offlineCheck } from '../offline-check.ts'
import type { Ask } from '../resource.ts'
import type { ClaimRecord } from './claim-record.ts'
import { READING_COLUMNS, readingRows } from './readings-table.ts'
import { readme } from './readme.ts'
import { concernedJoints, reportOf } from './report.ts'
import type { ZipPart } from './zip.ts'

export const PACKET_FORMAT = 'jointkeep-claim-packet'
/** In the header of its signature, so that no other thing that was signed passes for a manifest. */
export const PACKET_TYPE = 'jointkeep-claim-packet+json'

export interface PacketFile extends ZipPart {
  sha256: string
  mediaType: string
  /** What it is, for the file that explains. */
  says: string
  /** Of a certificate: what it is worth today. */
  state?: string
}

interface LeftOut {
  path: string
  bytes: number
  sha256: string
  why: 'contact'
}

/** What goes into a packet, and what does not. */
interface Gathered {
  files: PacketFile[]
  leftOut: LeftOut[]
  missing: { path: string; sha256: string }[]
  /** Entries of the chain whose content is withheld. */
  withheldEntries: number
}

/** The parts of the zip, in their order: what explains the packet stands first, the photos last. */
export async function packetOf(
  ask: Ask,
  record: ClaimRecord,
  redact: 'contact' | undefined,
): Promise<ZipPart[]> {
  const { actor, now, deps } = ask
  const { signer, files } = deps.machinery
  const { system, site, entries } = record
  const redactor = redact === undefined ? NOTHING_WITHHELD : redactorOf(site, `[${say.claims.withheld}]`)
  const found: Gathered = { files: [], leftOut: [], missing: [], withheldEntries: 0 }
  for (const data of record.certificates) await addCertificate(found, data, { redact, redactor, now })
  found.files.push(
    textFile(
      'readings.csv',
      readingsText(record, redactor),
      'text/csv; charset=utf-8',
      say.claims.fileReadings,
    ),
    textFile('chain.jsonl', chainText(found, record, redactor), 'application/jsonl', say.claims.fileChain),
    textFile(
      'keys.json',
      `${JSON.stringify({ keys: signer.publicKeys }, null, 2)}\n`,
      'application/jwk-set+json',
      say.claims.fileKeys,
    ),
    checkFile(signer.publicKeys, deps.config.publicUrl, now),
  )
  await addPhotos(found, record, files, actor.companyId, redactor)
  const notIn = notInWords(found, redact)
  const report = reportOf(record, {
    company: actor.companyName,
    customer:
      redact === undefined
        ? `${site.customerName}, ${site.address}`
        : `[${say.claims.withheld}], ${site.town}`,
    madeAt: now,
    madeBy: actor.name,
    corrections: await correctionsOf(ask, record),
    notIn,
    pathOf: (id) => certificatePath(record.certificates.find(({ row }) => row.id === id)),
  })
  const pdf = await claimReportPdf(redactor.clear(report))
  found.files.unshift(fileOf('claim-report.pdf', pdf, 'application/pdf', say.claims.fileReport))
  const explained = readme({
    system: system.name,
    company: actor.companyName,
    madeAt: now,
    madeBy: actor.name,
    files: found.files,
    notIn,
  })
  found.files.unshift(textFile('README.txt', redactor.clear(explained), 'text/plain; charset=utf-8', ''))
  const sums = found.files.map(({ sha256, path }) => `${sha256}  ${path}\n`).join('')
  found.files.push(textFile('SHA256SUMS.txt', sums, 'text/plain; charset=utf-8', say.claims.fileSums))
  const head = entries.at(-1)
  const manifest = redactor.clear({
    format: PACKET_FORMAT,
    version: 1,
    language: languageNow(),
    company: { id: actor.companyId, name: actor.companyName },
    system: { id: system.id, name: system.name },
    madeAt: instant(now),
    madeBy: { member: actor.memberId, name: actor.name },
    redactions:
      redact === undefined
        ? []
        : [{ of: 'contact', withheld: ['name', 'address', 'telephone', 'e-mail'], kept: ['town'] }],
    chain: {
      id: system.id,
      entries: entries.length,
      head: head ? { number: head.number, hash: head.hash } : null,
      withheldEntries: found.withheldEntries,
    },
    files: found.files.map(({ path, bytes, sha256, mediaType, state }) => ({
      path,
      bytes,
      sha256,
      mediaType,
      ...(state === undefined ? {} : { state }),
    })),
    leftOut: found.leftOut,
    missing: found.missing,
  })
  const [explains, ...rest] = found.files
  return [...(explains ? [explains] : []), ...signed(manifest, signer), ...rest.sort(inPlace)]
}

/** The list of hashes beside the manifest, the photos at the end. */
const inPlace = (a: PacketFile, b: PacketFile) => placeOf(a) - placeOf(b)
const placeOf = ({ path }: PacketFile) => (path === 'SHA256SUMS.txt' ? 0 : path.startsWith('photos/') ? 2 : 1)

/** The manifest is in its one canonical form, so that its very bytes are what was signed. */
function signed(manifest: unknown, signer: Signer): ZipPart[] {
  const text = canonical(manifest)
  return [
    fileOf('manifest.json', Buffer.from(text), 'application/json', ''),
    fileOf(
      'manifest.signature.json',
      Buffer.from(signer.sign(manifest, PACKET_TYPE)),
      'application/jose+json',
      '',
    ),
  ]
}

function fileOf(path: string, content: Buffer, mediaType: string, says: string): PacketFile {
  return { path, bytes: content.byteLength, sha256: hashOf(content), mediaType, says, content: () => content }
}
const textFile = (path: string, text: string, mediaType: string, says: string) =>
  fileOf(path, Buffer.from(text, 'utf8'), mediaType, says)

// ---------------------------------------------------------------- certificates

const certificatePath = (data: CertificateData | undefined, ending = 'json'): string =>
  data === undefined ? '' : `certificates/${data.row.code}-revision-${data.row.revision}.${ending}`

async function addCertificate(
  found: Gathered,
  data: CertificateData,
  { redact, redactor, now }: { redact: 'contact' | undefined; redactor: Redactor; now: number },
): Promise<void> {
  const { row, standing } = data
  const { payload, state } = standing
  const copy = fileOf(
    certificatePath(data),
    Buffer.from(row.signedCopy, 'utf8'),
    'application/jose+json',
    say.claims.fileCertificateJson,
  )
  // What was signed can't be changed: it is there as it was, or not at all. One that can't be read can't be looked through.
  const hides = redact !== undefined && (payload === null || redactor.hides(payload))
  if (hides) {
    const { path, bytes, sha256 } = copy
    found.leftOut.push({ path, bytes, sha256, why: 'contact' })
    return
  }
  found.files.push({ ...copy, state })
  if (payload === null) return
  const place =
    redact === undefined
      ? data.place
      : {
          customerName: `[${say.claims.withheld}]`,
          address: data.place.town,
          town: data.place.town,
          reference: null,
        }
  const { language = FIRST_LANGUAGE } = payload
  const pdf = await inLanguage(language, () =>
    certificatePdf({
      payload,
      signedCopy: row.signedCopy,
      dossier: redactor.clear(row.dossier),
      place,
      // Somebody of the crew may be called as the customer is.
      crewName: (id) => redactor.clear(crewNamed(data)(id)),
      signatory: redactor.clear(memberNamed(data, payload.signedOff.byMember)),
      state,
      since: standing.since,
      printedAt: now,
    }),
  )
  found.files.push(
    fileOf(certificatePath(data, 'pdf'), pdf, 'application/pdf', say.claims.fileCertificatePdf),
  )
}

// ---------------------------------------------------------------- tables, chain, keys

const readingsText = (record: ClaimRecord, redactor: Redactor) =>
  csvText(READING_COLUMNS, redactor.clear(readingRows(record)), { delimiter: 'comma', decimal: 'point' })

/** An entry that somebody wrote the customer's data into keeps its place and its hash, so that the chain still links. */
function chainText(found: Gathered, { entries }: ClaimRecord, redactor: Redactor): string {
  return entries
    .map(({ number, hash, previousHash, content }) => {
      const withheld = redactor.hides(content) || redactor.hides(asRead(content))
      if (withheld) found.withheldEntries += 1
      return `${JSON.stringify({
        number,
        previousHash,
        content: withheld ? null : content,
        hash,
        ...(withheld ? { withheld: 'contact' } : {}),
      })}\n`
    })
    .join('')
}

/** With the marks taken back that JSON puts into a text; as it stands, where somebody broke it. */
function asRead(content: string): unknown {
  try {
    return JSON.parse(content)
  } catch {
    return content
  }
}

function checkFile(keys: readonly PublicKey[], publicUrl: string, now: number): PacketFile {
  const { content } = offlineCheck({ keys, publicUrl, now })
  return textFile('check.html', content, 'text/html; charset=utf-8', say.claims.fileCheck)
}

async function correctionsOf({ scope }: Ask, record: ClaimRecord): Promise<Map<string, StepCorrection[]>> {
  const corrections = new Map<string, StepCorrection[]>()
  for (const { id } of concernedJoints(record).joints)
    corrections.set(id, await listCorrectionsOfJoint(scope, id))
  return corrections
}

// ---------------------------------------------------------------- photos

/** Each is read once beforehand and once when it is sent: its hash is known to be right before it stands in the manifest. */
async function addPhotos(
  found: Gathered,
  record: ClaimRecord,
  files: Files,
  companyId: string,
  redactor: Redactor,
): Promise<void> {
  for (const [index, photo] of record.photos.entries()) {
    const path = photoPath(photo, index + 1, record, redactor)
    const there = await files.get(companyId, photo.sha256)
    if (there === null || hashOf(there) !== photo.sha256) {
      found.missing.push({ path, sha256: photo.sha256 })
      continue
    }
    found.files.push({
      path,
      bytes: there.byteLength,
      sha256: photo.sha256,
      mediaType: 'image/jpeg',
      says: say.claims.filePhotos,
      async content() {
        const bytes = await files.get(companyId, photo.sha256)
        if (bytes === null) throw new Error(`The photo ${photo.id} went away while it was sent.`)
        return bytes
      },
    })
  }
}

/** photos/003_2026-03-04_ALD1-07_indoor-joints.jpg */
function photoPath(photo: PhotoRow, number: number, { system }: ClaimRecord, redactor: Redactor): string {
  const { subjectId, subjectKind, shows, takenAt, recordedAt } = photo
  const of =
    system.joints.find(({ id }) => id === subjectId)?.tag ??
    system.units.find(({ id }) => id === subjectId)?.serial ??
    subjectKind ??
    'photo'
  const name = [
    String(number).padStart(3, '0'),
    instant(takenAt ?? recordedAt).slice(0, 10),
    redactor.clear(of),
    ...(shows === null ? [] : [shows]),
  ]
  return `photos/${name.map((part) => part.replace(/[^\p{L}\p{N}.-]+/gu, '-')).join('_')}.jpg`
}

// ---------------------------------------------------------------- what is not in it

function notInWords(found: Gathered, redact: 'contact' | undefined): string[] {
  const missing = found.missing.map(({ path }) => say.claims.missingFile(path))
  if (redact === undefined) return missing.length === 0 ? [say.claims.nothingIsLeftOut] : missing
  return [
    say.claims.contactLeftOut,
    ...found.leftOut.flatMap(({ path }) => [
      say.claims.leftOutFile(path),
      say.claims.leftOutPaper(path.replace(/json$/, 'pdf')),
    ]),
    ...(found.withheldEntries === 0 ? [] : [say.claims.leftOutEntries(found.withheldEntries)]),
    say.claims.nicknames,
    ...(found.files.some(({ path }) => path.startsWith('photos/')) ? [say.claims.picturesNotLookedAt] : []),
    ...missing,
  ]
}
