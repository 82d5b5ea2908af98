// What on a page comes from the catalogue? Each of its words is put between marks; what stands outside was said elsewhere.

import type { Words } from '../../server/words/say.ts'

const BEGIN = '⟦'
const END = '⟧'

/** Puts a language in the place of `words` that says the same, marked. Answers how to take that back. */
export function markWords(words: Words, model: Words): () => void {
  const subjects = words as unknown as Record<string, unknown>
  const before = { ...subjects }
  for (const [subject, said] of Object.entries(model)) subjects[subject] = marked(said)
  return () => Object.assign(subjects, before)
}

const marked = (said: Record<string, unknown>): Record<string, unknown> =>
  Object.fromEntries(
    Object.entries(said).map(([key, one]) => [
      key,
      typeof one === 'function'
        ? (...given: unknown[]) => around((one as (...given: unknown[]) => unknown)(...given.map(opened)))
        : typeof one === 'object' && one !== null && !Array.isArray(one)
          ? marked(one as Record<string, unknown>)
          : around(one),
    ]),
  )

/** What is put into a sentence is not the catalogue's. */
function opened(given: unknown): unknown {
  if (typeof given === 'string' || typeof given === 'number') return `${END}${given}${BEGIN}`
  return given === null || given === undefined ? given : [END, given, BEGIN]
}

const around = (said: unknown): unknown =>
  Array.isArray(said) ? [BEGIN, ...said, END] : `${BEGIN}${String(said)}${END}`

/** The text without what is marked. */
export function outside(text: string): string {
  let before = ''
  let now = text
  while (now !== before) {
    before = now
    now = now.replace(/⟦[^⟦⟧]*⟧/g, ' ')
  }
  return now
}
