// Are missing photos named, and photos of parts counted for the whole?

import { describe, expect, it } from 'vitest'
import { evidenceAttached } from '../../server/rules/evidence-attached.ts'
import { REQUIREMENTS } from '../../server/rules/index.ts'
import { BUILT_IN_POLICY, EVIDENCE_PHOTOS, type EvidencePhoto } from '../../server/rules/policy.ts'
import { aFinishedJob, aJob, type JobBuilder } from '../support/dossiers.ts'
import { testRequirement } from '../support/requirement-tables.ts'

const anInstallation = () => aFinishedJob().withPolicy({ evidence: BUILT_IN_POLICY.evidence })

const showing = (job: JobBuilder, photos: readonly EvidencePhoto[], subjectId = 'system-1') =>
  job.with((dossier) => {
    dossier.photos = photos.map((shows, index) => ({
      id: `photo-${index}`,
      subjectKind: 'system',
      subjectId,
      shows,
      sha256: 'f'.repeat(64),
    }))
  })

testRequirement(evidenceAttached, {
  met: [
    { when: 'every photo is there', job: () => showing(anInstallation(), EVIDENCE_PHOTOS) },
    {
      when: 'the photos belong to parts of the system',
      job: () => showing(anInstallation(), EVIDENCE_PHOTOS, 'system-1-line-1'),
    },
    {
      when: 'the policy asks for one, and it is there',
      job: () =>
        showing(anInstallation(), ['gauge-at-end']).withPolicy({ evidence: { photos: ['gauge-at-end'] } }),
    },
  ],
  notMet: [
    {
      when: 'none is there',
      job: () => anInstallation(),
      outcome: 'open',
      next: /Add a photo of the gauge at the start of the hold/,
      concedable: true,
    },
    {
      when: 'one is missing',
      job: () =>
        showing(
          anInstallation(),
          EVIDENCE_PHOTOS.filter((photo) => photo !== 'vacuum-at-end'),
        ),
      outcome: 'open',
      reason: /^Missing: the vacuum gauge at the end\.$/,
      concedable: true,
    },
    {
      when: 'they belong to another system',
      job: () => showing(anInstallation(), EVIDENCE_PHOTOS, 'system-2'),
      outcome: 'open',
      concedable: true,
    },
  ],
  notApplicable: [
    {
      when: 'the policy asks for none',
      job: () => anInstallation().withPolicy({ evidence: { photos: [] } }),
    },
    {
      when: 'nothing that it asks for was done',
      job: () =>
        aJob('maintenance')
          .withSystem({ units: [] })
          .with((dossier) => {
            dossier.policy.evidence.photos = ['gauge-at-end', 'vacuum-at-end', 'indoor-joints']
          }),
    },
  ],
})

describe('the list of requirements', () => {
  it('asks for photos before it looks at the order of the work', () => {
    expect(REQUIREMENTS.indexOf(evidenceAttached)).toBe(REQUIREMENTS.length - 2)
  })
})
