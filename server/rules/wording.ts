// How are numbers, tubes, joints and moments called in a sentence?

import { sameTubeSize, TUBES } from '../trade/tube.ts'
import { formatNumber, formatQuantity, fromPascals, type Unit } from '../trade/units.ts'
import type { JointKind, StepKind } from '../vocabulary.ts'
import type { EquipmentSheet } from './dossier.ts'

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
    ? 'an unknown time'
    : `${date.toISOString().slice(0, 16).replace('T', ' ')} UTC`
}

export const day = (at: number) => moment(at).slice(0, 10)

export const JOINT_KIND_WORDS: Record<JointKind, string> = {
  flare: 'flare joint',
  brazed: 'brazed joint',
  press: 'press joint',
  'quick-coupling': 'quick coupling',
  compression: 'compression joint',
  adapter: 'adapter',
  'service-port': 'service port',
  'valve-cap': 'valve cap',
}

export const STEP_WORDS: Record<StepKind, string> = {
  preparation: 'the preparation',
  flare: 'the flare',
  brazing: 'the brazing',
  pressing: 'the pressing',
  inspection: 'the inspection',
  assembly: 'the assembly',
  torque: 'the torque',
  closing: 'the closing',
  'leak-check': 'the leak check',
}

/** Point codes as they are said: `squareCut` → "cut square". */
export const POINT_WORDS: Record<string, string> = {
  squareCut: 'cut square',
  deburred: 'deburred',
  burrsKeptOut: 'burrs kept out of the tube',
  tubeClean: 'tube clean inside',
  nutOn: 'nut on the tube',
  even: 'even all round',
  smooth: 'smooth',
  centred: 'centred',
  noCracks: 'no cracks',
  noFlatSpots: 'no flat spots',
  lubricatedAsSheet: 'oiled as the sheet says',
  threadsDry: 'threads dry',
  insideDry: 'inside dry',
  aligned: 'aligned',
  startedByHand: 'started by hand',
  backingWrench: 'held with a second wrench',
  coreTight: 'core tight',
  capOn: 'cap on',
  capTight: 'cap tight',
}

/** Where a sheet's figure was read: "equipment sheet, Installation manual, page 12". */
export function sheetSource(sheet: EquipmentSheet): string {
  return `equipment sheet, ${sheet.source.document}, page ${sheet.source.page}`
}

/** What somebody typed, with the full stop that it may lack. */
export function asSentence(text: string): string {
  const typed = text.trim()
  return /[.!?…]$/.test(typed) ? typed : `${typed}.`
}

/** "a, b and c". */
export function list(words: readonly string[]): string {
  const last = words.at(-1) ?? ''
  return words.length < 2 ? last : `${words.slice(0, -1).join(', ')} and ${last}`
}
