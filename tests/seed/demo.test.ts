// Does the demo start from nothing, keep what was there, and leave no half story behind?

import { existsSync, mkdtempSync, readdirSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { accountTable, demoConfig, prepareDemo } from '../../seed/demo.ts'
import { DEMO_PASSWORD, NINEFOLD, SALTMARSH } from '../../seed/people.ts'
import type { Config } from '../../server/config.ts'
import { type Running, serve } from '../../server/main.ts'

describe('the demo', () => {
  let folder: string
  let config: Config
  let running: Running | undefined
  let made: boolean
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'jointkeep-demo-'))
    config = { ...demoConfig(folder), port: 0, log: 'silent' }
    made = await prepareDemo(folder, config)
  }, 120_000)
  afterAll(async () => {
    await running?.close()
    rmSync(folder, { recursive: true, force: true })
  })

  it('makes its database and its key where there is none', () => {
    expect(made).toBe(true)
    expect(readdirSync(folder).sort()).toEqual(['files', 'jointkeep.db', 'signing-key.json'])
    expect(statSync(join(folder, 'signing-key.json')).mode & 0o077).toBe(0)
  })

  it('keeps the database that is there', async () => {
    const before = statSync(join(folder, 'jointkeep.db')).mtimeMs
    expect(await prepareDemo(folder, config)).toBe(false)
    expect(statSync(join(folder, 'jointkeep.db')).mtimeMs).toBe(before)
  })

  it('lets each of its people sign in with the password that it prints', async () => {
    running = await serve(config)
    for (const person of [...SALTMARSH.people, ...NINEFOLD.people]) {
      const answer = await fetch(`${running.address}/api/v1/session`, {
        method: 'POST',
        headers: { 'content-type': 'application/json', origin: config.publicUrl },
        body: JSON.stringify({ email: person.email, password: DEMO_PASSWORD }),
      })
      expect([person.email, answer.status]).toEqual([person.email, 201])
    }
    const wrong = await fetch(`${running.address}/api/v1/session`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', origin: config.publicUrl },
      body: JSON.stringify({ email: SALTMARSH.people[0].email, password: 'not the password' }),
    })
    expect(wrong.status).toBe(401)
  })

  it('names every account in its table, one a line', () => {
    const lines = accountTable().split('\n')
    expect(lines).toHaveLength(SALTMARSH.people.length + NINEFOLD.people.length)
    for (const [index, person] of [...SALTMARSH.people, ...NINEFOLD.people].entries()) {
      expect(lines[index]).toContain(person.email)
      expect(lines[index]).toContain(person.role)
    }
  })

  it('leaves nothing half told when the telling fails', async () => {
    const elsewhere = mkdtempSync(join(tmpdir(), 'jointkeep-demo-'))
    const broken = { ...demoConfig(elsewhere), signingKey: elsewhere }
    await expect(prepareDemo(elsewhere, broken)).rejects.toThrow()
    expect(existsSync(join(elsewhere, 'jointkeep.db'))).toBe(false)
    expect(readdirSync(elsewhere)).toEqual([])
    rmSync(elsewhere, { recursive: true })
  })
})
