// Does every requirement have its file, its test and its page, all of one name, and does the page say what it must?

import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { REQUIREMENTS } from '../../server/rules/index.ts'
import { REQUIREMENT_CODES } from '../../server/vocabulary.ts'

const root = new URL('../../', import.meta.url)
const read = (path: string) => readFileSync(new URL(path, root), 'utf8')
const names = (folder: string) => readdirSync(new URL(folder, root))

const HEADINGS = [
  'What it checks',
  'Why',
  'Evidence it uses',
  'When it does not apply',
  'How to clear it',
  'Source',
]

const camelCase = (code: string) => code.replace(/-(\w)/g, (_, letter: string) => letter.toUpperCase())

describe('the requirements', () => {
  it('are those of the vocabulary, in its order', () => {
    const order = [...REQUIREMENT_CODES]
    expect(REQUIREMENTS.map(({ code }) => code)).toEqual(order)
  })

  it('have no page that belongs to none of them', () => {
    expect(names('docs/requirements').sort()).toEqual(REQUIREMENT_CODES.map((code) => `${code}.md`).sort())
  })
})

describe.each(REQUIREMENTS.map((requirement) => ({ requirement, code: requirement.code })))(
  '$code',
  ({ requirement, code }) => {
    it('stands in a file of its own name and is exported by it', () => {
      expect(names('server/rules')).toContain(`${code}.ts`)
      expect(read(`server/rules/${code}.ts`)).toContain(`export const ${camelCase(code)}: Requirement`)
    })

    it('opens its file with the question it answers', () => {
      expect(read(`server/rules/${code}.ts`).split('\n')[0]).toMatch(/^\/\/ .*\?$/)
    })

    it('has a test of the same name, with the three tables', () => {
      const test = read(`tests/rules/${code}.test.ts`)
      expect(test).toContain(`testRequirement(${camelCase(code)}`)
      for (const table of ['met:', 'notMet:', 'notApplicable:']) expect(test).toContain(table)
    })

    it('has a page that begins with its title and keeps to the headings', () => {
      const lines = read(`docs/requirements/${code}.md`).split('\n')
      expect(lines[0]).toBe(`# ${requirement.title}`)
      const headings = lines.filter((line) => line.startsWith('## ')).map((line) => line.slice(3))
      expect(headings).toEqual(HEADINGS)
      for (const heading of HEADINGS) {
        const text = lines[lines.indexOf(`## ${heading}`) + 2] ?? ''
        expect(text.length, `${code}: nothing under ${heading}`).toBeGreaterThan(10)
      }
    })

    it('names the source of what it asks', () => {
      expect(requirement.source.length).toBeGreaterThan(10)
    })
  },
)
