// How does the running test stand, what should be done now, and how long until it can be decided?

import type { ComponentChildren, JSX } from 'preact'
import type { NextInTest, PressureAdvice, VacuumAdvice } from '../../server/rules/next-in-test.ts'
import { say } from '../../server/words/say.ts'
import { ReadingDue } from '../parts/reading-due.tsx'
import { When } from '../parts/when.tsx'

const thePressure = (): Record<PressureAdvice, { verdict: string | null; words: string }> => ({
  raise: {
    verdict: null,
    words: say.tests.enterEachStageAsYou,
  },
  settle: {
    verdict: null,
    words: say.tests.raiseOnInStages,
  },
  'read-on': { verdict: say.tests.cannotTellYet, words: say.tests.leaveItStandingTouch },
  'start-again': {
    verdict: say.tests.cannotTell,
    words: say.tests.readingOnWillNot,
  },
  holds: {
    verdict: say.tests.holds,
    words: say.tests.checkEveryJointWith,
  },
  falls: {
    verdict: say.tests.falls,
    words: say.tests.lookForTheLeak,
  },
  void: {
    verdict: say.tests.voidWord,
    words: say.tests.releaseThePressureSlowly,
  },
})

const theVacuum = (): Record<VacuumAdvice, { verdict: string | null; words: string }> => ({
  pull: { verdict: null, words: say.tests.pullOnBeforeYou },
  isolate: {
    verdict: null,
    words: say.tests.theTargetIsReached,
  },
  'read-on': { verdict: say.tests.cannotTellYet, words: say.tests.leaveItIsolatedAnd },
  'pull-again': {
    verdict: say.tests.cannotTell,
    words: say.tests.readingOnWillNotChange,
  },
  tight: { verdict: say.tests.tight, words: say.tests.endItAndCharge },
  moisture: {
    verdict: say.tests.moistureOrGasLeaving,
    words: say.tests.breakTheVacuumWith,
  },
  leak: {
    verdict: say.tests.leak,
    words: say.tests.firstIsolateCloserTo,
  },
})

const theDue = () =>
  ({
    'start-of-hold': say.tests.readTheStartOf,
    reading: say.tests.nextReading,
    'last-reading': say.tests.readingThatEndsThe,
  }) as const

interface Props<Advice> {
  next: NextInTest<Advice>
  now: number
  test: string
  /** What the verdict rests on. */
  children?: ComponentChildren
}

export function PressureSoFar(props: Props<PressureAdvice> & { settleMinutes: string }): JSX.Element {
  const said = thePressure()[props.next.advice]
  const waits = props.next.advice === 'raise' || props.next.advice === 'settle'
  const words = waits ? say.tests.itTakesMinutes(said.words, props.settleMinutes) : said.words
  return <SoFar {...props} said={{ ...said, words }} />
}

export function VacuumSoFar(props: Props<VacuumAdvice> & { target: string }): JSX.Element {
  const said = theVacuum()[props.next.advice]
  const words = props.next.advice === 'pull' ? say.tests.pullOnToBefore(props.target) : said.words
  return <SoFar {...props} said={{ ...said, words }} />
}

function SoFar(props: Props<string> & { said: { verdict: string | null; words: string } }): JSX.Element {
  const { next, said, now } = props
  const { due, decidesAt } = next
  const minutes = decidesAt === null ? null : Math.ceil((decidesAt - now) / 60_000)
  return (
    <>
      <p class="why">
        {said.verdict === null ? null : (
          <>
            <b>{say.tests.soFar(said.verdict)}</b>{' '}
          </>
        )}
        {said.words}
      </p>
      {due === null ? null : <ReadingDue what={theDue()[due.what]} at={due.at} now={now} test={props.test} />}
      {minutes === null || decidesAt === null ? null : minutes <= 0 ? (
        <p class="hint">{say.tests.enoughTimeHasPassed}</p>
      ) : (
        <p class="hint">
          {say.tests.aboutMoreShouldDecide(
            minutes,
            minutes === 1 ? say.tests.minute : say.tests.minutes,
            <When at={decidesAt} show="time" />,
          )}
        </p>
      )}
      {props.children}
    </>
  )
}
