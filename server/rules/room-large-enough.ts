// Is each room that a circuit with flammable refrigerant reaches large enough for all of its charge?

import { isFlammable } from '../trade/refrigerants.ts'
import { say } from '../words/say.ts'
import { failed, lineSetSubject, met, notApplicable, open, systemSubject } from './answers.ts'
import type { Dossier, LineSet, Room, System } from './dossier.ts'
import type { Answer, JudgedNumber, Requirement } from './finding.ts'
import { requiredChargeOf } from './judge-charge.ts'
import { judgeRoom, type RoomJudgement } from './judge-room.ts'
import { netCharge } from './net-charge.ts'
import { scopeOf, standingLines } from './scope.ts'
import { kilograms, quantity } from './wording.ts'

export const hasFlammableRefrigerant = (system: Pick<System, 'refrigerant'>) =>
  isFlammable(system.refrigerant)

/** The line sets that reach a room: those to an indoor unit, and those with a field joint indoors. */
export function roomsOf(system: System): { line: LineSet; room: Room | null }[] {
  return standingLines(system)
    .filter((line) => {
      const unit = system.units.find((candidate) => candidate.id === line.toUnitId)
      const joints = system.joints.filter(
        (joint) => joint.lineSetId === line.id && joint.retiredAt === null && joint.indoors,
      )
      return (
        line.room !== null || unit?.role === 'indoor' || joints.some((joint) => joint.origin !== 'factory')
      )
    })
    .map((line) => ({ line, room: line.room }))
}

/** The whole circuit's charge: what is in or what should be, whichever is more. */
export function circuitCharge(system: System): { massKg: number; source: string } | null {
  const { totalKg } = netCharge(system)
  const required = requiredChargeOf(system)
  const asked = required.known ? required.figure.totalKg : null
  if (totalKg === null && asked === null) return null
  return (totalKg ?? 0) >= (asked ?? 0)
    ? { massKg: totalKg ?? 0, source: say.rules.whatWasReleasedAnd }
    : { massKg: asked ?? 0, source: required.known ? required.figure.source : '' }
}

function numbersOf(judgement: RoomJudgement, room: Room | null, charge: { massKg: number; source: string }) {
  const numbers: JudgedNumber[] = [
    {
      name: say.rules.chargeOfTheCircuit,
      value: charge.massKg,
      unit: 'kg',
      high: judgement.largestChargeKg ?? undefined,
      source: charge.source,
    },
  ]
  if (room !== null && judgement.minimumFloorAreaM2 !== null) {
    numbers.push({
      name: say.rules.floorArea,
      value: room.floorAreaM2,
      unit: 'm²',
      low: judgement.minimumFloorAreaM2,
      source: judgement.source,
    })
  }
  return numbers
}

function ask(
  system: System,
  line: LineSet,
  room: Room | null,
  charge: { massKg: number; source: string },
): Answer {
  const subject = lineSetSubject(line)
  const judgement = judgeRoom(system.refrigerant, charge.massKg, room)
  const said = {
    reason: judgement.reason,
    numbers: numbersOf(judgement, room, charge),
    evidence: [line.id],
  }
  switch (judgement.verdict) {
    case 'fits':
      return met(subject, said)
    case 'too-small':
      return failed(subject, {
        ...said,
        next: say.rules.useAnotherMethodWith(quantity(judgement.minimumFloorAreaM2 ?? 0, 'm2')),
        concedable: false,
      })
    case 'beyond-method':
      return failed(subject, {
        ...said,
        next: say.rules.needsAnotherMethodWith(kilograms(charge.massKg)),
        concedable: false,
      })
    case 'unknown':
      return open(subject, {
        ...said,
        next:
          room === null || room.method === 'unventilated'
            ? say.rules.enterTheFloorArea
            : say.rules.enterTheDocumentAnd,
        concedable: false,
      })
  }
}

function askSystem(dossier: Dossier, system: System, opened: boolean): Answer[] {
  const subject = systemSubject(system)
  if (!hasFlammableRefrigerant(system)) {
    return [notApplicable(subject, say.rules.isNotFlammableAshrae(system.refrigerant))]
  }
  if (dossier.job.kind === 'removal') return [notApplicable(subject, say.rules.theSystemIsTaken)]
  const charged = system.charges.some((charge) => charge.jobId === dossier.job.id)
  const changedHere = system.lineSets.some((line) => line.jobId === dossier.job.id)
  if (!opened && !charged && !changedHere) {
    return [notApplicable(subject, say.rules.neitherTheChargeNor)]
  }
  const rooms = roomsOf(system)
  if (rooms.length === 0) {
    return [notApplicable(subject, say.rules.noIndoorUnitAnd)]
  }
  const charge = circuitCharge(system)
  if (charge === null || charge.massKg <= 0) {
    return [
      open(subject, {
        reason: say.rules.theChargeOfThe,
        next: say.rules.enterTheFactoryCharge,
        concedable: false,
      }),
    ]
  }
  return rooms.map(({ line, room }) => ask(system, line, room, charge))
}

export const roomLargeEnough: Requirement = {
  code: 'room-large-enough',
  get title() {
    return say.rules.theRoomIsLarge
  },
  get source() {
    return say.rules.iec603352402018
  },
  check(dossier) {
    const { openedCircuits } = scopeOf(dossier)
    return dossier.systems.flatMap((system) => askSystem(dossier, system, openedCircuits.has(system.id)))
  },
}
