// How is an entry of the record called, and to what part of the story does it belong?

import type { HistoryTopic } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'

export const theEntryWords = (): Record<string, string> => ({
  'system-added': say.systems.systemAdded,
  'system-changed': say.systems.systemChanged,
  'set-up-copied': say.systems.setUpAsAn,
  'unit-added': say.systems.unitAdded,
  'unit-replaced': say.systems.unitReplaced,
  'unit-removed': say.systems.unitTakenOut,
  'warranty-stated': say.systems.warrantyStated,
  'line-set-laid': say.systems.lineSetLaid,
  'line-set-changed': say.systems.lineSetChanged,
  'joint-added': say.systems.jointAdded,
  'joint-retired': say.systems.jointTakenOutOf,
  'joint-left-out': say.systems.jointLeftOutOf,
  'make-started': say.systems.makingBegun,
  'preparation-recorded': say.systems.tubePrepared,
  'flare-recorded': say.systems.flared,
  'brazing-recorded': say.systems.brazed,
  'pressing-recorded': say.systems.pressed,
  'inspection-recorded': say.systems.inspected,
  'assembly-recorded': say.systems.assembled,
  'torque-recorded': say.systems.torqued,
  'closing-recorded': say.systems.closed,
  'leak-check-recorded': say.systems.checkedForLeaks,
  'pressure-test-started': say.systems.pressureTestBegun,
  'pressure-readings-recorded': say.systems.readingsOfThePressure,
  'pressure-log-taken': say.systems.gaugesLogOfThe,
  'pressure-test-concluded': say.systems.pressureTestConcluded,
  'evacuation-started': say.systems.evacuationBegun,
  'vacuum-readings-recorded': say.systems.readingsOfTheEvacuation,
  'vacuum-log-taken': say.systems.gaugesLogOfTheEvacuation,
  'evacuation-concluded': say.systems.evacuationConcluded,
  'charge-recorded': say.systems.chargeRecorded,
  'running-check-recorded': say.systems.runningCheckRecorded,
  'photo-attached': say.systems.photoAdded,
  'fact-corrected': say.systems.entryCorrected,
  'correction-asked': say.systems.correctionAskedFor,
  'correction-accepted': say.systems.correctionAccepted,
  'correction-refused': say.systems.correctionRefused,
  'job-opened': say.systems.jobOpened,
  'job-changed': say.systems.jobChanged,
  'job-handed-over': say.systems.jobHandedOver,
  'job-submitted': say.systems.jobSubmitted,
  'job-sent-back': say.systems.jobSentBack,
  'job-signed-off': say.systems.jobSignedOff,
  'job-reopened': say.systems.jobOpenedAgain,
  'certificate-issued': say.systems.certificateIssued,
  'concession-requested': say.systems.concessionAskedFor,
  'concession-granted': say.systems.concessionGiven,
  'concession-refused': say.systems.concessionRefused,
  'nonconformity-found': say.systems.nonconformityFound,
  'nonconformity-disposed': say.systems.nonconformityClosed,
  'callback-opened': say.systems.callbackTakenIn,
  'callback-changed': say.systems.callbackChanged,
  'callback-closed': say.systems.callbackClosed,
  'audit-accepted': say.systems.acceptedInTheAudit,
  'audit-mark-withdrawn': say.systems.markOfTheAudit,
  'question-asked': say.systems.questionFromTheAudit,
  'question-answered': say.systems.questionAnswered,
  'question-asked-again': say.systems.askedAgain,
  'question-settled': say.systems.questionSettled,
})

/** A kind that came later is said by its own code. */
export const entryWords = (kind: string): string => {
  const words = theEntryWords()[kind] ?? kind.replaceAll('-', ' ')
  return words.charAt(0).toUpperCase() + words.slice(1)
}

export const topicWords = (): Record<HistoryTopic, string> => ({
  joints: say.systems.workOnJoints,
  tests: say.systems.pressureTestsAndEvacuations,
  charge: say.systems.chargeAndRunning,
  'set-up': say.systems.unitsLineSetsJoints,
  jobs: say.systems.jobsAuditCertificates,
  callbacks: say.systems.callbacks,
  corrections: say.systems.correctionsAndPhotos,
})
