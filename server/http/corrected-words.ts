// What does a correction change, in words for who has to answer it: what it is about, what was said, what is said now?

import { chargeWords } from '../../views/charging/charge.tsx'
import { formatWhen } from '../../views/parts/when.tsx'
import type { Dossier } from '../rules/dossier.ts'
import type { CorrectedFact } from '../store/queries/corrections.ts'
import { say } from '../words/say.ts'
import { summaryOf } from './joint-page.ts'
import { readingWords } from './recorded-readings.ts'
import { runningWords } from './running-checks.ts'

export interface CorrectionInWords {
  /** "Joint SM9-11" */
  about: string
  href: string
  before: string
  after: string
}

export function correctionInWords(correction: CorrectedFact, dossier: Dossier): CorrectionInWords {
  const { jobId } = correction
  const personOf = (id: string | null) => dossier.crew.find((person) => person.id === id)?.name ?? null
  /** Who and when, where that is what was corrected. */
  const told = <
    Fact extends {
      performedAt: number
      performedBy: string
      supervisedBy: string | null
      witnessedBy: string | null
    },
  >(
    words: (fact: Fact) => string,
    fact: Fact,
    other: Fact,
  ) =>
    [
      words(fact),
      fact.performedBy === other.performedBy
        ? null
        : say.corrections.by2(personOf(fact.performedBy) ?? say.corrections.somebody),
      fact.supervisedBy === other.supervisedBy
        ? null
        : say.corrections.supervisedBy(personOf(fact.supervisedBy) ?? say.corrections.nobody),
      fact.witnessedBy === other.witnessedBy
        ? null
        : say.corrections.witnessedBy(personOf(fact.witnessedBy) ?? say.corrections.nobody),
      fact.performedAt === other.performedAt ? null : formatWhen({ at: fact.performedAt }),
    ]
      .filter((part) => part !== null)
      .join(', ')

  switch (correction.table) {
    case 'steps': {
      const { original, replacement } = correction
      const system = dossier.systems.find(({ joints }) => joints.some(({ id }) => id === original.jointId))
      const joint = system?.joints.find(({ id }) => id === original.jointId)
      const judging = {
        policy: dossier.policy,
        instruments: dossier.instruments,
        sheet: system?.sheet ?? null,
      }
      const words = (step: typeof original) => (joint ? summaryOf(step, joint, judging) : step.kind)
      return {
        about: say.corrections.jointTagged(joint?.tag ?? '').trim(),
        href: `/joints/${original.jointId}?job=${jobId}`,
        before: told(words, original, replacement),
        after: told(words, replacement, original),
      }
    }
    case 'sectionReadings': {
      const { original, replacement } = correction
      const isPressure = dossier.systems.some(({ pressureTests }) =>
        pressureTests.some(({ id }) => id === original.testId),
      )
      const kind = isPressure ? 'pressure' : 'evacuation'
      const gauge = (id: string | null) =>
        dossier.instruments.find((instrument) => instrument.id === id)?.name ??
        say.corrections.theTestsOwnGauge
      const words = (reading: typeof original, other: typeof original) =>
        [
          readingWords(kind, reading),
          reading.instrumentId === other.instrumentId ? null : gauge(reading.instrumentId),
          formatWhen({ at: reading.at }),
        ]
          .filter((part) => part !== null)
          .join(', ')
      return {
        about: isPressure ? say.corrections.pressureTest : say.corrections.evacuation,
        href: `/${isPressure ? 'pressure-tests' : 'evacuations'}/${original.testId}#recorded`,
        before: words(original, replacement),
        after: words(replacement, original),
      }
    }
    case 'charges': {
      const { original, replacement } = correction
      const scale = (id: string | null) =>
        dossier.instruments.find((instrument) => instrument.id === id)?.name ?? null
      const words = (charge: typeof original) =>
        chargeWords({ ...charge, scale: scale(charge.scaleInstrumentId) })
      return {
        about: say.corrections.charge,
        href: `/systems/${original.systemId}/charge?jobId=${jobId}#recorded`,
        before: told(words, original, replacement),
        after: told(words, replacement, original),
      }
    }
    case 'runningChecks': {
      const { original, replacement } = correction
      return {
        about: say.corrections.runningCheck,
        href: `/systems/${original.systemId}/running-checks?jobId=${jobId}#recorded`,
        before: told(runningWords, original, replacement),
        after: told(runningWords, replacement, original),
      }
    }
  }
}
