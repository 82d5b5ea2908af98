// Which characters can the paper print? Those that its fonts have; a letter with an unknown mark is printed without it.

/** The text as it can be printed; `?` for what there is no way to say. */
export function pdfText(text: string, has: (codePoint: number) => boolean): string {
  let printed = ''
  for (const character of text.normalize('NFC').replace(SPACES, ' ')) {
    printed += isPrintable(character, has) ? character : substitute(character, has)
  }
  return printed
}

/** True when something had to be left out, so that the paper can say so. */
export const losesCharacters = (text: string, has: (codePoint: number) => boolean): boolean =>
  pdfText(text.replaceAll('?', ''), has).includes('?')

/** Spaces of odd widths; some fonts have them and some not, and all mean a gap. The one that must not break stays. */
const SPACES = /[\t\u2000-\u200a\u202f\u205f\u3000]/g

function isPrintable(character: string, has: (codePoint: number) => boolean): boolean {
  const code = character.codePointAt(0) ?? 0
  return code === 10 || (!/[\p{Cc}\p{Cf}\p{M}]/u.test(character) && has(code))
}

function substitute(character: string, has: (codePoint: number) => boolean): string {
  // A letter with a mark that the font lacks: the letter alone is better than nothing.
  const bare = character.normalize('NFD').replace(/\p{M}/gu, '')
  if (bare !== character && [...bare].every((one) => isPrintable(one, has))) return bare
  return /[\p{Cc}\p{Cf}\p{M}]/u.test(character) ? '' : '?'
}
