// What does each code of a refusal mean, and what is there to do about it?

export interface ProblemCode {
  code: string
  status: number
  meaning: string
  next: string
}

export const PROBLEM_CODES: readonly ProblemCode[] = [
  c(
    'malformed',
    400,
    'A field is missing, unknown, of the wrong kind or unit, or says what can’t have happened.',
    'Look at `errors`: each names the path of its field and what is wanted.',
  ),
  c('signed-out', 401, 'Nobody is signed in, or the session has ended.', 'Sign in, or send a token.'),
  c('bad-token', 401, 'The token is unknown, expired, or was taken back.', 'Make a new one.'),
  c(
    'other-member',
    401,
    'The header `As-Member` names somebody else than who is signed in: an entry of one person was about to go out as another’s.',
    'Keep it until they are signed in.',
  ),
  c(
    'wrong-credentials',
    401,
    'E-mail address and password do not belong together.',
    'Try again, or ask whoever runs the server for a new password.',
  ),
  c('not-yours-to-hand-over', 403, 'Somebody else has the job.', 'Ask them or a manager to hand it over.'),
  c('forbidden', 403, 'The role does not allow this.', 'Ask somebody whose role does.'),
  c('token-read-only', 403, 'The token may only read.', 'Use one with the scope write.'),
  c('token-write-only', 403, 'The token may only write.', 'Use one with the scope read.'),
  c('token-makes-no-token', 403, 'A token can’t make tokens.', 'Sign in for that.'),
  c(
    'origin',
    403,
    'A write with a session came without the Origin header of this server, or from another site.',
    'Send it from the pages of this server, or use a token.',
  ),
  c('sign-up-closed', 403, 'Nobody may found a company here.', 'Ask an owner for an invitation.'),
  c(
    'missing',
    404,
    'What the address or a field names is not there, or belongs to somebody else.',
    'Check the id.',
  ),
  c(
    'invitation-unusable',
    404,
    'The invitation is not known, was used or taken back, or is too old.',
    'Ask for a new one.',
  ),
  c(
    'id-reused',
    409,
    'The id or the key was used before with other content.',
    'Choose another id for something else.',
  ),
  c('already-there', 409, 'Something of that name is there already.', 'Read it again before you write.'),
  c('job-sealed', 409, 'The job is signed off.', 'A manager can reopen it with a reason.'),
  c('job-submitted', 409, 'The job waits for audit.', 'A manager can send it back.'),
  c('not-submitted', 409, 'The job was not submitted yet.', 'Submit it first.'),
  c('not-sealed', 409, 'The job is not signed off.', 'Only a sealed job is reopened.'),
  c('not-on-this-job', 409, 'The system is not part of that job.', 'Name a job that it is part of.'),
  c(
    'step-out-of-order',
    409,
    'An earlier step is missing, or a finding stands in the way.',
    'Record what `detail` names first.',
  ),
  c('joint-retired', 409, 'The joint was taken out of the line.', 'Nothing more is recorded for it.'),
  c('joint-left-out', 409, 'The joint is left out of this job.', 'Work on it in another job.'),
  c('joint-made-here', 409, 'The joint was made on this job.', 'It can’t be left out.'),
  c('leak-found-here', 409, 'A leak was found at the joint on this job.', 'Mend it and check it again.'),
  c('already-theirs', 409, 'The person has the job already.', 'Nothing is left to do.'),
  c('already-retired', 409, 'The joint is retired already.', 'Nothing is left to do.'),
  c('still-standing', 409, 'The unit that it replaces still stands.', 'Record its removal first.'),
  c(
    'callback-closed',
    409,
    'The callback is closed.',
    'If the system leaks again, take in another callback.',
  ),
  c('already-removed', 409, 'The unit was removed already.', 'Nothing is left to do.'),
  c('unit-known', 409, 'The line set runs to a unit already.', 'Replace that unit instead.'),
  c(
    'nothing-to-recall',
    409,
    'No check has found the instrument out of tolerance.',
    'Record the check that found it off first.',
  ),
  c('recall-open', 409, 'This check already has its recall.', 'Go on with that one.'),
  c(
    'recall-closed',
    409,
    'The recall is closed.',
    'A later check that finds the instrument off opens another.',
  ),
  c(
    'nothing-to-follow-up',
    409,
    'Every record under the recall is settled or has its job.',
    'Settle the rest, then close the recall.',
  ),
  c('recall-unsettled', 409, 'Records under the recall are not settled yet.', 'Say of each what was done.'),
  c(
    'refrigerant-differs',
    409,
    'The sheet is for another refrigerant.',
    'Choose a sheet for the refrigerant of the system.',
  ),
  c(
    'serial-taken',
    409,
    'An instrument of this kind has this serial.',
    'Use that one, or correct the serial.',
  ),
  c('tag-prefix-taken', 409, 'Another system’s tags begin with this.', 'Choose another prefix.'),
  c('test-concluded', 409, 'The test is concluded.', 'Begin a new one.'),
  c(
    'log-taken',
    409,
    'This very log is in the test already.',
    'Read the test; send a longer log if there is one.',
  ),
  c('nothing-to-concede', 409, 'There is no such finding, or it is met.', 'Read the hold points again.'),
  c('correction-waiting', 409, 'A correction waits for a manager.', 'Accept or refuse it first.'),
  c('already-corrected', 409, 'The fact was corrected already.', 'Correct the correction.'),
  c('already-decided', 409, 'Somebody decided already.', 'Read it again.'),
  c(
    'certificate-unreadable',
    409,
    'The signed copy can’t be checked, so it is not shown.',
    'Whoever runs the server can verify the record.',
  ),
  c('already-member', 409, 'The person belongs to the company already.', 'Change their role instead.'),
  c('member-in-crew', 409, 'The member is in the crew already.', 'Use that person.'),
  c('last-owner', 409, 'A company needs an owner.', 'Make somebody else an owner first.'),
  c('invitation-used', 409, 'The invitation was used.', 'Change the member instead.'),
  c(
    'line-set-begun',
    409,
    'Work on the joints of the line set has begun.',
    'Retire the joints and lay a new line set.',
  ),
  c('policy-changed', 409, 'Somebody set other criteria meanwhile.', 'Read them again, then set yours.'),
  c(
    'not-correctable',
    422,
    'The entry holds nothing that is corrected: steps, readings, charges and running checks are.',
    'Record what is right as something new.',
  ),
  c(
    'under-test-pressure',
    422,
    'A joint under test pressure is not tightened or loosened: it can burst and throw parts.',
    'Let the pressure off slowly, then torque.',
  ),
  c('too-large', 413, 'The body is larger than the server takes.', 'Send less at once.'),
  c('unsupported-media-type', 415, 'This kind of content is not taken here.', 'Send JSON.'),
  c('hold-points', 422, 'Some hold points are not met.', 'Look at `findings`: each says what is next.'),
  c('no-concession', 422, 'This requirement allows no concession.', 'Do what its finding asks for.'),
  c('no-system', 422, 'The job has no system.', 'Add one first.'),
  c(
    'own-work',
    422,
    'Who did or recorded the work may not sign it off.',
    'Somebody else does; the policy can allow it.',
  ),
  c('too-many', 429, 'Too many tries in a short time.', 'Wait a little.'),
  c('broken', 500, 'Something went wrong on the server.', 'Try again; whoever runs it finds it in the log.'),
  c(
    'busy',
    503,
    'The store could not take the write now.',
    'Try again after the time in Retry-After; a repeated id is harmless.',
  ),
]

function c(code: string, status: number, meaning: string, next: string): ProblemCode {
  return { code, status, meaning, next }
}
