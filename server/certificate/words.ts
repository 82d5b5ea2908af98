// How does a certificate say it, on paper and on screen? Verdicts, sizes and moments in words.

import {
  JOINT_KIND_WORDS,
  megapascals,
  microns,
  minutes,
  moment,
  newtonMetres,
  quantity,
} from '../rules/wording.ts'
import type { Aftermath } from '../store/queries/certificates.ts'
import { isFlammable } from '../trade/refrigerants.ts'
import { formatNumber, fromNewtonMetres, fromPascals } from '../trade/units.ts'
import type {
  CertificatePayload,
  CertifiedEvacuation,
  CertifiedJoint,
  CertifiedPressureTest,
  CertifiedRepeat,
  CertifiedSystem,
} from './payload.ts'

const ascii = (text: string) => text.replace(/[\u00a0\u202f]/g, ' ')

/** In groups of five, so that it can be read off paper. */
export const groupedCode = (code: string): string => code.match(/.{1,5}/g)?.join('-') ?? code

/** SHA-256 in hexadecimal, in groups of eight, so that it can be compared by eye. */
export const groupedHash = (hash: string): string => hash.match(/.{1,8}/g)?.join(' ') ?? hash

/** Of a key, from its id, which is the thumbprint (RFC 7638) in base64url: the same bits in hexadecimal. */
export const fingerprintWords = (keyId: string): string =>
  groupedHash(Buffer.from(keyId, 'base64url').toString('hex'))

/** What somebody typed off paper: capitals, gaps and hyphens are theirs, not the code's. */
export const plainCode = (typed: string): string => typed.toLowerCase().replace(/[^a-z0-9]/g, '')

/** "2026-03-04 15:10 UTC", from an instant of the payload. */
export const instantWords = (instant: string): string => moment(Date.parse(instant))
export const dayWords = (instant: string): string => instantWords(instant).slice(0, 10)

export const JOB_KIND_WORDS: Record<CertificatePayload['job']['kind'], string> = {
  installation: 'Installation',
  repair: 'Repair',
  maintenance: 'Maintenance',
  replacement: 'Replacement',
  relocation: 'Relocation',
  removal: 'Removal',
}

export const TORQUE_VERDICT_WORDS: Record<NonNullable<CertifiedJoint['torque']>['verdict'], string> = {
  'in-range': 'in range',
  low: 'below range',
  high: 'above range',
  'not-proven': 'not proven',
  'not-measured': 'not measured',
}

export const PRESSURE_VERDICT_WORDS: Record<NonNullable<CertifiedPressureTest['verdict']>, string> = {
  holds: 'holds',
  falls: 'falls',
  'cannot-tell': 'cannot tell',
  void: 'void',
}

export const VACUUM_VERDICT_WORDS: Record<NonNullable<CertifiedEvacuation['verdict']>, string> = {
  tight: 'tight',
  moisture: 'moisture, or gas leaving the oil',
  leak: 'leak',
  'cannot-tell': 'cannot tell',
}

export const LEAK_METHOD_WORDS: Record<NonNullable<CertifiedJoint['leakCheck']>['method'], string> = {
  bubble: 'bubbles',
  'refrigerant-detector': 'refrigerant detector',
  'tracer-hydrogen': 'hydrogen tracer',
  'tracer-helium': 'helium tracer',
  ultrasonic: 'ultrasonic',
  other: 'other method',
}

export function placeWords({ place, line }: Pick<CertifiedJoint, 'place' | 'line'>): string {
  const end = /^(outdoor|indoor)-(liquid|gas)$/.exec(place)
  if (end) return `${end[1]} end, ${line}`
  const words = place.replaceAll('-', ' ')
  return words.split(' ').includes(line) ? words : `${words}, ${line}`
}

export const kindWords = (joint: Pick<CertifiedJoint, 'kind' | 'origin'>): string =>
  joint.origin === 'field' ? JOINT_KIND_WORDS[joint.kind] : `${JOINT_KIND_WORDS[joint.kind]}, ${joint.origin}`

