// How is what happened to a job said?

import type { JobEvent } from '../../server/vocabulary.ts'

export const EVENT_WORDS: Record<JobEvent, string> = {
  opened: 'Opened',
  submitted: 'Submitted for audit',
  'sent-back': 'Sent back',
  'signed-off': 'Signed off',
  reopened: 'Reopened',
  'handed-over': 'Handed over',
}
