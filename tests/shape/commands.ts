// Which commands are there? Every value under server/commands that has a name, an input and a handler.

import { readdirSync } from 'node:fs'
import type { z } from 'zod'
import type { Capability } from '../../server/access/capabilities.ts'

export interface FoundCommand {
  file: string
  name: string
  summary: string
  /** Null for one that nobody needs to be signed in for. */
  capability: Capability | null
  input: z.ZodType
}

const folder = new URL('../../server/commands/', import.meta.url)

export async function allCommands(): Promise<FoundCommand[]> {
  const found = new Map<string, FoundCommand>()
  for (const file of readdirSync(folder, { recursive: true, encoding: 'utf8' }).sort()) {
    if (!file.endsWith('.ts')) continue
    const module = (await import(new URL(file, folder).href)) as Record<string, unknown>
    for (const value of Object.values(module)) {
      if (typeof value !== 'object' || value === null) continue
      const command = value as Partial<FoundCommand> & { handle?: unknown }
      if (typeof command.handle !== 'function' || typeof command.name !== 'string' || !command.input) continue
      found.set(command.name, {
        file,
        name: command.name,
        summary: command.summary ?? '',
        capability: command.capability ?? null,
        input: command.input,
      })
    }
  }
  return [...found.values()]
}
