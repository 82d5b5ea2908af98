// A certificate on paper, of a job told by phrase, without a store.

import { certificatePdf } from '../../server/certificate/pdf.ts'
import { signedCopyOf } from '../../server/certificate/signed-copy.ts'
import { signerOf } from '../../server/certificate/signing-key.ts'
import { evaluate } from '../../server/rules/index.ts'
import type { Language } from '../../server/vocabulary.ts'
import { inLanguage } from '../../server/words/say.ts'
import { TEST_KEY } from './cast.ts'
import { aJob, type JobBuilder } from './dossiers.ts'

export const PRINTED_CODE = 'k7mq2wzt9xr4hbnd5cyp'

export interface PrintedWords {
  customerName: string
  company: string
  state: 'genuine' | 'altered' | 'superseded' | 'recalled'
  code: string
  language: Language
}

/** Signed and printed in one language, English unless another is asked for. */
export const printed = (
  job: JobBuilder,
  words: Partial<PrintedWords> = {},
): Promise<{ pdf: Buffer; signedCopy: string }> => inLanguage(words.language ?? 'en', () => print(job, words))

async function print(job: JobBuilder, words: Partial<PrintedWords>) {
  const dossier = job.build()
  if (words.company) dossier.company.name = words.company
  const payload = signedCopyOf({
    dossier,
    findings: evaluate(dossier),
    certificateId: 'c',
    code: words.code ?? PRINTED_CODE,
    revision: 1,
    issuedAt: dossier.at,
    issuedByMember: 'member-sam',
    heads: [],
    publicUrl: 'http://jointkeep.test',
    town: 'Brackwater',
    policyVersion: 1,
  })
  const signedCopy = signerOf(TEST_KEY).sign(payload)
  const pdf = await certificatePdf({
    payload,
    signedCopy,
    dossier,
    place: { customerName: words.customerName ?? 'C', address: 'A', town: 'T', reference: null },
    crewName: (id) => id,
    signatory: 'Sam',
    state: words.state ?? 'genuine',
    since: { reopened: null, recalled: null, newer: null },
    printedAt: dossier.at,
  })
  return { pdf, signedCopy }
}

/** As much as a job of two zones has: eight flares, ports and caps, both tests, charge and running check. */
export function twoZones(): JobBuilder {
  const job = aJob().withSystem()
  for (const name of ['Kitchen', 'Living room']) {
    job.withLineSet({ name, room: { floorAreaM2: 30 } }).flareComplete()
    for (const place of ['outdoor-liquid-cap', 'outdoor-gas-cap'])
      job.withJoint({ kind: 'valve-cap', place, origin: 'factory' }).made().closed()
    job.withJoint({ kind: 'service-port', place: 'outdoor-gas-port', origin: 'factory' }).made().closed()
  }
  return job.pressureTested().evacuated().charged().ran()
}
