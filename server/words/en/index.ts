// What is everything called in English?

import { atRisk } from './at-risk.ts'
import { audit } from './audit.ts'
import { auditList } from './audit-list.ts'
import { auditPage } from './audit-page.ts'
import { auditReasons } from './audit-reasons.ts'
import { auditStanding } from './audit-standing.ts'
import { auditTests } from './audit-tests.ts'
import { auditThreads } from './audit-threads.ts'
import { calculators } from './calculators.ts'
import { callbacks } from './callbacks.ts'
import { certificates } from './certificates.ts'
import { charging } from './charging.ts'
import { claims } from './claims.ts'
import { codes } from './codes.ts'
import { concessions } from './concessions.ts'
import { corrections } from './corrections.ts'
import { fields } from './fields.ts'
import { gaugeLogs } from './gauge-logs.ts'
import { instrumentCare } from './instrument-care.ts'
import { instruments } from './instruments.ts'
import { jobs } from './jobs.ts'
import { jointHistory } from './joint-history.ts'
import { joints } from './joints.ts'
import { lookFirst } from './look-first.ts'
import { moving } from './moving.ts'
import { nonconformities } from './nonconformities.ts'
import { openid } from './openid.ts'
import { outgoing } from './outgoing.ts'
import { page } from './page.ts'
import { parts } from './parts.ts'
import { passkeys } from './passkeys.ts'
import { people } from './people.ts'
import { phone } from './phone.ts'
import { photos } from './photos.ts'
import { policyPreview } from './policy-preview.ts'
import { recalls } from './recalls.ts'
import { reference } from './reference.ts'
import { refusals } from './refusals.ts'
import { reliability } from './reliability.ts'
import { rules } from './rules.ts'
import { running } from './running.ts'
import { scripts } from './scripts.ts'
import { search } from './search.ts'
import { secondStep } from './second-step.ts'
import { sheets } from './sheets.ts'
import { signing } from './signing.ts'
import { sites } from './sites.ts'
import { systemHistory } from './system-history.ts'
import { systems } from './systems.ts'
import { tags } from './tags.ts'
import { tests } from './tests.ts'
import { trade } from './trade.ts'
import { webhooks } from './webhooks.ts'
import { worked } from './worked.ts'

export const en = {
  calculators,
  callbacks,
  certificates,
  charging,
  claims,
  codes,
  concessions,
  corrections,
  fields,
  gaugeLogs,
  instrumentCare,
  instruments,
  jobs,
  joints,
  lookFirst,
  moving,
  nonconformities,
  openid,
  outgoing,
  page,
  parts,
  passkeys,
  people,
  phone,
  photos,
  policyPreview,
  recalls,
  reference,
  refusals,
  reliability,
  rules,
  running,
  scripts,
  secondStep,
  sheets,
  signing,
  sites,
  systems,
  tags,
  tests,
  trade,
  webhooks,
  worked,
  atRisk,
  audit,
  auditThreads,
  search,
  auditReasons,
  auditStanding,
  auditList,
  auditTests,
  auditPage,
  jointHistory,
  systemHistory,
}