/** "16.0 N·m (11.8 ft·lbf)" */
export function torqueWords(torqueNm: number): string {
  return ascii(`${newtonMetres(torqueNm)} (${formatNumber(fromNewtonMetres(torqueNm, 'ft.lbf'), 1)} ft·lbf)`)
}
/** "3.900 MPa (566 psi)" */
export function pressureWords(pressurePa: number): string {
  return ascii(`${megapascals(pressurePa)} (${formatNumber(fromPascals(pressurePa, 'psi'))} psi)`)
}
/** "52 micron (6.9 Pa)" */
export function vacuumWords(pressurePa: number): string {
  return ascii(`${microns(pressurePa)} (${formatNumber(pressurePa)} Pa)`)
}
export const kilopascalWords = (pressurePa: number): string =>
  ascii(quantity(fromPascals(pressurePa, 'kPa'), 'kPa'))
export const massWords = (massKg: number): string => ascii(quantity(massKg, 'kg'))
/** Without decimals that mean nothing. */
export const kilogramsRounded = (massKg: number): string => ascii(`${formatNumber(Math.round(massKg))} kg`)
export const lengthWords = (lengthM: number): string => ascii(quantity(lengthM, 'm'))
export const minutesWords = (durationS: number): string => ascii(minutes(durationS))

/** The smallest leak a test could have seen: "an estimated 2 400 g of refrigerant a year". */
export function leakWords(kgPerYear: number): string {
  const grams = kgPerYear * 1000
  return ascii(
    grams >= 1000
      ? `about ${formatNumber(Number(kgPerYear.toPrecision(2)))} kg of refrigerant a year`
      : `about ${formatNumber(Number(grams.toPrecision(2)))} g of refrigerant a year`,
  )
}

/** What the torque of a joint came to, in one line. */
export function torqueLine({ torque }: Pick<CertifiedJoint, 'torque'>): string {
  if (torque === null) return ''
  if (torque.applied === null) return TORQUE_VERDICT_WORDS[torque.verdict]
  return torqueWords(torque.applied.value)
}

export function rangeLine({ torque }: Pick<CertifiedJoint, 'torque'>): string {
  if (!torque?.range) return ''
  return `${formatNumber(torque.range.low)}–${formatNumber(torque.range.high)} N·m`
}

/** How the joint was otherwise accepted, in one line. */
export function acceptanceLine(joint: CertifiedJoint): string {
  if (joint.inspection) {
    const measured = joint.inspection.outerDiameter
    const size = measured ? ` at ${ascii(quantity(measured.value * 1000, 'mm'))}` : ''
    return `flare ${joint.inspection.outcome}${size}`
  }
  if (joint.nitrogenFlow !== null)
    return joint.nitrogenFlow ? 'brazed under nitrogen' : 'brazed without nitrogen'
  if (joint.insertionMarked !== null) return joint.insertionMarked ? 'pressed, marked' : 'pressed, not marked'
  return ''
}

export function leakCheckLine({ leakCheck }: Pick<CertifiedJoint, 'leakCheck'>): string {
  if (leakCheck === null) return ''
  const found = leakCheck.result === 'found' ? 'leak found' : 'none found'
  return `${LEAK_METHOD_WORDS[leakCheck.method]}: ${found}`
}

const ORDINALS = ['', 'first', 'second', 'third', 'fourth', 'fifth']
const ordinal = (n: number) => ORDINALS[n] ?? `${n}th`

/** "Pressure tests: 2 were made. The second was the first to hold. In between: hose core replaced." */
export function repeatLine(repeat: CertifiedRepeat): string {
  const what = repeat.kind === 'pressure' ? 'Pressure tests' : 'Evacuations'
  const verdicts = repeat.verdicts.map((verdict) => verdict.replaceAll('-', ' ')).join(', then ')
  const passed =
    repeat.firstPass === null
      ? 'None of them passed.'
      : `The ${ordinal(repeat.firstPass)} was the first to pass.`
  const dealtWith = repeat.causes.map((cause) => cause.replace(/[.\s]+$/, '')).join('; ')
  const causes = dealtWith === '' ? '' : ` Dealt with in between: ${dealtWith}.`
  const of = repeat.covers ? ` of ${repeat.covers.join(', ')}` : ''
  return `${what}${of}: ${repeat.tests} were made (${verdicts}). ${passed}${causes}`
}

