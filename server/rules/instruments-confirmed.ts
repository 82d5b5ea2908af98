// Was every instrument that this job rests on confirmed on the day it was used?

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
      reason: 'A record names this instrument, and it is not on the list of instruments.',
      next: 'Enter the instrument with its calibration.',
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
              name: 'days between confirmations',
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
        next: 'Look at each record that rests on it and repeat those that no longer hold with a confirmed instrument.',
        concedable: true,
      })
    case 'out-of-tolerance':
      return failed(subject, {
        ...said,
        next: 'Have it adjusted, and repeat with a confirmed instrument what was done with it.',
        concedable: true,
      })
    case 'never-calibrated':
    case 'out-of-date':
      return open(subject, {
        ...said,
        next: 'Have it checked and enter the result: found in tolerance, what was done with it stands.',
        concedable: true,
      })
  }
}

export const instrumentsConfirmed: Requirement = {
  code: 'instruments-confirmed',
  title: 'Every instrument used is confirmed',
  source:
    'policy; built in: torque wrenches by ISO 6789-1 (from memory), others by common practice, no source',
  check(dossier) {
    const uses = instrumentUses(dossier)
    const order = dossier.instruments.map(({ id }) => id)
    const ids = [
      ...order.filter((id) => uses.has(id)),
      ...[...uses.keys()].filter((id) => !order.includes(id)),
    ]
    if (ids.length === 0)
      return [notApplicable(jobSubject(dossier), 'No instrument was used on this job yet.')]
    return ids.map((id) => ask(dossier, id, uses.get(id) ?? []))
  },
}
