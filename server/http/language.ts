// In which language does this reader want to read? As chosen here, else as their browser asks for it.

import type { FastifyInstance, FastifyRequest } from 'fastify'
import { localPath } from '../access/local-path.ts'
import { missing } from '../refusals.ts'
import { LANGUAGES, type Language } from '../vocabulary.ts'
import { FIRST_LANGUAGE, inLanguage, say } from '../words/say.ts'
import type { Resource } from './resource.ts'

export const LANGUAGE_COOKIE = 'jointkeep_language'
const YEAR_S = 31_536_000

const isLanguage = (tag: string | undefined): tag is Language => LANGUAGES.some((known) => known === tag)

export function languageOf(request: FastifyRequest): Language {
  const chosen = request.cookies[LANGUAGE_COOKIE]
  if (isLanguage(chosen)) return chosen
  return preferred(request.headers['accept-language'] ?? '')
}

/** `Accept-Language` (RFC 9110, 12.5.4): of "es-MX, en;q=0.5" the first that is spoken here, by weight. */
function preferred(header: string): Language {
  const asked = header.split(',').map((range) => {
    const [tag = '', ...parameters] = range.trim().toLowerCase().split(';')
    const weight = parameters
      .map((one) => /^\s*q=([\d.]+)\s*$/.exec(one)?.[1])
      .find((one) => one !== undefined)
    return { language: tag.split('-')[0], weight: weight === undefined ? 1 : Number(weight) }
  })
  const best = asked
    .filter(({ language, weight }) => isLanguage(language) && weight > 0)
    .toSorted((a, b) => b.weight - a.weight)[0]?.language
  return isLanguage(best) ? best : FIRST_LANGUAGE
}

/** Everything that is done for a request speaks the language of who asked. */
export function speak(app: FastifyInstance): void {
  app.addHook('onRequest', (request, _reply, done) => inLanguage(languageOf(request), done))
  // Reading a body comes back from a stream of the socket, which knows nothing of this request.
  app.addHook('preValidation', (request, _reply, done) => inLanguage(languageOf(request), done))
}

export function languageResource(resource: Resource): void {
  resource.publicRead({
    path: '/languages/:language',
    name: 'choose-language',
    summary: 'Keeps in a cookie which language the reader chose, and goes back to where they were.',
    load: async ({ params, request, reply }) => {
      const { language } = params
      if (!isLanguage(language)) throw missing(say.page.thisLanguage)
      reply.setCookie(LANGUAGE_COOKIE, language, {
        path: '/',
        maxAge: YEAR_S,
        sameSite: 'lax',
        httpOnly: true,
      })
      return cameFrom(request)
    },
    page: (here) => here,
  })
}

/** The page that the link stood on, where the browser says so and it is one of ours. */
function cameFrom(request: FastifyRequest): string {
  try {
    const { origin, pathname, search } = new URL(request.headers.referer ?? '')
    const isOurs = origin === new URL(`${request.protocol}://${request.host}`).origin
    return (isOurs && localPath(pathname + search)) || '/'
  } catch {
    return '/'
  }
}
