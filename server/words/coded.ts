// How is a code of the record said, where a sentence names it?

import { say } from './say.ts'

/** "quick coupling" for `quick-coupling`. */
export const coded = (code: string): string => {
  const words: Readonly<Record<string, string>> = say.codes
  return words[code] ?? code.replaceAll('-', ' ')
}
