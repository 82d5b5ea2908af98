// How far is what somebody typed from what is written? Signs that look alike are one, and a slip of the finger is small.

/** Read from a plate or a pipe, in poor light or over the telephone, these are taken for one another. From memory. */
const LOOK_ALIKE: Record<string, string> = { o: '0', i: '1', l: '1', z: '2', s: '5', b: '8' }

/** Nothing that is searched for is longer; what follows tells nothing more. */
const LONGEST = 40

/** Lower case, and letters without the marks above them. */
const plain = (text: string): string =>
  text
    .normalize('NFKD')
    .replaceAll(/\p{M}/gu, '')
    .toLowerCase()
    .replaceAll('ß', 'ss')
    .replaceAll('ø', 'o')
    .replaceAll('æ', 'ae')

/** A serial or a tag with only its letters and digits: `NW-24 103` → `nw24103`. */
export const bareMark = (text: string): string =>
  plain(text)
    .replaceAll(/[^\p{L}\p{N}]/gu, '')
    .slice(0, LONGEST)

/** The same with one sign for all that look alike: `SB-10` and `5810` are one. */
export const foldMark = (text: string): string =>
  bareMark(text).replaceAll(/[ilosbz]/g, (sign) => LOOK_ALIKE[sign] ?? sign)

/** The words of a name or an address, each once. */
export const wordsIn = (text: string): string[] => [
  ...new Set(
    plain(text)
      .replaceAll(/['’.]/g, '')
      .split(/[^\p{L}\p{N}]+/u)
      .filter((word) => word !== '')
      .map((word) => word.slice(0, LONGEST)),
  ),
]

export const backwards = (text: string): string => [...text].reverse().join('')

/** What is left when one sign is left out, each once; two texts that share one of these differ by little. */
export const withoutOne = (text: string): string[] => {
  const signs = [...text]
  return [...new Set(signs.map((_, out) => signs.filter((_, index) => index !== out).join('')))]
}

/**
 * How many slips lead from one to the other: a sign left out, put in, mistaken, or two neighbours swapped. Anything
 * beyond `most` is answered as `most + 1`.
 */
export function slipsBetween(one: string, other: string, most: number): number {
  const a = [...one]
  const b = [...other]
  if (Math.abs(a.length - b.length) > most) return most + 1
  let twoAbove: number[] = []
  let above = Array.from({ length: b.length + 1 }, (_, index) => index)
  for (let i = 1; i <= a.length; i++) {
    const row = [i]
    let least = i
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1]
      let slips = Math.min((above[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (above[j - 1] ?? 0) + (same ? 0 : 1))
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        slips = Math.min(slips, (twoAbove[j - 2] ?? 0) + 1)
      row.push(slips)
      least = Math.min(least, slips)
    }
    if (least > most) return most + 1
    twoAbove = above
    above = row
  }
  return Math.min(above[b.length] ?? 0, most + 1)
}

/** How many slips may be forgiven: in a short mark one makes it another mark altogether. */
export const slipsForgiven = (length: number): number => (length < 4 ? 0 : length < 8 ? 1 : 2)
