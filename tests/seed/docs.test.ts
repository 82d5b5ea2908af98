// Do the documents tell the truth about the tree? Every path they name is there, and every folder is on the map.

import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { ROOT } from '../../server/root.ts'

const read = (file: string) => readFileSync(join(ROOT, file), 'utf8')

/** What looks like a path of this repository, between backticks. */
function pathsIn(text: string): string[] {
  const folders = 'server|views|seed|tests|docs|migrations|\\.ci'
  const shape = new RegExp(`^(?:${folders})/[A-Za-z0-9_./-]*$|^(?:README|DEVELOPERS)\\.md$|^LICENSE$`)
  return [...text.matchAll(/`([^`\n]+)`/g)].map(([, code]) => code ?? '').filter((code) => shape.test(code))
}

/** Where links lead that are no addresses. */
const linksIn = (text: string): string[] =>
  [...text.matchAll(/\]\(([^)\s]+)\)/g)]
    .map(([, target]) => (target ?? '').replace(/#.*$/, ''))
    .filter((target) => target !== '' && !/^[a-z]+:/.test(target))

const documents = [
  'README.md',
  'DEVELOPERS.md',
  ...readdirSync(join(ROOT, 'docs'), { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.md'))
    .map((file) => `docs/${file}`),
].sort()

describe('the documents', () => {
  it.each(documents)('%s names only paths that exist', (document) => {
    expect(pathsIn(read(document)).filter((path) => !existsSync(join(ROOT, path)))).toEqual([])
  })

  it.each(documents)('%s links only to what is there', (document) => {
    const broken = linksIn(read(document)).filter((to) => !existsSync(join(ROOT, dirname(document), to)))
    expect(broken).toEqual([])
  })

  it('would notice a path that is not there', () => {
    expect(pathsIn('see `server/main.ts`, `server/gone.ts`, `npm test`, `a/b`')).toEqual([
      'server/main.ts',
      'server/gone.ts',
    ])
    expect(linksIn('[here](docs/x.md#y) and [there](https://example.org/z)')).toEqual(['docs/x.md'])
  })

  it('have every folder of the server and of the tests on the map', () => {
    const named = new Set(pathsIn(read('DEVELOPERS.md')).map((path) => path.replace(/\/$/, '')))
    const folders = ['server', 'tests'].flatMap((top) =>
      readdirSync(join(ROOT, top))
        .map((name) => `${top}/${name}`)
        .filter((path) => statSync(join(ROOT, path)).isDirectory()),
    )
    expect(folders.filter((path) => !named.has(path))).toEqual([])
  })

  it('give the same two commands as package.json knows', () => {
    const { scripts } = JSON.parse(read('package.json')) as { scripts: Record<string, string> }
    const readme = read('README.md')
    for (const [, name] of readme.matchAll(/npm run ([a-z]+)/g)) expect(scripts).toHaveProperty(name ?? '')
    expect(readme).toContain('npm ci && npm run demo')
    expect(readme).toContain('npm ci && npm test')
  })

  it('keep decisions numbered without a gap, each with its three parts', () => {
    const files = readdirSync(join(ROOT, 'docs/decisions')).sort()
    expect(files.length).toBeGreaterThan(0)
    for (const [index, file] of files.entries()) {
      expect(file.startsWith(`${String(index + 1).padStart(4, '0')}-`)).toBe(true)
      for (const part of ['**Context.**', '**Decision.**', '**Consequences.**'])
        expect(read(`docs/decisions/${file}`)).toContain(part)
    }
  })

  it('keep the pictures small', () => {
    const pictures = readdirSync(join(ROOT, 'docs/pictures')).filter((name) => name.endsWith('.png'))
    expect(pictures).toHaveLength(3)
    for (const name of pictures)
      expect(statSync(join(ROOT, 'docs/pictures', name)).size, name).toBeLessThan(200_000)
  })
})
