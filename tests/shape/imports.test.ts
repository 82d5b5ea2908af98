// Do the imports run one way? The import lines are read, and any arrow that is not drawn here fails.

import { readdirSync, readFileSync } from 'node:fs'
import { dirname, join, relative } from 'node:path'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'

const root = fileURLToPath(new URL('../../', import.meta.url))

interface Import {
  from: string
  /** A file of this repository, or the name of a package. */
  to: string
  typeOnly: boolean
  onFirstUse: boolean
}

const filesIn = (folder: string): string[] =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .map((file) => join(folder, file))
    .filter((file) => /\.tsx?$/.test(file))
    .sort()

const files = [...filesIn('server'), ...filesIn('views'), ...filesIn('seed')]
const imports: Import[] = files.flatMap((from) => {
  const text = readFileSync(join(root, from), 'utf8')
  const found: Import[] = []
  const resolve = (name: string) =>
    name.startsWith('.') ? relative(root, join(root, dirname(from), name)) : name
  const still = /^(?:import|export)\s+(type\s+)?([^'";]*?\s*from\s+)?'([^']+)'/gm
  for (const [, type, what, name] of text.matchAll(still)) {
    const named = /^\{([^}]*)\}\s*from/.exec((what ?? '').trim())?.[1]
    const isType = (one: string) => one.trim() === '' || one.trim().startsWith('type ')
    const allTypes = named?.split(',').every(isType) ?? false
    found.push({ from, to: resolve(name ?? ''), typeOnly: type !== undefined || allTypes, onFirstUse: false })
  }
  for (const [, name] of text.matchAll(/\bimport\(\s*'([^']+)'\s*\)/g))
    found.push({ from, to: resolve(name ?? ''), typeOnly: false, onFirstUse: true })
  return found
})

/** The floor of the house that a file stands on. */
function floorOf(file: string): string {
  if (file.startsWith('views/')) return 'views'
  if (file.startsWith('seed/')) return 'seed'
  const inServer = /^server\/([^/]+)\//.exec(file)?.[1]
  if (inServer) return inServer
  return file.replace(/^server\//, '').replace(/\.ts$/, '')
}

/** Floor → what it may use; `name:type` where only types may be. */
const ARROWS: Record<string, string[]> = {
  vocabulary: [],
  ids: [],
  root: [],
  config: [],
  // The catalogue of everything that is said, a folder for each language.
  words: ['vocabulary'],
  // The findings that a refusal carries are a shape of the rules.
  refusals: ['rules:type', 'words'],
  trade: ['words'],
  // Text in, readings out: what is in them is judged elsewhere.
  'gauge-logs': ['trade', 'words'],
  rules: ['vocabulary', 'trade', 'words'],
  access: ['vocabulary', 'words', 'ids', 'refusals', 'store'],
  // The dossier is assembled from rows, in the shape that the rules look at.
  store: ['vocabulary', 'words', 'trade', 'rules', 'refusals', 'ids', 'root'],
  certificate: ['vocabulary', 'trade', 'rules', 'store', 'ids', 'words'],
  // A company, whole, from one server to another.
  moving: ['store', 'refusals', 'words'],
  // Messages to other programs: written with the change, sent afterwards.
  webhooks: ['vocabulary', 'ids', 'store', 'access:type', 'outgoing'],
  // Who a company's own provider says that somebody is.
  openid: ['outgoing'],
  // Where this server may connect to, for whoever of a company names an address.
  outgoing: [],
  commands: [
    'openid',
    'outgoing',
    'webhooks',
    'vocabulary',
    'words',
    'trade',
    'rules',
    'store',
    'access',
    'certificate',
    'gauge-logs',
    'ids',
    'refusals',
  ],
  http: [
    'vocabulary',
    'words',
    'trade',
    'rules',
    'store',
    'access',
    'certificate',
    'commands',
    'gauge-logs',
    'moving',
    'webhooks',
    'ids',
    'refusals',
    'root',
    'config:type',
    'views',
  ],
  // Data in, markup out: of the server only types, words and pure figures.
  views: ['vocabulary', 'words', 'trade', 'rules:type', 'store:type', 'http:type', 'gauge-logs:type'],
  app: ['http', 'refusals'],
  main: ['app', 'access', 'certificate', 'config', 'store', 'outgoing', 'webhooks'],
  seed: [
    'vocabulary',
    'trade',
    'rules',
    'store',
    'commands',
    'certificate',
    'access',
    'config',
    'main',
    'root',
  ],
  jointkeep: ['access', 'certificate', 'commands', 'config', 'moving', 'store', 'refusals', 'root'],
}

const isOurs = (to: string) => /^(server|views|seed)\//.test(to)

describe('the imports', () => {
  it('were found', () => {
    expect(files.length).toBeGreaterThan(150)
    expect(imports.length).toBeGreaterThan(800)
    expect(imports.some(({ onFirstUse }) => onFirstUse)).toBe(true)
  })

  it('run only along the arrows', () => {
    const others = imports.filter(({ from, to, typeOnly }) => {
      if (!isOurs(to)) return to.startsWith('.')
      const [here, there] = [floorOf(from), floorOf(to)]
      if (here === there) return false
      const arrows = ARROWS[here]
      if (!arrows) return true
      return !arrows.includes(there) && !(typeOnly && arrows.includes(`${there}:type`))
    })
    expect(others.map(({ from, to, typeOnly }) => `${from} → ${to}${typeOnly ? ' (type)' : ''}`)).toEqual([])
  })

  it('draw no arrow that nobody uses', () => {
    const used = new Set(
      imports.filter(({ to }) => isOurs(to)).map(({ from, to }) => `${floorOf(from)} → ${floorOf(to)}`),
    )
    const idle = Object.entries(ARROWS).flatMap(([here, arrows]) =>
      arrows
        .filter((there) => !used.has(`${here} → ${there.replace(':type', '')}`))
        .map((there) => `${here} → ${there}`),
    )
    expect(idle).toEqual([])
  })

  it('leave physics, statistics and judgement without input, output, clock, chance or database', () => {
    const pure = (file: string) => /^server\/(trade|rules|vocabulary)/.test(file)
    const outside = imports
      .filter(({ from, to }) => pure(from) && !isOurs(to))
      .map(({ from, to }) => `${from} → ${to}`)
    expect(outside).toEqual([])
    for (const file of files.filter(pure)) {
      const text = readFileSync(join(root, file), 'utf8').replaceAll(/\/\*[\s\S]*?\*\/|\/\/.*/g, '')
      expect(text, file).not.toMatch(
        /Date\.now|new Date\(\)|Math\.random|process\.|console\.|\bfetch\(|await /,
      )
    }
  })

  it('reach the tables and the drivers from the store alone, besides commands that write', () => {
    const drivers = ['better-sqlite3', 'pg', 'drizzle-orm/better-sqlite3', 'drizzle-orm/node-postgres']
    const wrong = imports.filter(
      ({ from, to }) =>
        (drivers.includes(to) && !from.startsWith('server/store/')) ||
        (to.startsWith('drizzle-orm') && /^(server\/http|views|server\/rules|server\/trade)\//.test(from)),
    )
    expect(wrong.map(({ from, to }) => `${from} → ${to}`)).toEqual([])
  })

  it('know lucia in one file', () => {
    expect([...new Set(imports.filter(({ to }) => to === 'lucia').map(({ from }) => from))]).toEqual([
      'server/access/sessions.ts',
    ])
  })

  it('load heavy packages on first use', () => {
    const heavy = ['pdfkit', 'qrcode', 'sharp', '@aws-sdk/client-s3', 'pg', './postgres.ts']
    const early = imports.filter(
      ({ from, to, onFirstUse, typeOnly }) =>
        heavy.includes(to) && !onFirstUse && !typeOnly && from !== 'server/store/postgres.ts',
    )
    // A file that is itself loaded on first use may name them at its head.
    const lazy = new Set(imports.filter(({ onFirstUse }) => onFirstUse).map(({ to }) => to))
    const reached = (file: string): boolean =>
      !lazy.has(file) &&
      (imports.some(
        ({ to, onFirstUse, typeOnly, from }) => to === file && !onFirstUse && !typeOnly && reached(from),
      ) ||
        file === 'server/main.ts')
    expect(early.filter(({ from }) => reached(from)).map(({ from, to }) => `${from} → ${to}`)).toEqual([])
  })

  it('leave the environment to one file and the wall clock to those that start something', () => {
    const readers: string[] = []
    const clocks: string[] = []
    for (const file of files) {
      const text = readFileSync(join(root, file), 'utf8').replaceAll(/\/\*[\s\S]*?\*\/|\/\/.*/g, '')
      if (/process\.env/.test(text)) readers.push(file)
      if (/Date\.now\(|new Date\(\)/.test(text)) clocks.push(file)
    }
    // The console is handed the environment and passes it to the same reader.
    expect(readers).toEqual(['server/config.ts', 'server/jointkeep.ts'])
    // lucia compares with the wall clock by itself; sessions.ts makes up for the difference.
    expect(clocks).toEqual([
      'server/access/sessions.ts',
      'server/jointkeep.ts',
      'server/main.ts',
      'server/store/migrate.ts',
      'seed/demo.ts',
    ])
  })
})

describe('the files', () => {
  const all = [...files, ...filesIn('tests')]

  it('have names that say what they hold', () => {
    const vague = all.filter((file) =>
      /(^|[/.])(utils?|helpers?|common|misc|types|lib|services?)([/.]|$)/.test(file),
    )
    expect(vague).toEqual([])
    const shouting = all.filter((file) => !/^[a-z0-9./-]+$/.test(file))
    expect(shouting).toEqual([])
  })

  it('open with the question they answer', () => {
    const silent = files.filter(
      (file) => !/^(\/\/|\/\*\*?) ?[A-Z"“]/.test(readFileSync(join(root, file), 'utf8')),
    )
    expect(silent).toEqual([])
  })
})
