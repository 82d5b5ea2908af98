// How does a certificate say it, on paper and on screen? Verdicts, sizes and moments in words.

import {
  jointKindWords,
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
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
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

export const jobKindWords = (): Record<CertificatePayload['job']['kind'], string> => ({
  installation: say.certificates.installation,
  repair: say.certificates.repair,
  maintenance: say.certificates.maintenance,
  replacement: say.certificates.replacement,
  relocation: say.certificates.relocation,
  removal: say.certificates.removal,
})

export const torqueVerdictWords = (): Record<NonNullable<CertifiedJoint['torque']>['verdict'], string> => ({
  'in-range': say.certificates.inRange,
  low: say.certificates.belowRange,
  high: say.certificates.aboveRange,
  'not-proven': say.certificates.notProven,
  'not-measured': say.certificates.notMeasured,
})

export const pressureVerdictWords = (): Record<NonNullable<CertifiedPressureTest['verdict']>, string> => ({
  holds: say.certificates.holds,
  falls: say.certificates.falls,
  'cannot-tell': say.certificates.cannotTell,
  void: say.certificates.voidWord,
})

export const vacuumVerdictWords = (): Record<NonNullable<CertifiedEvacuation['verdict']>, string> => ({
  tight: say.certificates.tight,
  moisture: say.certificates.moistureOrGasLeaving,
  leak: say.certificates.leak,
  'cannot-tell': say.certificates.cannotTell,
})

export const leakMethodWords = (): Record<NonNullable<CertifiedJoint['leakCheck']>['method'], string> => ({
  bubble: say.certificates.bubbles,
  'refrigerant-detector': say.certificates.refrigerantDetector,
  'tracer-hydrogen': say.certificates.hydrogenTracer,
  'tracer-helium': say.certificates.heliumTracer,
  ultrasonic: say.certificates.ultrasonic,
  other: say.certificates.otherMethod,
})

export function placeWords({ place, line }: Pick<CertifiedJoint, 'place' | 'line'>): string {
  const end = /^(outdoor|indoor)-(liquid|gas)$/.exec(place)
  if (end) return say.certificates.end(coded(end[1] ?? ''), coded(line))
  const words = coded(place)
  return words.split(' ').includes(line) ? words : `${words}, ${coded(line)}`
}

export const kindWords = (joint: Pick<CertifiedJoint, 'kind' | 'origin'>): string =>
  joint.origin === 'field'
    ? jointKindWords()[joint.kind]
    : `${jointKindWords()[joint.kind]}, ${coded(joint.origin)}`

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
      ? say.certificates.aboutKgOfRefrigerant(formatNumber(Number(kgPerYear.toPrecision(2))))
      : say.certificates.aboutGOfRefrigerant(formatNumber(Number(grams.toPrecision(2)))),
  )
}

/** What the torque of a joint came to, in one line. */
export function torqueLine({ torque }: Pick<CertifiedJoint, 'torque'>): string {
  if (torque === null) return ''
  if (torque.applied === null) return torqueVerdictWords()[torque.verdict]
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
    const size = measured ? say.certificates.at(ascii(quantity(measured.value * 1000, 'mm'))) : ''
    return say.certificates.flare(coded(joint.inspection.outcome), size)
  }
  if (joint.nitrogenFlow !== null)
    return joint.nitrogenFlow ? say.certificates.brazedUnderNitrogen : say.certificates.brazedWithoutNitrogen
  if (joint.insertionMarked !== null)
    return joint.insertionMarked ? say.certificates.pressedMarked : say.certificates.pressedNotMarked
  return ''
}

export function leakCheckLine({ leakCheck }: Pick<CertifiedJoint, 'leakCheck'>): string {
  if (leakCheck === null) return ''
  const found = leakCheck.result === 'found' ? say.certificates.leakFound : say.certificates.noneFound
  return `${leakMethodWords()[leakCheck.method]}: ${found}`
}

const ORDINALS = ['', 'first', 'second', 'third', 'fourth', 'fifth']
const ordinal = (n: number) => ORDINALS[n] ?? `${n}th`

