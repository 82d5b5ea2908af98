// With which letters is the paper set? Source Sans 3 (SIL Open Font License), embedded, so that it reads the same in thirty years.

import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'

export interface PaperFonts {
  regular: Buffer
  bold: Buffer
  /** Whether both have this letter. */
  has(codePoint: number): boolean
}

let loaded: Promise<PaperFonts> | null = null

/** Read on first use: who never prints does not pay for it. */
export function paperFonts(): Promise<PaperFonts> {
  loaded ??= load()
  return loaded
}

async function load(): Promise<PaperFonts> {
  const { resolve } = createRequire(import.meta.url)
  const file = (weight: string) =>
    readFile(resolve(`@expo-google-fonts/source-sans-3/${weight}/SourceSans3_${weight}.ttf`))
  const [fontkit, regular, bold] = await Promise.all([
    import('fontkit'),
    file('400Regular'),
    file('600SemiBold'),
  ])
  const known = [regular, bold].map((bytes) => {
    const font = fontkit.create(bytes)
    if (!('characterSet' in font)) throw new Error('A font of the paper holds more than one face.')
    return new Set(font.characterSet)
  })
  return { regular, bold, has: (codePoint) => known.every((set) => set.has(codePoint)) }
}
