// Do all languages say the same things, and is each of them what the reader gets?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { en } from '../../server/words/en/index.ts'
import { es } from '../../server/words/es/index.ts'
import { asNow, inLanguage, languageNow, say } from '../../server/words/say.ts'
import { aCast, asBrowser, type Cast, type Player } from '../support/cast.ts'

type Catalogue = Record<string, Record<string, unknown>>
const keysOf = (words: unknown) =>
  Object.entries(words as Catalogue).flatMap(([subject, said]) =>
    Object.keys(said).map((key) => `${subject}.${key}`),
  )

describe('the catalogues', () => {
  it('have the same keys', () => {
    expect(keysOf(es).toSorted()).toEqual(keysOf(en).toSorted())
    expect(keysOf(en).length).toBeGreaterThan(3000)
  })

  it('say texts where texts are said, with as many names to fill in', () => {
    const wrong = Object.entries(en as unknown as Catalogue).flatMap(([subject, said]) =>
      Object.entries(said).flatMap(([key, english]) => {
        const other = (es as unknown as Catalogue)[subject]?.[key]
        const names = (text: unknown) =>
          String(text)
            .match(/\{\w+\}/g)
            ?.toSorted() ?? []
        const same =
          typeof other === typeof english &&
          (typeof english !== 'string' || String(names(english)) === String(names(other)))
        return same && other !== '' ? [] : [`${subject}.${key}`]
      }),
    )
    expect(wrong).toEqual([])
  })

  it('use each parameter that a sentence has', () => {
    const lost = Object.entries(es as unknown as Catalogue).flatMap(([subject, said]) =>
      Object.entries(said).flatMap(([key, one]) => {
        if (typeof one !== 'function') return []
        const marks = Array.from({ length: one.length }, (_, index) => `<${index}>`)
        const text = [one(...marks)].flat(9).join('')
        const english = [
          (en as unknown as Record<string, Record<string, (...given: string[]) => unknown>>)[subject]?.[
            key
          ]?.(...marks),
        ]
          .flat(9)
          .join('')
        return marks
          .filter((mark) => english.includes(mark) && !text.includes(mark))
          .map((mark) => `${subject}.${key} ${mark}`)
      }),
    )
    expect(lost).toEqual([])
  })
})

describe('a language', () => {
  it('is that of the work and of all it waits for, and of nobody else', async () => {
    const wait = () => new Promise((done) => setTimeout(done, 1))
    const spoken = async () => {
      await wait()
      return [languageNow(), say.joints.recordBrazing]
    }
    const [spanish, english] = await Promise.all([inLanguage('es', spoken), spoken()])
    expect(spanish).toEqual(['es', es.joints.recordBrazing])
    expect(english).toEqual(['en', en.joints.recordBrazing])
  })

  it('goes along where work is handed over to be done later', async () => {
    const handed = inLanguage('es', () => asNow(() => languageNow()))
    expect(handed()).toBe('es')
    expect(inLanguage('es', () => inLanguage('en', () => asNow(() => languageNow())))()).toBe('en')
  })
})

describe('a reader', () => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast()
  })
  afterAll(() => cast.remove())

  const get = async (url: string, headers: Record<string, string> = {}, player: Player | null = cast.sam) =>
    (await cast.app()).server.inject({ url, headers: { ...(player ? asBrowser(player) : {}), ...headers } })

  it('is answered in the first of their languages that is spoken here', async () => {
    for (const [asked, lang] of [
      ['es', 'es'],
      ['es-MX,es;q=0.9,en;q=0.8', 'es'],
      ['fr, es;q=0.5, en;q=0.4', 'es'],
      ['en-GB, es;q=0.9', 'en'],
      ['es;q=0, en;q=0.1', 'en'],
      ['fr', 'en'],
      ['*', 'en'],
      ['nonsense;;q=1', 'en'],
    ] as const) {
      const answer = await get('/jobs', { 'accept-language': asked })
      expect(answer.body, asked).toContain(`<html lang="${lang}">`)
    }
  })

  it('who chose a language keeps it, whatever the browser asks for, and comes back to where they were', async () => {
    const chosen = await get('/languages/es', {
      referer: 'http://localhost:80/jobs?stage=open',
      host: 'localhost:80',
    })
    expect(chosen.statusCode).toBe(303)
    expect(chosen.headers.location).toBe('/jobs?stage=open')
    const cookie = String(chosen.headers['set-cookie']).split(';')[0]
    const { cookie: session } = asBrowser(cast.sam)
    const page = await get('/jobs', { cookie: `${session}; ${cookie}`, 'accept-language': 'en' })
    expect(page.body).toContain('<html lang="es">')
  })

  it('is led to no place that is not ours', async () => {
    for (const referer of ['https://elsewhere.example/jobs', 'no address', '']) {
      const answer = await get('/languages/es', { referer }, null)
      expect(answer.headers.location, referer).toBe('/')
    }
  })

  it('who asks for a language that is not spoken is told so', async () => {
    const answer = await get('/languages/tlh', { accept: 'text/html' })
    expect(answer.statusCode).toBe(404)
  })

  it('is refused in their language, by fields and by rules, on both faces', async () => {
    const { server } = await cast.app()
    const answer = await server.inject({
      method: 'POST',
      url: '/api/v1/sites',
      headers: { ...asBrowser(cast.sam), 'accept-language': 'es' },
      payload: { address: 7 },
    })
    expect(answer.statusCode).toBe(400)
    const problem = answer.json() as { title: string; errors: { path: string; message: string }[] }
    expect(problem.title).toBe(es.refusals.someFieldsNeedAnotherLook)
    expect(problem.errors).toContainEqual({ path: 'customerName', message: es.fields.enterSomeText })
    expect(problem.errors).toContainEqual({ path: 'address', message: es.fields.enterSomeText })
  })
})