/** "Pressure tests: 2 were made. The second was the first to hold. In between: hose core replaced." */
export function repeatLine(repeat: CertifiedRepeat): string {
  const what = repeat.kind === 'pressure' ? say.certificates.pressureTests : say.certificates.evacuations
  const verdicts = repeat.verdicts.map((verdict) => coded(verdict)).join(say.certificates.thenWord)
  const passed =
    repeat.firstPass === null
      ? say.certificates.noneOfThemPassed
      : say.certificates.theWasTheFirst(ordinal(repeat.firstPass))
  const dealtWith = repeat.causes.map((cause) => cause.replace(/[.\s]+$/, '')).join('; ')
  const causes = dealtWith === '' ? '' : say.certificates.dealtWithInBetween(dealtWith)
  const of = repeat.covers ? say.certificates.ofWord(repeat.covers.join(', ')) : ''
  return say.certificates.wereMade(what, of, repeat.tests, verdicts, passed, causes)
}

export function pressureTestLine(test: CertifiedPressureTest): string {
  if (test.verdict === null) return say.certificates.notConcluded
  const parts = [pressureVerdictWords()[test.verdict]]
  if (test.change && test.changeUncertainty)
    parts.push(
      say.certificates.beyondWhatTheTemperature(
        kilopascalWords(test.change.value),
        kilopascalWords(test.changeUncertainty.value),
      ),
    )
  return parts.join('; ')
}

/** What was under test. */
export const coverWords = (covers: readonly string[]): string =>
  covers.length === 0 ? say.certificates.theWholeSystem : covers.join(', ')

/** For who reads the paper at home. */
export function cautionFor(refrigerant: CertifiedSystem['refrigerant']): string {
  const burns = isFlammable(refrigerant) ? say.certificates.canBurnKeepFlames(refrigerant) : ''
  return say.certificates.theLinesAreUnder(burns)
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
    ...(open > 0 ? [say.certificates.notEverythingThatWas] : []),
    concessions.length === 0 && open > 0
      ? say.certificates.nothingWasReleasedBy
      : concessions.length === 0
        ? say.certificates.everythingThatWasAsked
        : say.certificates.releasedByConcessionWith(
            concessions.length === 1
              ? say.certificates.oneThing
              : say.certificates.things(concessions.length),
          ),
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
  const joints = here.length === 1 ? say.certificates.n1JointWas : say.certificates.jointsWere(here.length)
  return [
    ...(here.length === 0
      ? []
      : [say.certificates.madeOrWorkedOn(of, joints, inRange, torqued.length, checked, here.length)]),
    ...(hold?.verdict
      ? [
          say.certificates.pressureTestFor(
            of,
            pressureVerdictWords()[hold.verdict],
            hold.start ? say.certificates.at2(pressureWords(hold.start.value)) : '',
            minutesWords(hold.held.value),
          ),
        ]
      : []),
    ...(vacuum?.verdict
      ? [
          say.certificates.evacuation2(
            of,
            vacuumVerdictWords()[vacuum.verdict],
            vacuum.lowest ? say.certificates.downTo2(vacuumWords(vacuum.lowest.value)) : '',
          ),
        ]
      : []),
    ...(system.charge.total
      ? [
          say.certificates.refrigerantInTheSystem(
            of,
            massWords(system.charge.total.value),
            system.refrigerant,
          ),
        ]
      : []),
  ]
}

/** What came after it was issued, each in a sentence; empty while nothing did. */
export function sinceLines({ reopened, recalled, newer }: Aftermath['since']): string[] {
  const on = (at: number) => moment(at).slice(0, 10)
  return [
    ...(reopened === null ? [] : [say.certificates.theJobWasOpenedAgain(on(reopened))]),
    ...(newer === null ? [] : [say.certificates.revisionIssuedOnHolds(newer.revision, on(newer.issuedAt))]),
    ...(recalled === null ? [] : [say.certificates.anInstrumentUsedFor(on(recalled))]),
  ]
}
