// Certificates for members: as a page, as the signed copy, and on paper.

import { CertificatePage } from '../../views/certificates/certificate.tsx'
import { certificatePdf } from '../certificate/pdf.ts'
import { standingOf } from '../certificate/standing.ts'
import { conflict } from '../refusals.ts'
import {
  findCertificate,
  findCertificatePlace,
  listCertificatesOfJob,
  listPeopleNames,
} from '../store/queries/certificates.ts'
import { findJob } from '../store/queries/jobs.ts'
import { FIRST_LANGUAGE, inLanguage, say } from '../words/say.ts'
import { type CertificateData, certificatePageProps, crewNamed, memberNamed } from './certificate-page.ts'
import { instant } from './json.ts'
import type { Ask, Resource } from './resource.ts'
import { shellOf } from './shell.ts'

export function certificatesResource(resource: Resource): void {
  resource.read({
    path: '/certificates/:certificateId.json',
    name: 'certificate-signed-copy',
    summary: 'The signed copy of a certificate, as it was issued.',
    load: (ask) => findCertificate(ask.scope, ask.params.certificateId ?? ''),
    file: {
      mediaType: 'application/jose+json',
      make: (row) => ({ content: row.signedCopy, fileName: `certificate-${row.code}.json` }),
    },
  })

  resource.read({
    path: '/certificates/:certificateId.pdf',
    name: 'certificate-pdf',
    summary: 'The certificate on paper, with its signed copy attached.',
    load: loadCertificate,
    file: {
      mediaType: 'application/pdf',
      async make(data, ask) {
        const { payload } = data.standing
        if (!payload) throw unreadable(data)
        const { language = FIRST_LANGUAGE } = payload
        // Its words are those it was signed with; the paper around them is in the same language.
        const content = await inLanguage(language, () =>
          certificatePdf({
            payload,
            signedCopy: data.row.signedCopy,
            dossier: data.row.dossier,
            place: data.place,
            crewName: crewNamed(data),
            signatory: memberNamed(data, payload.signedOff.byMember),
            state: data.standing.state,
            since: data.standing.since,
            printedAt: ask.now,
          }),
        )
        return { content, fileName: `certificate-${data.row.code}.pdf` }
      },
    },
  })

  resource.read({
    path: '/certificates/:certificateId',
    name: 'certificate',
    summary: 'A certificate: what it is worth today, and what was signed.',
    load: loadCertificate,
    json: certificateJson,
    page(data, ask) {
      const { payload } = data.standing
      if (!payload) throw unreadable(data)
      return CertificatePage(certificatePageProps(data, payload, shellOf(ask.actor, '/jobs')))
    },
  })

  resource.read({
    path: '/jobs/:jobId/certificates',
    name: 'certificates-of-job',
    summary: 'The certificates of a job, the first issued first.',
    async load({ scope, params }) {
      const job = await findJob(scope, params.jobId ?? '')
      return listCertificatesOfJob(scope, job.id)
    },
    json: (rows) => ({
      items: rows.map((row) => ({
        id: row.id,
        jobId: row.jobId,
        revision: row.revision,
        code: row.code,
        issuedAt: instant(row.issuedAt),
        issuedBy: row.issuedBy,
      })),
      nextCursor: null,
    }),
  })
}

async function loadCertificate({ scope, params, deps }: Ask): Promise<CertificateData> {
  const row = await findCertificate(scope, params.certificateId ?? '')
  const [standing, place, people] = await Promise.all([
    standingOf(scope, row, { keys: deps.machinery.signer.publicKeys, walk: true }),
    findCertificatePlace(scope, row.jobId),
    listPeopleNames(scope),
  ])
  return { row, standing, place, people }
}

const unreadable = ({ standing }: CertificateData) =>
  conflict('certificate-unreadable', say.certificates.whatWasSignedCant(standing.faults.join(' ')))

function certificateJson({ row, standing }: CertificateData) {
  return {
    id: row.id,
    jobId: row.jobId,
    code: row.code,
    revision: row.revision,
    issuedAt: instant(row.issuedAt),
    issuedBy: row.issuedBy,
    state: standing.state,
    faults: standing.faults,
    /** What was signed; null when it can't be told. */
    payload: standing.payload,
  }
}
