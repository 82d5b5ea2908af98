// Which characters can the standard fonts of PDF print? Those of WinAnsi; the rest is put in other words.

import { say } from '../words/say.ts'

/** Beyond ASCII and Latin-1, what WinAnsiEncoding has (PDF 32000-1, annex D). */
const WIN_ANSI = new Set('ƒ–—‘’‚“”„†‡•…€‰‹›ˆ™ŒœŠšŸŽž˜')

const inOtherWords = (): Record<string, string> => ({
  '−': '-',
  '‐': '-',
  '‑': '-',
  '≤': say.certificates.atMost,
  '≥': say.certificates.atLeast,
  '≈': say.certificates.about,
  '→': '-',
  '₂': '2',
  '′': "'",
  '″': '"',
  Ω: 'ohm',
  ł: 'l',
  Ł: 'L',
  đ: 'd',
  Đ: 'D',
  ı: 'i',
  ħ: 'h',
})

const SUPERSCRIPTS = '⁰¹²³⁴⁵⁶⁷⁸⁹'

/** The text as it can be printed; `?` for what there is no way to say. */
export function pdfText(text: string): string {
  let printed = ''
  for (const character of text
    .normalize('NFC')
    .replace(/[\u2000-\u200a\u202f\u205f]/g, ' ')
    .replace(/[⁻⁺⁰⁴⁵⁶⁷⁸⁹][⁰¹²³⁴⁵⁶⁷⁸⁹]*/g, powerOf)) {
    printed += isPrintable(character) ? character : substitute(character)
  }
  return printed
}

/** True when something had to be left out, so that the paper can say so. */
export const losesCharacters = (text: string): boolean => /\?/.test(pdfText(text.replaceAll('?', '')))

function powerOf(power: string): string {
  const digits = [...power].map((one) => {
    const digit = SUPERSCRIPTS.indexOf(one)
    return digit >= 0 ? String(digit) : one === '⁻' ? '-' : ''
  })
  return `^${digits.join('')}`
}

function isPrintable(character: string): boolean {
  const code = character.codePointAt(0) ?? 0
  return (code >= 32 && code <= 126) || (code >= 160 && code <= 255) || WIN_ANSI.has(character) || code === 10
}

function substitute(character: string): string {
  const known = inOtherWords()[character]
  if (known !== undefined) return known
  // A letter with a mark that the font lacks: the letter alone is better than nothing.
  const bare = character.normalize('NFD').replace(/\p{M}/gu, '')
  if (bare !== character && [...bare].every(isPrintable)) return bare
  return /[\p{Cc}\p{Cf}\p{M}]/u.test(character) ? '' : '?'
}