export function pressureTestLine(test: CertifiedPressureTest): string {
  if (test.verdict === null) return 'not concluded'
  const parts = [PRESSURE_VERDICT_WORDS[test.verdict]]
  if (test.change && test.changeUncertainty)
    parts.push(
      `${kilopascalWords(test.change.value)} ± ${kilopascalWords(test.changeUncertainty.value)} beyond what the temperature explains`,
    )
  return parts.join('; ')
}

/** What was under test. */
export const coverWords = (covers: readonly string[]): string =>
  covers.length === 0 ? 'the whole system' : covers.join(', ')

/** For who reads the paper at home. */
export function cautionFor(refrigerant: CertifiedSystem['refrigerant']): string {
  const burns = isFlammable(refrigerant)
    ? ` ${refrigerant} can burn: keep flames away from a leak and air the room.`
    : ''
  return `The lines are under pressure. Leave nuts, caps and valves as they are; work on them is for licensed people.${burns}`
}

/** The last four characters: enough to hold beside the plate, too few to look a unit up by. */
export const lastFour = (serial: string): string => serial.replace(/\s/g, '').slice(-4)

export const outdoorUnitOf = (system: Pick<CertifiedSystem, 'units'>) =>
  system.units.find((unit) => unit.role === 'outdoor' && unit.removedAt === null) ??
  system.units.find((unit) => unit.role === 'outdoor')

/** For who reads no tables: what was done, and what came of it, a sentence each. */
export function inShort(payload: CertificatePayload): string[] {
  const { concessions } = payload
  const open = payload.requirements.filter(({ notMet }) => notMet > 0).length
  return [
    ...payload.systems.flatMap((system) => systemInShort(system, payload.systems.length > 1)),
    ...(open > 0 ? ['Not everything that was asked is met: the table of requirements says what.'] : []),
    concessions.length === 0 && open > 0
      ? 'Nothing was released by concession.'
      : concessions.length === 0
        ? 'Everything that was asked is met: nothing was released by concession.'
        : `Released by concession: ${concessions.length === 1 ? 'one thing' : `${concessions.length} things`}, with the reason below.`,
  ]
}

function systemInShort(system: CertifiedSystem, several: boolean): string[] {
  const here = system.joints.filter((joint) => joint.workedOnHere)
  const torqued = here.filter((joint) => joint.torque !== null)
  const inRange = torqued.filter((joint) => joint.torque?.verdict === 'in-range').length
  const checked = here.filter((joint) => joint.leakCheck?.result === 'none-found').length
  const hold = system.pressureTests.filter((test) => test.ofThisJob).at(-1)
  const vacuum = system.evacuations.filter((test) => test.ofThisJob).at(-1)
  const of = several ? `${system.name}: ` : ''
  const joints = here.length === 1 ? '1 joint was' : `${here.length} joints were`
  return [
    ...(here.length === 0
      ? []
      : [
          `${of}${joints} made or worked on. Torque within its range: ${inRange} of ${torqued.length} tightened. No leak found at ${checked} of ${here.length}.`,
        ]),
    ...(hold?.verdict
      ? [
          `${of}Pressure test: ${PRESSURE_VERDICT_WORDS[hold.verdict]}${hold.start ? `, at ${pressureWords(hold.start.value)}` : ''}, for ${minutesWords(hold.held.value)}.`,
        ]
      : []),
    ...(vacuum?.verdict
      ? [
          `${of}Evacuation: ${VACUUM_VERDICT_WORDS[vacuum.verdict]}${vacuum.lowest ? `, down to ${vacuumWords(vacuum.lowest.value)}` : ''}.`,
        ]
      : []),
    ...(system.charge.total
      ? [`${of}Refrigerant in the system: ${massWords(system.charge.total.value)} of ${system.refrigerant}.`]
      : []),
  ]
}

/** What came after it was issued, each in a sentence; empty while nothing did. */
export function sinceLines({ reopened, recalled, newer }: Aftermath['since']): string[] {
  const on = (at: number) => moment(at).slice(0, 10)
  return [
    ...(reopened === null ? [] : [`The job was opened again on ${on(reopened)}.`]),
    ...(newer === null ? [] : [`Revision ${newer.revision}, issued on ${on(newer.issuedAt)}, holds now.`]),
    ...(recalled === null ? [] : [`An instrument used for it is under recall since ${on(recalled)}.`]),
  ]
}
