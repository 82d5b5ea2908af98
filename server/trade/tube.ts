/** Which copper tube is this, and how much gas or liquid does a length of it hold? */
import { say } from '../words/say.ts'
import { OutsideValidity, requireNotNegative, requirePositive } from './validity.ts'

export interface Tube {
  /** "1/4 in" or "6.35 × 0.8 mm". */
  name: string
  series: 'inch' | 'metric'
  /** Annealed tube can be flared; drawn tube can't. */
  temper: 'annealed' | 'drawn' | 'either'
  odM: number
  wallM: number
  source: string
}

const b280 = () => say.trade.astmB280DimensionsBy
const en12735 = () => say.trade.en127351Sizes
const theJis = () => say.trade.jisSizesAsCommonly

function inch(name: string, temper: Tube['temper'], odIn: number, wallIn: number): Tube {
  return {
    name: `${name} in`,
    series: 'inch',
    temper,
    odM: odIn * 0.0254,
    wallM: wallIn * 0.0254,
    get source() {
      return b280()
    },
  }
}

function metric(odMm: number, wallMm: number, norm: 'en' | 'jis'): Tube {
  const name = `${odMm} × ${wallMm.toFixed(1)} mm`
  return {
    name,
    series: 'metric',
    temper: 'either',
    odM: odMm / 1000,
    wallM: wallMm / 1000,
    get source() {
      return norm === 'jis' ? theJis() : en12735()
    },
  }
}

/** Inch series first, thinnest annealed wall of each size first: that order is what `findTube` falls back on. */
export const TUBES: readonly Tube[] = [
  inch('1/4', 'annealed', 0.25, 0.03),
  inch('5/16', 'annealed', 0.312, 0.032),
  inch('3/8', 'annealed', 0.375, 0.032),
  inch('3/8', 'drawn', 0.375, 0.03),
  inch('1/2', 'annealed', 0.5, 0.032),
  inch('1/2', 'drawn', 0.5, 0.035),
  inch('5/8', 'annealed', 0.625, 0.035),
  inch('5/8', 'drawn', 0.625, 0.04),
  inch('3/4', 'annealed', 0.75, 0.035),
  inch('3/4', 'either', 0.75, 0.042),
  inch('7/8', 'either', 0.875, 0.045),
  inch('1-1/8', 'either', 1.125, 0.05),
  metric(6, 0.8, 'en'),
  metric(6.35, 0.8, 'jis'),
  metric(8, 0.8, 'en'),
  metric(9.52, 0.8, 'jis'),
  metric(10, 1, 'en'),
  metric(12, 1, 'en'),
  metric(12.7, 0.8, 'jis'),
  metric(15, 1, 'en'),
  metric(15.88, 1, 'jis'),
  metric(18, 1, 'en'),
  metric(19.05, 1, 'jis'),
  metric(22, 1, 'en'),
  metric(28, 1, 'en'),
  metric(28.58, 1, 'jis'),
]

/** Sizes are written 9.5, 9.52 or 9.525 mm for one tube; 7.94 and 8.00 mm are two. */
const SAME_SIZE_M = 0.000055
const SAME_WALL_M = 0.00003

/** True when two outer diameters (m) name the same nominal tube: within 0.055 mm (common practice, no source). */
export function sameTubeSize(oneOdM: number, otherOdM: number): boolean {
  return Math.abs(oneOdM - otherOdM) <= SAME_SIZE_M
}

/**
 * The tube of outer diameter `odM` and, when given, wall `wallM` (both m); null when none is listed.
 * Without a wall: the thinnest annealed one, which has the largest bore, so that a volume is never understated.
 */
export function findTube(odM: number, wallM?: number): Tube | null {
  requirePositive(say.trade.tubeOuterDiameter, odM, 'm')
  const sized = TUBES.filter((tube) => sameTubeSize(tube.odM, odM))
  if (wallM === undefined) {
    return sized.filter((tube) => tube.temper !== 'drawn').sort((a, b) => a.wallM - b.wallM)[0] ?? null
  }
  requirePositive(say.trade.tubeWall, wallM, 'm')
  const apart = (tube: Tube) => Math.abs(tube.wallM - wallM) + Math.abs(tube.odM - odM)
  const walled = sized.filter((tube) => Math.abs(tube.wallM - wallM) <= SAME_WALL_M)
  return walled.sort((a, b) => apart(a) - apart(b))[0] ?? null
}

/** Bore in m: outer diameter less two walls. */
export function boreM(tube: { odM: number; wallM: number }): number {
  requirePositive(say.trade.tubeOuterDiameter, tube.odM, 'm')
  requirePositive(say.trade.tubeWall, tube.wallM, 'm')
  const bore = tube.odM - 2 * tube.wallM
  if (!(bore > 0))
    throw new OutsideValidity(say.trade.tubeWall, tube.wallM, { high: tube.odM / 2, unit: 'm' })
  return bore
}

/** Inner volume per length, m³/m: π/4 · bore². Nominal; wall tolerance moves it by about ±3 % (derived). */
export function volumePerMetreM3(tube: { odM: number; wallM: number }): number {
  return (Math.PI / 4) * boreM(tube) ** 2
}

/**
 * Inner volume in m³ of `lengthM` metres of tube. A wall that was not stated is looked up (thinnest annealed);
 * an outer diameter that is in no list and has no stated wall is refused rather than guessed.
 */
export function tubeVolumeM3(input: { odM: number; wallM?: number | undefined; lengthM: number }): number {
  const length = requireNotNegative(say.trade.tubeLength, input.lengthM, 'm')
  const tube = input.wallM === undefined ? findTube(input.odM) : { odM: input.odM, wallM: input.wallM }
  if (!tube) {
    throw new OutsideValidity(say.trade.tubeOuterDiameter, input.odM, {
      unit: 'm',
      because: say.trade.notAListedSize,
    })
  }
  return volumePerMetreM3(tube) * length
}
