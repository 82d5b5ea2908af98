// How is what happened to a job said?

import type { JobEvent } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'

export const theEventWords = (): Record<JobEvent, string> => ({
  opened: say.jobs.opened,
  submitted: say.jobs.submittedForAudit,
  'sent-back': say.jobs.sentBack,
  'signed-off': say.jobs.signedOff,
  reopened: say.jobs.reopened,
  'handed-over': say.jobs.handedOver,
})
