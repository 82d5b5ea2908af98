// How did a test end, and what does the record say of it today? Told alike on pages, in lists and to programs.

import { instrumentsOf } from '../commands/section-tests/instruments-of.ts'
import type { Evacuation, Instrument, PressureTest, System } from '../rules/dossier.ts'
import { judgeEvacuationTest } from '../rules/judge-evacuation.ts'
import { judgePressureTest } from '../rules/judge-pressure-test.ts'
import type { Policy } from '../rules/policy.ts'
import { isPressureTest, type SectionTest } from '../rules/staleness.ts'
import { listInstrumentsById } from '../store/queries/instruments-used.ts'
import { loadForJudging, type SystemForJudging } from '../store/queries/judging.ts'
import type { Scope } from '../store/store.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import type { Ask } from './resource.ts'

export interface Ending {
  /** As it was concluded; null while it runs. */
  verdict: (PressureTest | Evacuation)['verdict']
  /**
   * As the record stands today: another one where a reading, an instrument, the sheet or the policy was changed since.
   * This is what the hold points of a job that is not signed off go by.
   */
  verdictToday: Ending['verdict']
}

interface Judging {
  policy: Policy
  instruments: readonly Instrument[]
}

export function endingOf(test: SectionTest, system: System, judging: Judging): Ending {
  if (test.concludedAt === null) return { verdict: null, verdictToday: null }
  const today = isPressureTest(test)
    ? judgePressureTest(test, system, judging)
    : judgeEvacuationTest(test, system, judging)
  return { verdict: test.verdict, verdictToday: today.verdict }
}

/** The endings of some tests of a system, by id. */
export async function endingsOf(
  scope: Scope,
  { system, policy }: Pick<SystemForJudging, 'system' | 'policy'>,
  tests: readonly SectionTest[],
): Promise<Map<string, Ending>> {
  const instruments = await listInstrumentsById(
    scope,
    tests.flatMap((test) => [...instrumentsOf(test)]),
  )
  const judging = { policy: policy.criteria, instruments }
  return new Map(tests.map((test) => [test.id, endingOf(test, system, judging)]))
}

/** "holds"; "holds at its end, falls today"; "running" */
export function endingWords({ verdict, verdictToday }: Ending): string {
  if (verdict === null) return say.tests.runningWord
  const words = (one: string) => coded(one)
  return verdictToday === null || verdictToday === verdict
    ? words(verdict)
    : say.tests.atItsEndToday(words(verdict), words(verdictToday))
}

/** The answer to a program that asks for one test. */
export const withToday =
  <Stored extends { systemId: string; test: SectionTest }>(
    json: (stored: Stored) => Record<string, unknown>,
  ) =>
  async (stored: Stored, { scope }: Ask) => {
    const loaded = await loadForJudging(scope, stored.systemId)
    const ending = (await endingsOf(scope, loaded, [stored.test])).get(stored.test.id)
    return { ...json(stored), verdictToday: ending?.verdictToday ?? null }
  }
