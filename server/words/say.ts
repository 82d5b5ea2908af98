// In which language does the reader read, and how is a thing said in it?

import { AsyncLocalStorage } from 'node:async_hooks'
import type { Language } from '../vocabulary.ts'
import { en } from './en/index.ts'
import { es } from './es/index.ts'

export type Words = typeof en

/** Each by its own name, so that who looks for it can read it. */
export const LANGUAGE_NAMES: Record<Language, string> = { en: 'English', es: 'Español' }

const WORDS: Record<Language, Words> = { en, es }

/** The language that is taken where nothing is known of the reader, and in which programs are answered. */
export const FIRST_LANGUAGE: Language = 'en'

const reading = new AsyncLocalStorage<Language>()

export const languageNow = (): Language => reading.getStore() ?? FIRST_LANGUAGE

/** Whatever is said during this work, and during what the work waits for, is said in this language. */
export const inLanguage = <T>(language: Language, work: () => T): T =>
  // A service that only speaks its first language pays nothing for being able to speak others.
  language === languageNow() ? work() : reading.run(language, work)

/** The same work, done later for somebody else's turn, still speaks as it would now. */
export const asNow = <Work extends (...given: never[]) => unknown>(work: Work): Work =>
  languageNow() === FIRST_LANGUAGE ? work : AsyncLocalStorage.bind(work)

/**
 * Every word that a reader sees, by subject. Ask for it when it is said: a constant would keep the language of whoever
 * came first.
 */
export const say: Words = new Proxy(en, {
  get: (_, subject: keyof Words) => WORDS[languageNow()][subject],
})
