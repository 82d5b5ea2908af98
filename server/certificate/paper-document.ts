// On what is a paper printed? A PDF made to last and tagged for who listens, with our letters and nothing of the viewer's own.

import type PDFDocument from 'pdfkit'
import { languageNow, say } from '../words/say.ts'
import { type PaperFonts, paperFonts } from './pdf-fonts.ts'

/** ISO 19005-3, level A: every letter inside, an order of reading, and files that may be attached. */
const STANDARD = 'PDF/A-3a'

export interface PaperDocument {
  document: PDFKit.PDFDocument
  fonts: PaperFonts
  /** Call once, when everything stands on its pages. */
  written(): Promise<Buffer>
}

export async function paperDocument(about: {
  title: string
  subject: string
  at: number
}): Promise<PaperDocument> {
  const [{ default: Document }, fonts] = await Promise.all([import('pdfkit'), paperFonts()])
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
    lang: languageNow(),
    displayTitle: true,
    info: {
      Title: about.title,
      Subject: about.subject,
      Producer: say.certificates.jointkeep,
      Creator: say.certificates.jointkeep,
      CreationDate: new Date(about.at),
      ModDate: new Date(about.at),
    },
  })
  const chunks: Buffer[] = []
  const done = new Promise<Buffer>((resolve, reject) => {
    document.on('data', (chunk: Buffer) => chunks.push(chunk))
    document.on('end', () => resolve(Buffer.concat(chunks)))
    document.on('error', reject)
  })
  return {
    document,
    fonts,
    written() {
      document.end()
      return done
    },
  }
}

/** A text inside of a file's own properties. */
export const inXml = (text: string): string =>
  [...text.normalize('NFC')]
    .map((one) => (/[<>&"']/.test(one) ? `&#${one.charCodeAt(0)};` : /\p{Cc}/u.test(one) ? ' ' : one))
    .join('')
