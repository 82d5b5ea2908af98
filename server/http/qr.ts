// What does a text look like as a QR code? One path for a drawing, in units of a module.

export interface DrawnQr {
  /** Modules on a side, the quiet ones around it included. */
  side: number
  path: string
}

/** Four modules of quiet around it, as readers expect (ISO/IEC 18004). */
const QUIET = 4

/** A quarter of it may be scratched or dirty and it is still read: it hangs on a pipe. */
export async function drawQr(text: string): Promise<DrawnQr> {
  const { create } = await import('qrcode')
  const { modules } = create(text, { errorCorrectionLevel: 'Q' })
  let path = ''
  for (let row = 0; row < modules.size; row += 1) {
    for (let column = 0; column < modules.size; column += 1) {
      if (modules.get(row, column) === 0) continue
      let run = 1
      while (column + run < modules.size && modules.get(row, column + run) !== 0) run += 1
      path += `M${column + QUIET} ${row + QUIET}h${run}v1h-${run}z`
      column += run
    }
  }
  return { side: modules.size + 2 * QUIET, path }
}
