// Does what is written down still stand? Commands, settings, routes and pages that the papers name are there.

import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { CAPABILITIES } from '../../server/access/capabilities.ts'
import type { App } from '../../server/app.ts'
import { REQUIREMENT_CODES } from '../../server/vocabulary.ts'
import { aCast, type Cast } from '../support/cast.ts'
import { nameOf } from './ask.ts'
import { allCommands } from './commands.ts'

const root = fileURLToPath(new URL('../../', import.meta.url))
const read = (file: string) => readFileSync(`${root}${file}`, 'utf8')
const { scripts } = JSON.parse(read('package.json')) as { scripts: Record<string, string> }
const papers = [
  'README.md',
  'DEVELOPERS.md',
  ...readdirSync(`${root}docs`, { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.md'))
    .map((file) => `docs/${file}`),
].filter((file) => existsSync(`${root}${file}`))

let cast: Cast
let app: App
beforeAll(async () => {
  cast = await aCast()
  app = await cast.app()
})
afterAll(() => cast.remove())

describe('the papers', () => {
  it('are there', () => {
    expect(papers).toContain('README.md')
    expect(papers).toContain('DEVELOPERS.md')
    expect(papers).toContain('docs/operating.md')
  })

  it('name only scripts that exist', () => {
    const unknown: string[] = []
    let named = 0
    for (const file of papers)
      for (const [, script] of read(file).matchAll(/npm run ([\w:-]+)/g)) {
        named += 1
        if (!(script ?? '') || !scripts[script ?? '']) unknown.push(`${file}: npm run ${script}`)
      }
    expect(unknown).toEqual([])
    expect(named).toBeGreaterThan(3)
    for (const script of ['start', 'test']) expect(scripts[script]).toBeDefined()
  })

  it('link only to files that exist', () => {
    const broken: string[] = []
    for (const file of papers) {
      const folder = file.includes('/') ? file.slice(0, file.lastIndexOf('/') + 1) : ''
      for (const [, target] of read(file).matchAll(/\]\((?!https?:|#|mailto:)([^)#\s]+)(?:#[^)]*)?\)/g))
        if (!existsSync(new URL(target ?? '', `file://${root}${folder}`))) broken.push(`${file} → ${target}`)
    }
    expect(broken).toEqual([])
  })

  it('hold no absolute path of somebody’s machine', () => {
    for (const file of papers) expect(read(file), file).not.toMatch(/(^|[\s(`])\/(home|root|work|Users)\//)
  })

  it('tell of every setting, with its default, in docs/operating.md', () => {
    const config = read('server/config.ts')
    const schema = config.slice(config.indexOf('z.object('), config.indexOf('})'))
    const settings = [...schema.matchAll(/^ {2}([A-Z][A-Z_]+):/gm)].map(([, name]) => name ?? '')
    expect(settings.length).toBeGreaterThan(8)
    const paper = read('docs/operating.md')
    expect(settings.filter((name) => !paper.includes(`\`${name}\``))).toEqual([])
  })

  it('have a page for each requirement, and none for what is not one', () => {
    const pages = readdirSync(`${root}docs/requirements`)
      .filter((file) => file.endsWith('.md') && file !== 'README.md')
      .map((file) => file.replace(/\.md$/, ''))
    expect(pages.filter((page) => !(REQUIREMENT_CODES as readonly string[]).includes(page))).toEqual([])
    // A requirement whose rule is there has its page and its test, under the same name.
    const rules = REQUIREMENT_CODES.filter((code) => existsSync(`${root}server/rules/${code}.ts`))
    expect(rules.length).toBeGreaterThanOrEqual(13)
    expect(rules.filter((code) => !pages.includes(code))).toEqual([])
    expect(rules.filter((code) => !existsSync(`${root}tests/rules/${code}.test.ts`))).toEqual([])
  })
})

describe('every command', () => {
  it('names a capability that is in the table, or is public; and says in a sentence what it does', async () => {
    for (const { name, file, capability, summary } of await allCommands()) {
      if (capability !== null) expect(Object.keys(CAPABILITIES), name).toContain(capability)
      expect(name).toMatch(/^[a-z]+(-[a-z]+)*$/)
      expect(summary, `${file} ${name}`).toMatch(/^[A-Z].*\.$/)
    }
  })
})

describe('the reference', () => {
  it('holds every JSON route', async () => {
    const answer = await app.server.inject({ url: '/api/v1/openapi.json' })
    expect(answer.statusCode).toBe(200)
    const { paths, openapi } = answer.json() as {
      openapi: string
      paths: Record<string, Record<string, unknown>>
    }
    expect(openapi).toMatch(/^3\.1/)
    const missing = app.routes
      .filter(({ face }) => face === 'json')
      .filter(({ url, method }) => {
        const path = url.replaceAll(/:(\w+)/g, '{$1}')
        const bare = path.replace(/^\/api\/v1/, '')
        return !(paths[path] ?? paths[bare])?.[method.toLowerCase()]
      })
    expect(missing.map(nameOf)).toEqual([])
  })
})
