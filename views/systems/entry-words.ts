// How is an entry of the record called, and to what part of the story does it belong?

import type { HistoryTopic } from '../../server/vocabulary.ts'

export const ENTRY_WORDS: Record<string, string> = {
  'system-added': 'System added',
  'system-changed': 'System changed',
  'set-up-copied': 'Set up as an earlier system',
  'unit-added': 'Unit added',
  'unit-replaced': 'Unit replaced',
  'unit-removed': 'Unit taken out',
  'line-set-laid': 'Line set laid',
  'line-set-changed': 'Line set changed',
  'joint-added': 'Joint added',
  'joint-retired': 'Joint taken out of service',
  'joint-left-out': 'Joint left out of the job',
  'make-started': 'Making begun',
  'preparation-recorded': 'Tube prepared',
  'flare-recorded': 'Flared',
  'brazing-recorded': 'Brazed',
  'pressing-recorded': 'Pressed',
  'inspection-recorded': 'Inspected',
  'assembly-recorded': 'Assembled',
  'torque-recorded': 'Torqued',
  'closing-recorded': 'Closed',
  'leak-check-recorded': 'Checked for leaks',
  'pressure-test-started': 'Pressure test begun',
  'pressure-readings-recorded': 'Readings of the pressure test',
  'pressure-log-taken': 'Gauge’s log of the pressure test taken',
  'pressure-test-concluded': 'Pressure test concluded',
  'evacuation-started': 'Evacuation begun',
  'vacuum-readings-recorded': 'Readings of the evacuation',
  'vacuum-log-taken': 'Gauge’s log of the evacuation taken',
  'evacuation-concluded': 'Evacuation concluded',
  'charge-recorded': 'Charge recorded',
  'running-check-recorded': 'Running check recorded',
  'photo-attached': 'Photo added',
  'fact-corrected': 'Entry corrected',
  'correction-asked': 'Correction asked for',
  'correction-accepted': 'Correction accepted',
  'correction-refused': 'Correction refused',
  'job-opened': 'Job opened',
  'job-changed': 'Job changed',
  'job-handed-over': 'Job handed over',
  'job-submitted': 'Job submitted',
  'job-sent-back': 'Job sent back',
  'job-signed-off': 'Job signed off',
  'job-reopened': 'Job opened again',
  'certificate-issued': 'Certificate issued',
  'concession-requested': 'Concession asked for',
  'concession-granted': 'Concession given',
  'callback-opened': 'Callback taken in',
  'callback-changed': 'Callback changed',
  'callback-closed': 'Callback closed',
  'audit-accepted': 'Accepted in the audit',
  'audit-mark-withdrawn': 'Mark of the audit withdrawn',
  'question-asked': 'Question from the audit',
  'question-answered': 'Question answered',
  'question-asked-again': 'Asked again',
  'question-settled': 'Question settled',
}

/** A kind that came later is said by its own code. */
export const entryWords = (kind: string): string => {
  const words = ENTRY_WORDS[kind] ?? kind.replaceAll('-', ' ')
  return words.charAt(0).toUpperCase() + words.slice(1)
}

export const TOPIC_WORDS: Record<HistoryTopic, string> = {
  joints: 'Work on joints',
  tests: 'Pressure tests and evacuations',
  charge: 'Charge and running',
  'set-up': 'Units, line sets, joints',
  jobs: 'Jobs, audit, certificates',
  callbacks: 'Callbacks',
  corrections: 'Corrections and photos',
}
