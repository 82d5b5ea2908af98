/** Where does a formula stop being true, and how does it say so instead of answering wrongly? */

import { say } from '../words/say.ts'

/**
 * Thrown when a number lies outside the range in which a computation of `trade` is valid, or is not a finite
 * number at all. Callers turn it into a refusal: the message is one plain sentence.
 */
export class OutsideValidity extends RangeError {
  readonly code = 'outside-validity'
  /** What the number stands for, in words. */
  readonly quantity: string
  readonly value: number
  /** The valid range in `unit`; null where that side is open. */
  readonly low: number | null
  readonly high: number | null
  readonly unit: string
  readonly because: string | null

  constructor(
    quantity: string,
    value: number,
    range: { low?: number | null; high?: number | null; unit?: string; because?: string },
  ) {
    const unit = range.unit ?? ''
    const low = range.low ?? null
    const high = range.high ?? null
    const bounds =
      low !== null && high !== null
        ? say.trade.betweenAnd(low, high, unit && ` ${unit}`)
        : low !== null
          ? say.trade.atLeast(low, unit && ` ${unit}`)
          : high !== null
            ? say.trade.atMost(high, unit && ` ${unit}`)
            : say.trade.aUsableNumber
    const { because } = range
    super(
      Number.isFinite(value)
        ? say.trade.mustBeNot(
            quantity,
            bounds,
            Number(value.toPrecision(6)),
            unit && ` ${unit}`,
            because ? ` (${because})` : '',
          )
        : // No number at all, so there is none to show.
          `${quantity}: ${because ?? say.trade.itMustBe(bounds)}`,
    )
    this.name = 'OutsideValidity'
    this.quantity = quantity
    this.value = value
    this.low = low
    this.high = high
    this.unit = unit
    this.because = because ?? null
  }
}

/** Returns `value` when it is a finite number, else refuses. */
export function requireFinite(quantity: string, value: number, unit = ''): number {
  if (typeof value !== 'number' || !Number.isFinite(value))
    throw new OutsideValidity(quantity, value, { unit })
  return value
}

/** −40 °C turned into kelvin is 2.8e-14 K below 233.15 K: a limit met but for rounding is met. */
const ROUNDING = 1e-12

/**
 * Returns `value` when it is finite and low ≤ value ≤ high (in `unit`), else refuses. A value beyond a limit by the
 * rounding of doubles only is answered as the limit itself.
 */
export function requireWithin(
  quantity: string,
  value: number,
  low: number,
  high: number,
  unit = '',
  because?: string,
): number {
  requireFinite(quantity, value, unit)
  const slack = ROUNDING * Math.max(Math.abs(low), Math.abs(high))
  if (value < low - slack || value > high + slack) {
    throw new OutsideValidity(quantity, value, { low, high, unit, ...(because ? { because } : {}) })
  }
  return Math.min(high, Math.max(low, value))
}

/** Returns `value` when it is finite and greater than zero, else refuses. */
export function requirePositive(quantity: string, value: number, unit = ''): number {
  requireFinite(quantity, value, unit)
  if (!(value > 0)) throw new OutsideValidity(quantity, value, { unit, because: say.trade.itMustBeGreater })
  return value
}

/** Returns `value` when it is finite and zero or more, else refuses. */
export function requireNotNegative(quantity: string, value: number, unit = ''): number {
  requireFinite(quantity, value, unit)
  if (value < 0) throw new OutsideValidity(quantity, value, { low: 0, unit })
  return value
}
