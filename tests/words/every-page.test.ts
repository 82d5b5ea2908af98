// Does every word on a page come from the catalogue? Each is marked; what stands outside has to be what somebody entered.

import { type HTMLElement, parse } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { may } from '../../server/access/capabilities.ts'
import type { RouteRecord } from '../../server/http/resource.ts'
import { en } from '../../server/words/en/index.ts'
import { es } from '../../server/words/es/index.ts'
import { LANGUAGE_NAMES } from '../../server/words/say.ts'
import { askingOf, exampleFor, nameOf } from '../shape/ask.ts'
import { textsOf } from '../shape/rows.ts'
import { aWorld, teamA, type World } from '../shape/world.ts'
import { aCast, asBrowser, type Cast, type Player } from '../support/cast.ts'
import { markWords, outside } from '../support/marked-words.ts'

let cast: Cast
let world: World
let unmark: () => void
beforeAll(async () => {
  cast = await aCast()
  world = await aWorld(cast, teamA(cast), 'Aldermoor')
  unmark = markWords(es, en)
})
afterAll(async () => {
  unmark?.()
  await cast?.remove()
})

function readerOf(route: RouteRecord): Player | null {
  const { capability } = route
  if (capability === null) return null
  const { technician, manager, warranty, owner } = world.team
  return [technician, manager, warranty, owner].find((one) => may(one, capability)) ?? owner
}

/** Documents are English, and say so: docs/decisions/0016-words-are-asked-for.md. */
const DOCUMENTS = /^\/(methods|requirements|concepts|problems|api\/v1\/docs)\b/

describe('every page', () => {
  it('says nothing past the catalogue', async () => {
    const { server, routes } = await cast.app()
    const entered = await everythingEntered()
    const found = new Set<string>()
    let pages = 0
    for (const route of routes) {
      if (route.method !== 'GET' || route.face !== 'page' || DOCUMENTS.test(route.url)) continue
      const reader = readerOf(route)
      const { url } = askingOf(route, exampleFor(route, world, cast.clock.now).input)
      const headers = { ...(reader ? asBrowser(reader) : {}), 'accept-language': 'es' }
      const answer = await server.inject({ url, headers })
      if (answer.statusCode >= 400 || !String(answer.headers['content-type']).startsWith('text/html'))
        continue
      pages += 1
      for (const text of textsOn(parse(answer.body))) {
        const left = foreign(text, entered)
        if (left) found.add(`${nameOf(route)}: ${left} (in: ${text.slice(0, 120)})`)
      }
    }
    expect(pages).toBeGreaterThan(60)
    expect([...found]).toEqual([])
  }, 120_000)
})

/** Attributes that are read out or shown. */
const SPOKEN = [
  'title',
  'aria-label',
  'alt',
  'placeholder',
  'data-label',
  'data-within',
  'data-below',
  'data-above',
]

function textsOn(page: HTMLElement): string[] {
  const texts: string[] = []
  for (const element of page.querySelectorAll('*')) {
    if (['SCRIPT', 'STYLE', 'TIME', 'SUB', 'NOSCRIPT'].includes(element.tagName)) continue
    // A long name is parted into lines that the store does not know.
    if (element.classList.contains('ps-name')) continue
    // What is sent to other programs is shown byte for byte.
    if (element.classList.contains('verbatim')) continue
    // One sentence may stand in several pieces around a link, so an element is read with all that is in it.
    texts.push(element.childNodes.map((node) => (node.nodeType === 3 ? node.rawText : ' ')).join(''))
    for (const name of SPOKEN) texts.push(element.getAttribute(name) ?? '')
  }
  return texts.filter((text) => text.trim() !== '')
}

/** Symbols, names of standards and of the product: the same in every language. */
const SAME = new RegExp(
  `\\b(${[...Object.values(LANGUAGE_NAMES), 'Jointkeep', 'Cpk', 'Ppk', 'English', 'UTC', 'MPa', 'kPa', 'micron', 'mbar', 'bar', 'psi', 'Torr', 'lbf', 'kgf', 'min', 'max', 'test', 'ISO', 'IEC', 'UL', 'CSA', 'JIS', 'EN', 'ASHRAE', 'JCGM', 'SHA', 'GWP', 'LFL', 'AR4', 'AR5', 'AR6', 'cos', 'exp', 'low', 'high', 'inch', 'de', 'marzo', 'mayo', 'junio', 'agosto', 'febrero'].join('|')})\\b`,
  'gu',
)

/** Mail and other addresses, and the code of a certificate in its groups. */
const ADDRESSES = /\S*@|\.example\b|\/[\w./-]+|\b[a-z0-9]{5}(-[a-z0-9]{5}){3}\b|\b[0-9a-f]{8}\b/g

/** What is left of a text without the marked words, what was entered, and what is the same everywhere. */
function foreign(text: string, entered: readonly string[]): string | null {
  let left = outside(text.replace(/&#?\w+;/g, ' ')).replace(/\s+/g, ' ')
  for (const one of entered) if (left.includes(one)) left = left.replaceAll(one, ' ')
  left = left
    .replace(ADDRESSES, ' ')
    .replace(SAME, ' ')
    .replace(/\b[MTUpxqm]_\w+/g, ' ')
  return /\p{L}{3,}/u.test(left) ? left.trim() : null
}

const NAMES = ['technician', 'manager', 'warranty', 'owner'] as const

/** What a signed copy says: its sentences stay as they were signed. */
function sealed(text: string): string {
  const payload = /"payload":"([\w-]+)"/.exec(text)?.[1]
  return payload === undefined ? '' : Buffer.from(payload, 'base64url').toString('utf8')
}

/** Every text that somebody may have typed, longest first, and what was sealed as it was then; no codes. */
async function everythingEntered(): Promise<string[]> {
  const texts = new Set<string>()
  const gather = (value: unknown): void => {
    if (typeof value === 'string') {
      const text = value.replace(/\s+/g, ' ').trim()
      if (text.length > 2 && !/^[a-z]+(-[a-z]+)*$/.test(text)) texts.add(text)
      for (const inside of [text, sealed(text)])
        if (/^[[{]/.test(inside)) {
          try {
            gather(JSON.parse(inside))
          } catch {
            // It only looks like JSON.
          }
        }
    } else if (typeof value === 'object' && value !== null) Object.values(value).forEach(gather)
  }
  const units = await cast.store.store.query<{ serial: string }>('select serial from units')
  for (const { serial } of units) texts.add(serial.slice(-4))
  // The names of numbers are sealed as they were called.
  const { length, hold, plateau } = en.rules
  for (const name of [length, hold, plateau]) texts.add(name)
  gather([
    ...(await textsOf(cast.store.store, world.team.owner.companyId)),
    ...NAMES.flatMap((name) => [world.team[name].name, world.team[name].companyName]),
  ])
  return [...texts].toSorted((a, b) => b.length - a.length)
}
