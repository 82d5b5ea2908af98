// Signs a submitted job off: judged once more, sealed, and a certificate issued over the heads of its chains.

import { z } from 'zod'
import { type IssuedCertificate, issueCertificate } from '../../certificate/issue.ts'
import { findingsWithoutNames, withoutNames } from '../../certificate/names.ts'
import { digestOf } from '../../certificate/signed-copy.ts'
import { conflict, refusedByRule } from '../../refusals.ts'
import { isReleased } from '../../rules/finding.ts'
import { evaluate } from '../../rules/index.ts'
import { askedAfter } from '../../rules/register.ts'
import { listAuditThreads } from '../../store/queries/audit.ts'
import { listWaitingCorrections } from '../../store/queries/corrections.ts'
import { findJob } from '../../store/queries/jobs.ts'
import { appendEntry, type ChainHead, chainHead } from '../../store/record.ts'
import { keepLivesOfJob } from '../../store/rollups.ts'
import { addressIn, announce } from '../../webhooks/announce.ts'
import { FIRST_LANGUAGE, inLanguage, languageNow, say } from '../../words/say.ts'
import { defineCommand } from '../command.ts'
import { id } from '../fields.ts'
import { holdJob, turnJob } from '../jobs/job-turns.ts'
import { judgeJob } from './judge-job.ts'
import { judgeForRegister } from './keep-register.ts'
import { assertNotOwnWork, isOwnWork } from './own-work.ts'

export interface SignedOff {
  jobId: string
  stage: 'sealed'
  certificate: IssuedCertificate
}

export const signOffJob = defineCommand({
  name: 'sign-off-job',
  summary: 'Sign a submitted job off; it is sealed and a certificate is issued.',
  capability: 'audit-job',
  input: z.strictObject({ jobId: id }),
  async handle(scope, input, context): Promise<SignedOff> {
    await holdJob(scope, input.jobId)
    const job = await findJob(scope, input.jobId)
    if (job.stage === 'sealed') throw conflict('job-sealed', say.jobs.thisJobIsSigned)
    if (job.stage !== 'submitted') throw conflict('not-submitted', say.jobs.thisJobWasNot)
    const { dossier, findings } = await judgeJob(scope, job.id, context.now)
    const { ownWork } = await assertNotOwnWork(scope, dossier, context.actor.memberId, say.jobs.signsItOff)
    if ((await listWaitingCorrections(scope, job.id)).length > 0)
      throw conflict('correction-waiting', say.jobs.aCorrectionWaitsFor)
    if ((await listAuditThreads(scope, [job.id])).some((thread) => thread.state !== 'settled'))
      throw conflict('question-open', say.jobs.aQuestionAboutThis)
    const held = findings.filter((finding) => !isReleased(finding))
    if (held.length > 0) throw refusedByRule('hold-points', say.jobs.someHoldPointsAre, held)
    if (dossier.systems.length === 0) throw refusedByRule('no-system', say.jobs.thisJobHasNo)

    // What is sealed is written in the company's language, whoever signs off.
    const language = dossier.policy.certificateLanguage ?? FIRST_LANGUAGE
    const certified = language === languageNow() ? findings : inLanguage(language, () => evaluate(dossier))

    // What is signed is the end of each chain, so that what became of the last nonconformities stands before it.
    const stamp = { now: context.now, deviceAt: context.deviceAt, memberId: context.actor.memberId }
    const judging = {
      now: context.now,
      newId: context.newId,
      memberId: context.actor.memberId,
      asked: askedAfter('job-signed-off'),
      entryId: null,
    }
    for (const draft of await judgeForRegister(scope, dossier, judging))
      await appendEntry(scope, draft, stamp)

    await turnJob(scope, context, job, 'signed-off', {
      atOnce: true,
      body: {
        policyVersion: dossier.policyVersion,
        // The same digests as the certificate's, so that either vouches for the other.
        dossier: digestOf(withoutNames(dossier)),
        findings: digestOf(findingsWithoutNames(certified, dossier.crew)),
      },
    })
    const heads: (ChainHead | null)[] = []
    for (const system of dossier.systems) heads.push(await chainHead(scope, system.id))
    const concededOwnWork = new Set<string>()
    for (const by of new Set(dossier.concessions.map((concession) => concession.by)))
      if (await isOwnWork(scope, dossier, by)) concededOwnWork.add(by)
    const { policyVersion } = dossier
    const certificate = await inLanguage(language, () =>
      issueCertificate(
        scope,
        { job, dossier, findings: certified, policyVersion, heads, ownWork, concededOwnWork },
        context,
      ),
    )
    await announce(scope, context, 'job.signed_off', {
      jobId: job.id,
      reference: job.reference,
      systemIds: dossier.systems.map((system) => system.id),
      verdict: findings.some(({ outcome }) => outcome === 'conceded')
        ? 'released-with-concessions'
        : 'released',
      certificate: {
        id: certificate.id,
        revision: certificate.revision,
        url: addressIn(context, `/certificates/${certificate.id}`),
      },
      url: addressIn(context, `/jobs/${job.id}`),
    })
    // Last: the sums are the company's, and whoever signs off beside this waits for them.
    await keepLivesOfJob(scope, job.id)
    return { jobId: job.id, stage: 'sealed', certificate }
  },
})
