// In which language does the reader read, and how is a thing said in it?

import { AsyncLocalStorage } from 'node:async_hooks'
import { en } from './en/index.ts'

export type Words = typeof en
export type Language = 'en'

const WORDS: Record<Language, Words> = { en }

const reading = new AsyncLocalStorage<Language>()

export const languageNow = (): Language => reading.getStore() ?? 'en'

/** Whatever `say` is asked during this work, and whatever the work waits for, is said in this language. */
export const inLanguage = <T>(language: Language, work: () => T): T => reading.run(language, work)

/** Every word a reader sees. Ask it at the moment of saying: a constant would keep the language of whoever came first. */
export const say: Words = new Proxy(en, {
  get: (_, subject: keyof Words) => WORDS[languageNow()][subject],
})
