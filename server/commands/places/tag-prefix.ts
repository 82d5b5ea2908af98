// What do the tags of a system's joints begin with? Short enough to write on a pipe, unique in the company.

import { z } from 'zod'
import { conflict } from '../../refusals.ts'
import { isTagPrefixTaken } from '../../store/queries/systems.ts'
import type { Scope } from '../../store/store.ts'
import { say } from '../../words/say.ts'

export const tagPrefix = z
  .string()
  .trim()
  .toUpperCase()
  .regex(/^[A-Z0-9]{1,8}$/, { error: () => say.systems.useUpTo8 })
  .meta({ description: 'Default: two letters of the company’s name and a running number.' })

/** "North Ridge Air" → "NR", "Saltmarsh" → "SA". */
export function lettersOf(companyName: string): string {
  const words = companyName
    .normalize('NFKD')
    .replaceAll(/[^A-Za-z\s]/g, '')
    .toUpperCase()
    .split(/\s+/)
    .filter((word) => word !== '')
  const [first = '', second = ''] = words
  const letters = second === '' ? first.slice(0, 2) : `${first.slice(0, 1)}${second.slice(0, 1)}`
  return letters === '' ? 'JK' : letters
}

/**
 * The next free prefix of these letters. Numbers are given out one after the other, so doubling and then halving
 * finds the end of them in a few look-ups however many systems there are. Hold the company's chain first.
 */
export async function nextTagPrefix(scope: Scope, letters: string): Promise<string> {
  let free = 1
  while (await isTagPrefixTaken(scope, `${letters}${free}`)) free *= 2
  let taken = Math.floor(free / 2)
  while (free - taken > 1) {
    const middle = Math.floor((free + taken) / 2)
    if (await isTagPrefixTaken(scope, `${letters}${middle}`)) taken = middle
    else free = middle
  }
  return `${letters}${free}`
}

export async function assertTagPrefixFree(scope: Scope, prefix: string): Promise<void> {
  if (!(await isTagPrefixTaken(scope, prefix))) return
  const message = say.systems.anotherSystemsTagsBegin(prefix)
  throw conflict('tag-prefix-taken', message, [{ path: 'tagPrefix', message }])
}
