// Does the charge in each system match what its equipment sheet asks for with these lines?

import { failed, met, notApplicable, open, systemSubject } from './answers.ts'
import type { Dossier, System } from './dossier.ts'
import type { Answer, JudgedNumber, Requirement } from './finding.ts'
import { type ChargeJudgement, judgeCharge } from './judge-charge.ts'
import { judgeRoom } from './judge-room.ts'
import { hasFlammableRefrigerant, roomsOf } from './room-large-enough.ts'
import { scopeOf } from './scope.ts'
import { kilograms } from './wording.ts'

function numbersOf(judgement: ChargeJudgement): JudgedNumber[] {
  const { required, toleranceKg, net, maximum, co2e } = judgement
  const band = required && toleranceKg !== null
  return [
    {
      name: 'charge in the system',
      value: net.totalKg,
      unit: 'kg',
      low: band ? required.totalKg - toleranceKg : undefined,
      high: band ? required.totalKg + toleranceKg : undefined,
      source: [required?.source, judgement.toleranceSource].filter(Boolean).join('; '),
    },
    {
      name: 'additional charge asked for',
      value: required?.additionalKg ?? null,
      unit: 'kg',
      source: required?.source,
    },
    { name: 'highest charge', value: maximum?.massKg ?? null, unit: 'kg', source: maximum?.source },
    {
      name: 'CO₂-equivalent',
      value: co2e?.kg ?? null,
      unit: 'kg CO₂e',
      source: co2e ? `GWP ${co2e.gwp}, ${co2e.basis}; ${co2e.source}` : undefined,
    },
  ].filter((number) => number.value !== null)
}

/** Whether the charge that is in is more than a room at this system may hold. */
function aboveRoomLimit(system: System, totalKg: number | null): boolean {
  if (totalKg === null || totalKg <= 0 || !hasFlammableRefrigerant(system)) return false
  return roomsOf(system).some(({ room }) => {
    const { verdict } = judgeRoom(system.refrigerant, totalKg, room)
    return verdict === 'too-small' || verdict === 'beyond-method'
  })
}

function ask(dossier: Dossier, system: System, sectionOpened: boolean): Answer {
  const subject = systemSubject(system)
  const here = system.charges.filter((charge) => charge.jobId === dossier.job.id)
  if (dossier.job.kind === 'removal') {
    if (here.some((charge) => charge.direction === 'out'))
      return notApplicable(subject, 'The system is taken out of use; what was recovered is on record.')
    return open(subject, {
      reason: 'The system is taken out of use, and what was recovered from it is not recorded.',
      next: 'Recover the refrigerant, weigh it and record it as taken out. If it was empty, ask a manager with the reason.',
      evidence: here.map(({ id }) => id),
      concedable: true,
    })
  }
  if (here.length === 0 && !sectionOpened) {
    return notApplicable(subject, 'No refrigerant was added, removed or released on this job.')
  }
  const judgement = judgeCharge(system, dossier)
  const said = { numbers: numbersOf(judgement), evidence: here.map(({ id }) => id) }
  // Where nothing was opened, taking a little out is all there was to do.
  if (sectionOpened && !here.some((charge) => charge.direction !== 'out')) {
    const { required } = judgement
    const toAdd = required && required.additionalKg > 0
    return open(subject, {
      ...said,
      reason: 'No charge is recorded for this job.',
      next: toAdd
        ? `Weigh in ${kilograms(required.additionalKg)}, open both valves fully and record it.`
        : 'Release the factory charge, open both valves fully, or weigh the charge in, and record it.',
      concedable: false,
    })
  }
  const overRoom = aboveRoomLimit(system, judgement.net.totalKg)
  switch (judgement.verdict) {
    case 'within':
      return met(subject, { ...said, reason: judgement.reason })
    case 'unknown':
      return open(subject, {
        ...said,
        reason: judgement.reason,
        next: 'Enter factory charge, pre-charged length and charge scheme from the manual on the equipment sheet.',
        concedable: !overRoom,
      })
    case 'above-maximum':
      return failed(subject, {
        ...said,
        reason: judgement.reason,
        next: 'Recover refrigerant down to the charge asked for and record what came out.',
        concedable: false,
      })
    case 'under':
      return failed(subject, {
        ...said,
        reason: judgement.reason,
        next: `Weigh in ${kilograms(Math.abs(judgement.differenceKg ?? 0))} more, or correct what was written down wrongly.`,
        concedable: !overRoom,
      })
    case 'over':
      return failed(subject, {
        ...said,
        reason: judgement.reason,
        next: `Recover ${kilograms(judgement.differenceKg ?? 0)}, or correct what was written down wrongly.`,
        concedable: !overRoom,
      })
  }
}

export const chargeMatches: Requirement = {
  code: 'charge-matches',
  title: 'The charge matches what the equipment asks for',
  source: 'equipment sheet; tolerance: policy, built in by common practice, no source',
  check(dossier) {
    const opened = new Set(scopeOf(dossier).openedSections.map(({ system }) => system.id))
    return dossier.systems.map((system) => ask(dossier, system, opened.has(system.id)))
  },
}
