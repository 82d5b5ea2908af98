// Does the charge in each system match what its equipment sheet asks for with these lines?

import { say } from '../words/say.ts'
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
      name: say.rules.chargeInTheSystem,
      value: net.totalKg,
      unit: 'kg',
      low: band ? required.totalKg - toleranceKg : undefined,
      high: band ? required.totalKg + toleranceKg : undefined,
      source: [required?.source, judgement.toleranceSource].filter(Boolean).join('; '),
    },
    {
      name: say.rules.additionalChargeAskedFor,
      value: required?.additionalKg ?? null,
      unit: 'kg',
      source: required?.source,
    },
    { name: say.rules.highestCharge, value: maximum?.massKg ?? null, unit: 'kg', source: maximum?.source },
    {
      name: say.rules.coEquivalent,
      value: co2e?.kg ?? null,
      unit: 'kg CO₂e',
      source: co2e ? say.rules.gwp(co2e.gwp, co2e.basis, co2e.source) : undefined,
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
      return notApplicable(subject, say.rules.theSystemIsTakenOut)
    return open(subject, {
      reason: say.rules.theSystemIsTakenOutOf,
      next: say.rules.recoverTheRefrigerantWeigh,
      evidence: here.map(({ id }) => id),
      concedable: true,
    })
  }
  if (here.length === 0 && !sectionOpened) {
    return notApplicable(subject, say.rules.noRefrigerantWasAdded)
  }
  const judgement = judgeCharge(system, dossier)
  const said = { numbers: numbersOf(judgement), evidence: here.map(({ id }) => id) }
  // Where nothing was opened, taking a little out is all there was to do.
  if (sectionOpened && !here.some((charge) => charge.direction !== 'out')) {
    const { required } = judgement
    const toAdd = required && required.additionalKg > 0
    return open(subject, {
      ...said,
      reason: say.rules.noChargeIsRecorded,
      next: toAdd
        ? say.rules.weighInOpenBoth(kilograms(required.additionalKg))
        : say.rules.releaseTheFactoryCharge,
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
        next: say.rules.enterFactoryChargePre,
        concedable: !overRoom,
      })
    case 'above-maximum':
      return failed(subject, {
        ...said,
        reason: judgement.reason,
        next: say.rules.recoverRefrigerantDownTo,
        concedable: false,
      })
    case 'under':
      return failed(subject, {
        ...said,
        reason: judgement.reason,
        next: say.rules.weighInMoreOr(kilograms(Math.abs(judgement.differenceKg ?? 0))),
        concedable: !overRoom,
      })
    case 'over':
      return failed(subject, {
        ...said,
        reason: judgement.reason,
        next: say.rules.recoverOrCorrectWhat(kilograms(judgement.differenceKg ?? 0)),
        concedable: !overRoom,
      })
  }
}

export const chargeMatches: Requirement = {
  code: 'charge-matches',
  get title() {
    return say.rules.theChargeMatchesWhat
  },
  get source() {
    return say.rules.equipmentSheetTolerancePolicy
  },
  check(dossier) {
    const opened = new Set(scopeOf(dossier).openedSections.map(({ system }) => system.id))
    return dossier.systems.map((system) => ask(dossier, system, opened.has(system.id)))
  },
}
