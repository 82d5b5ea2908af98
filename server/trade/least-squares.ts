/** Which coefficients make a linear combination of known shapes fit the readings best? */
import { say } from '../words/say.ts'
import { OutsideValidity, requireFinite } from './validity.ts'

export interface LinearFit {
  coefficients: number[]
  /** Inverse of XᵀWX; times the residual variance it is the covariance of the coefficients. */
  unscaledCovariance: number[][]
  /** Weighted sum of squared residuals. */
  residualSum: number
}

/**
 * Weighted linear least squares by modified Gram–Schmidt orthogonalisation. `rows[i]` are the shapes' values at reading
 * i, `weights` are 1/variance up to a common factor (default 1). Answers null when the shapes can't be told apart
 * by these readings (rank below the number of coefficients). Proven against NIST StRD Norris.
 */
export function fitLinear(
  rows: readonly (readonly number[])[],
  values: readonly number[],
  weights?: readonly number[],
): LinearFit | null {
  const count = rows.length
  const width = rows[0]?.length ?? 0
  if (values.length !== count || (weights && weights.length !== count)) {
    throw new OutsideValidity(say.trade.numberOfValues, values.length, {
      because: say.trade.oneValueAndWeight,
    })
  }
  if (width === 0 || count < width) return null
  const columns = Array.from({ length: width }, () => new Float64Array(count))
  const target = new Float64Array(count)
  rows.forEach((row, index) => {
    const root = Math.sqrt(requireFinite(say.trade.weight, weights?.[index] ?? 1))
    target[index] = requireFinite(say.trade.reading, values[index] ?? Number.NaN) * root
    columns.forEach((column, k) => {
      column[index] = requireFinite(say.trade.shape, row[k] ?? Number.NaN) * root
    })
  })
  return fitColumns(columns, target)
}

/**
 * The same for shapes and target given as columns that are already multiplied by the root of each weight, for callers
 * that fit many times. The columns are used up; all must be finite and of one length.
 */
export function fitColumns(columns: readonly Float64Array[], target: Float64Array): LinearFit | null {
  const width = columns.length
  // Columns become orthonormal in place; r is upper triangular, and `right` the target in terms of the columns.
  const r = Array.from({ length: width }, () => new Array<number>(width).fill(0))
  const right: number[] = []
  for (let k = 0; k < width; k += 1) {
    const column = columns[k] as Float64Array
    const before = (r[k] as number[])[k] || Math.sqrt(dot(column, column))
    const norm = Math.sqrt(dot(column, column))
    if (!(norm > 1e-11 * before) || norm === 0) return null
    scale(column, 1 / norm)
    ;(r[k] as number[])[k] = norm
    for (let later = k + 1; later < width; later += 1) {
      const other = columns[later] as Float64Array
      // The length before anything was taken away is kept on the diagonal until that column's own turn.
      const diagonal = r[later] as number[]
      if (k === 0) diagonal[later] = Math.sqrt(dot(other, other))
      const part = dot(column, other)
      ;(r[k] as number[])[later] = part
      subtract(other, column, part)
    }
    const part = dot(column, target)
    right.push(part)
    subtract(target, column, part)
  }
  const at = (row: number, column: number) => r[row]?.[column] ?? 0
  const coefficients = new Array<number>(width).fill(0)
  for (let row = width - 1; row >= 0; row -= 1) {
    let sum = right[row] ?? 0
    for (let column = row + 1; column < width; column += 1)
      sum -= at(row, column) * (coefficients[column] ?? 0)
    coefficients[row] = sum / at(row, row)
  }
  // R⁻¹ by back substitution; (XᵀWX)⁻¹ = R⁻¹ R⁻ᵀ.
  const inverse = Array.from({ length: width }, () => new Array<number>(width).fill(0))
  for (let column = 0; column < width; column += 1) {
    for (let row = column; row >= 0; row -= 1) {
      let sum = row === column ? 1 : 0
      for (let k = row + 1; k <= column; k += 1) sum -= at(row, k) * (inverse[k]?.[column] ?? 0)
      const line = inverse[row]
      if (line) line[column] = sum / at(row, row)
    }
  }
  const unscaledCovariance = inverse.map((left) =>
    inverse.map((other) => left.reduce((sum, entry, k) => sum + entry * (other[k] ?? 0), 0)),
  )
  // What is left of the target is the weighted residual.
  return { coefficients, unscaledCovariance, residualSum: dot(target, target) }
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let index = 0; index < a.length; index += 1) sum += (a[index] ?? 0) * (b[index] ?? 0)
  return sum
}

function scale(column: Float64Array, factor: number): void {
  for (let index = 0; index < column.length; index += 1) column[index] = (column[index] ?? 0) * factor
}

function subtract(from: Float64Array, column: Float64Array, factor: number): void {
  for (let index = 0; index < from.length; index += 1) {
    from[index] = (from[index] ?? 0) - factor * (column[index] ?? 0)
  }
}

/** gᵀ·C·g: the unscaled variance of the linear combination g of the coefficients of a fit. */
export function unscaledVariance(fit: LinearFit, combination: readonly number[]): number {
  let sum = 0
  fit.unscaledCovariance.forEach((row, i) => {
    row.forEach((entry, j) => {
      sum += entry * (combination[i] ?? 0) * (combination[j] ?? 0)
    })
  })
  return Math.max(0, sum)
}
