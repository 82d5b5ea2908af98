// Does every change name who may do it, and is every capability there for something?

import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { CAPABILITIES, may } from '../../server/access/capabilities.ts'
import { ROOT } from '../../server/root.ts'
import { ROLES } from '../../server/vocabulary.ts'

interface Source {
  file: string
  text: string
}

const sourcesIn = (folder: string): Source[] =>
  readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.ts'))
    .map((file) => ({ file: join(folder, file), text: readFileSync(join(ROOT, folder, file), 'utf8') }))

const DEFINED = /\bdefineCommand\(\{/
const NAMED = /\bcapability: '([^']+)'/g
const namedIn = ({ text }: Source) => [...text.matchAll(NAMED)].map((match) => match[1] ?? '')

const commands = sourcesIn('server/commands')
const http = sourcesIn('server/http')

describe('the table of capabilities', () => {
  it('is what every command names one of', () => {
    const defining = commands.filter(({ text }) => DEFINED.test(text))
    expect(defining.length).toBeGreaterThan(5)
    for (const source of defining) {
      const defined = source.text.split(DEFINED).length - 1
      expect(namedIn(source), `${source.file} names a capability for each command`).toHaveLength(defined)
    }
  })

  it('knows every capability that is named, in commands and in pages', () => {
    for (const source of [...commands, ...http])
      for (const name of namedIn(source)) expect(Object.keys(CAPABILITIES), source.file).toContain(name)
  })

  it('holds none that nothing asks for', () => {
    const asked = new Set(
      [...commands, ...http].flatMap((source) => [
        ...namedIn(source),
        ...[...source.text.matchAll(/\bmay\([^,()]+, '([^']+)'\)/g)].map((match) => match[1] ?? ''),
      ]),
    )
    // Every member reads: it is what a page or a question asks for when it names nothing else.
    asked.add('read')
    expect(Object.keys(CAPABILITIES).filter((name) => !asked.has(name))).toEqual([])
  })

  it('gives an owner everything and lets nobody but an owner manage members', () => {
    for (const name of Object.keys(CAPABILITIES) as (keyof typeof CAPABILITIES)[])
      expect(may({ role: 'owner' }, name), name).toBe(true)
    expect(ROLES.filter((role) => may({ role }, 'manage-members'))).toEqual(['owner'])
  })

  it('lets nobody audit who only records, and nobody record who only answers the telephone', () => {
    expect(ROLES.filter((role) => may({ role }, 'audit-job'))).toEqual(['manager', 'owner'])
    expect(ROLES.filter((role) => may({ role }, 'record-work'))).toEqual(['technician', 'manager', 'owner'])
  })
})
