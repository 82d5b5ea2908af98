/** Which coefficients make a linear combination of known shapes fit the readings best? */
import { OutsideValidity, requireFinite } from './validity.ts'

export interface LinearFit {
  coefficients: number[]
  /** Inverse of XᵀWX; times the residual variance it is the covariance of the coefficients. */
  unscaledCovariance: number[][]
  /** Weighted sum of squared residuals. */
  residualSum: number
  residuals: number[]
}

/**
 * Weighted linear least squares by Householder reflections. `rows[i]` are the shapes' values at reading i,
 * `weights` are 1/variance up to a common factor (default 1). Answers null when the shapes can't be told apart
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
    throw new OutsideValidity('number of values', values.length, { because: 'one value and weight per row' })
  }
  if (width === 0 || count < width) return null
  const roots = values.map((_, index) => Math.sqrt(requireFinite('weight', weights?.[index] ?? 1)))
  const a = rows.map((row, index) => row.map((entry) => requireFinite('shape', entry) * (roots[index] ?? 0)))
  const y = values.map((value, index) => requireFinite('reading', value) * (roots[index] ?? 0))
  const at = (row: number, column: number) => a[row]?.[column] ?? 0
  const scale = Math.max(...a.map((row) => Math.max(...row.map(Math.abs))))
  if (!(scale > 0)) return null

  for (let column = 0; column < width; column += 1) {
    let norm = 0
    for (let row = column; row < count; row += 1) norm += at(row, column) ** 2
    norm = Math.sqrt(norm)
    let full = 0
    for (let row = 0; row < count; row += 1) full += at(row, column) ** 2
    if (norm <= 1e-11 * Math.sqrt(full) || norm === 0) return null
    if (at(column, column) > 0) norm = -norm
    const mirror = a.map((row, index) => (index < column ? 0 : (row[column] ?? 0)))
    mirror[column] = (mirror[column] ?? 0) - norm
    let length = 0
    for (const entry of mirror) length += entry * entry
    if (length === 0) continue
    for (let target = column; target < width; target += 1) {
      let dot = 0
      for (let row = column; row < count; row += 1) dot += (mirror[row] ?? 0) * at(row, target)
      const factor = (2 * dot) / length
      for (let row = column; row < count; row += 1) {
        const line = a[row]
        if (line) line[target] = (line[target] ?? 0) - factor * (mirror[row] ?? 0)
      }
    }
    let dot = 0
    for (let row = column; row < count; row += 1) dot += (mirror[row] ?? 0) * (y[row] ?? 0)
    const factor = (2 * dot) / length
    for (let row = column; row < count; row += 1) y[row] = (y[row] ?? 0) - factor * (mirror[row] ?? 0)
  }

  const coefficients = new Array<number>(width).fill(0)
  for (let row = width - 1; row >= 0; row -= 1) {
    let sum = y[row] ?? 0
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
    inverse.map((right) => left.reduce((sum, entry, k) => sum + entry * (right[k] ?? 0), 0)),
  )
  const residuals = rows.map(
    (row, index) =>
      (values[index] ?? 0) - row.reduce((sum, entry, column) => sum + entry * (coefficients[column] ?? 0), 0),
  )
  let residualSum = 0
  residuals.forEach((residual, index) => {
    residualSum += residual * residual * (weights?.[index] ?? 1)
  })
  return { coefficients, unscaledCovariance, residualSum, residuals }
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
