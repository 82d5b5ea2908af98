// Was every instrument that this job rests on confirmed on the day it was used?

import { say } from '../words/say.ts'
import { failed, jobSubject, met, notApplicable, open } from './answers.ts'
import type { Dossier } from './dossier.ts'
import type { Answer, Requirement, Subject } from './finding.ts'
import { type InstrumentUse, instrumentUses, judgeInstrument } from './judge-instrument.ts'

function ask(dossier: Dossier, id: string, uses: InstrumentUse[]): Answer {
  const instrument = dossier.instruments.find((candidate) => candidate.id === id)
  const evidence = [...new Set(uses.map((use) => use.evidenceId))]
  const subject: Subject = { kind: 'instrument', id, name: instrument?.name ?? 'an unknown instrument' }
  if (!instrument) {
    return open(subject, {
      reason: say.rules.aRecordNamesThis,
      next: say.rules.enterTheInstrumentWith,
      evidence,
      concedable: true,
    })
  }
  const judgement = judgeInstrument(instrument, uses, dossier.policy)
  const said = {
    reason: judgement.reason,
    evidence,
    numbers:
      judgement.intervalDays === null
        ? []
        : [
            {
              name: say.rules.daysBetweenConfirmations,
              value: judgement.intervalDays,
              unit: 'd',
              source: 'policy',
            },
          ],
  }
  switch (judgement.state) {
    case 'not-asked':
      return notApplicable(subject, judgement.reason)
    case 'confirmed':
    case 'found-in-tolerance-since':
      return met(subject, said)
    case 'recalled':
      return failed(subject, {
        ...said,
        next: say.rules.lookAtEachRecord,
        concedable: true,
      })
    case 'out-of-tolerance':
      return failed(subject, {
        ...said,
        next: say.rules.haveItAdjustedAnd,
        concedable: true,
      })
    case 'never-calibrated':
    case 'out-of-date':
      return open(subject, {
        ...said,
        next: say.rules.haveItCheckedAnd,
        concedable: true,
      })
  }
}

export const instrumentsConfirmed: Requirement = {
  code: 'instruments-confirmed',
  get title() {
    return say.rules.everyInstrumentUsedIs
  },
  get source() {
    return say.rules.policyBuiltInTorque
  },
  check(dossier) {
    const uses = instrumentUses(dossier)
    const order = dossier.instruments.map(({ id }) => id)
    const ids = [
      ...order.filter((id) => uses.has(id)),
      ...[...uses.keys()].filter((id) => !order.includes(id)),
    ]
    if (ids.length === 0) return [notApplicable(jobSubject(dossier), say.rules.noInstrumentWasUsed)]
    return ids.map((id) => ask(dossier, id, uses.get(id) ?? []))
  },
}
