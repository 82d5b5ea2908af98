// How are numbers, tubes, joints and moments called in a sentence?

import { sameTubeSize, TUBES } from '../trade/tube.ts'
import { formatNumber, formatQuantity, fromPascals, type Unit } from '../trade/units.ts'
import type { JointKind, StepKind } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import type { Concession, EquipmentSheet } from './dossier.ts'

/** A quantity for a sentence, with an ordinary blank: "19.0 N·m". */
export function quantity(value: number, unit: Unit): string {
  return formatQuantity(value, unit).replace(/\u00a0/g, ' ')
}

/** "14–18 N·m". */
export function span(low: number, high: number, unit: Unit): string {
  const label = quantity(0, unit).replace(/^\S+ /, '')
  return `${formatNumber(low)}–${formatNumber(high)} ${label}`
}

export const newtonMetres = (torqueNm: number) => quantity(torqueNm, 'N.m')
export const megapascals = (pressurePa: number) => quantity(fromPascals(pressurePa, 'MPa'), 'MPa')
export const kilopascals = (pressurePa: number) => quantity(fromPascals(pressurePa, 'kPa'), 'kPa')
export const microns = (pressurePa: number) => quantity(fromPascals(pressurePa, 'micron'), 'micron')
export const kilograms = (massKg: number) => quantity(massKg, 'kg')
export const minutes = (durationS: number) => `${formatNumber(Math.round(durationS / 6) / 10)} min`
export const millimetres = (lengthM: number) => quantity(lengthM * 1000, 'mm')

/** "1/4 in" for an inch size, else "10 mm". */
export function tubeName(odM: number): string {
  const inch = TUBES.find((tube) => tube.series === 'inch' && sameTubeSize(tube.odM, odM))
  return inch ? inch.name : `${formatNumber(odM * 1000)} mm`
}

/** "2026-03-04 15:10 UTC": a sentence of the record must read the same everywhere. */
export function moment(at: number): string {
  const date = new Date(at)
  return Number.isNaN(date.getTime())
    ? say.rules.anUnknownTime
    : `${date.toISOString().slice(0, 16).replace('T', ' ')} UTC`
}

export const day = (at: number) => moment(at).slice(0, 10)

export const jointKindWords = (): Record<JointKind, string> => ({
  flare: say.rules.flareJoint,
  brazed: say.rules.brazedJoint,
  press: say.rules.pressJoint,
  'quick-coupling': say.rules.quickCoupling,
  compression: say.rules.compressionJoint,
  adapter: say.rules.adapter,
  'service-port': say.rules.servicePort,
  'valve-cap': say.rules.valveCap,
})

export const stepWords = (): Record<StepKind, string> => ({
  preparation: say.rules.thePreparation,
  flare: say.rules.theFlare,
  brazing: say.rules.theBrazing,
  pressing: say.rules.thePressing,
  inspection: say.rules.theInspection,
  assembly: say.rules.theAssembly,
  torque: say.rules.theTorque,
  closing: say.rules.theClosing,
  'leak-check': say.rules.theLeakCheck,
})

/** Point codes as they are said: `squareCut` → "cut square". */
export const pointWords = (): Record<string, string> => ({
  squareCut: say.rules.cutSquare,
  deburred: say.rules.deburred,
  burrsKeptOut: say.rules.burrsKeptOutOf,
  tubeClean: say.rules.tubeCleanInside,
  nutOn: say.rules.nutOnTheTube,
  even: say.rules.evenAllRound,
  smooth: say.rules.smooth,
  centred: say.rules.centred,
  noCracks: say.rules.noCracks,
  noFlatSpots: say.rules.noFlatSpots,
  lubricatedAsSheet: say.rules.oiledAsTheSheet,
  threadsDry: say.rules.threadsDry,
  insideDry: say.rules.insideDry,
  aligned: say.rules.aligned,
  startedByHand: say.rules.startedByHand,
  backingWrench: say.rules.heldWithASecond,
  coreTight: say.rules.coreTight,
  capOn: say.rules.capOn,
  capTight: say.rules.capTight,
})

/** Where a sheet's figure was read: "equipment sheet, Installation manual, page 12". */
export function sheetSource(sheet: EquipmentSheet): string {
  return say.rules.equipmentSheetPage(sheet.source.document, sheet.source.page)
}

/** What somebody typed, with the full stop that it may lack. */
export function asSentence(text: string): string {
  const typed = text.trim()
  return /[.!?…]$/.test(typed) ? typed : `${typed}.`
}

/** Why something was released, with what that hangs on. */
export const concessionWords = ({ reason, conditions }: Pick<Concession, 'reason' | 'conditions'>): string =>
  conditions ? `${asSentence(reason)} ${say.concessions.onCondition(conditions)}` : reason

/** "a, b and c". */
export function list(words: readonly string[]): string {
  const last = words.at(-1) ?? ''
  return words.length < 2 ? last : say.rules.and(words.slice(0, -1).join(', '), last)
}
