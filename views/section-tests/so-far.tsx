// How does the running test stand, what should be done now, and how long until it can be decided?

import type { ComponentChildren, JSX } from 'preact'
import type { NextInTest, PressureAdvice, VacuumAdvice } from '../../server/rules/next-in-test.ts'
import { ReadingDue } from '../parts/reading-due.tsx'
import { When } from '../parts/when.tsx'

const PRESSURE: Record<PressureAdvice, { verdict: string | null; words: string }> = {
  raise: {
    verdict: null,
    words: 'Enter each stage as you raise it; then take the source off and let the gas settle.',
  },
  settle: {
    verdict: null,
    words:
      'Raise on in stages. When the pressure is reached, take the source off and leave it alone until the gas has settled.',
  },
  'read-on': { verdict: 'Cannot tell yet.', words: 'Leave it standing, touch no valve, and read on.' },
  'start-again': {
    verdict: 'Cannot tell.',
    words:
      'Reading on will not change that. End this test, put right what is named below, and start another.',
  },
  holds: {
    verdict: 'Holds.',
    words:
      'Check every joint with bubbles while the pressure is on. Then end the test and release the pressure.',
  },
  falls: {
    verdict: 'Falls.',
    words:
      'Look for the leak with bubbles at every joint, hose and core at this pressure. Then end the test, release the pressure and mend it.',
  },
  void: {
    verdict: 'Void.',
    words: 'Release the pressure slowly, end this test and inspect the parts.',
  },
}

const VACUUM: Record<VacuumAdvice, { verdict: string | null; words: string }> = {
  pull: { verdict: null, words: 'Pull on before you isolate it.' },
  isolate: {
    verdict: null,
    words: 'The target is reached. Isolate it from the pump, then read at once and every minute.',
  },
  'read-on': { verdict: 'Cannot tell yet.', words: 'Leave it isolated and read on.' },
  'pull-again': {
    verdict: 'Cannot tell.',
    words: 'Reading on will not change that. Put right what is named below and pull again, or end this one.',
  },
  tight: { verdict: 'Tight.', words: 'End it and charge now: what is let in later undoes this.' },
  moisture: {
    verdict: 'Moisture, or gas leaving the oil.',
    words: 'Break the vacuum with dry nitrogen, sweep it through, warm cold parts and pull down again.',
  },
  leak: {
    verdict: 'Leak.',
    words:
      'First isolate closer to the system and read again: hoses and cores leak more than joints. If it climbs again, end this and go back to the pressure test and bubbles.',
  },
}

const DUE = {
  'start-of-hold': 'Read the start of the hold',
  reading: 'Next reading',
  'last-reading': 'Reading that ends the hold',
} as const

interface Props<Advice> {
  next: NextInTest<Advice>
  now: number
  test: string
  /** What the verdict rests on. */
  children?: ComponentChildren
}

export function PressureSoFar(props: Props<PressureAdvice> & { settleMinutes: string }): JSX.Element {
  const said = PRESSURE[props.next.advice]
  const waits = props.next.advice === 'raise' || props.next.advice === 'settle'
  const words = waits ? `${said.words} It takes ${props.settleMinutes} minutes.` : said.words
  return <SoFar {...props} said={{ ...said, words }} />
}

export function VacuumSoFar(props: Props<VacuumAdvice> & { target: string }): JSX.Element {
  const said = VACUUM[props.next.advice]
  const words =
    props.next.advice === 'pull'
      ? `Pull on to ${props.target} before you isolate it; enter a reading now and then.`
      : said.words
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
            <b>So far: {said.verdict}</b>{' '}
          </>
        )}
        {said.words}
      </p>
      {due === null ? null : <ReadingDue what={DUE[due.what]} at={due.at} now={now} test={props.test} />}
      {minutes === null || decidesAt === null ? null : minutes <= 0 ? (
        <p class="hint">Enough time has passed: the next reading should decide it.</p>
      ) : (
        <p class="hint">
          About {minutes} more {minutes === 1 ? 'minute' : 'minutes'} should decide it, until{' '}
          <When at={decidesAt} show="time" />.
        </p>
      )}
      {props.children}
    </>
  )
}
