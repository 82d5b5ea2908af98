// How was this server set up? The only reader of the environment; checked once, then frozen.

import { dirname, join } from 'node:path'
import { z } from 'zod'

const schema = z.object({
  PORT: z.coerce.number().int().min(0).max(65_535).default(8080),
  HOST: z.string().min(1).default('127.0.0.1'),
  DATABASE_URL: z.string().min(1).default('sqlite:./data/jointkeep.db'),
  JOINTKEEP_FILES: z
    .string()
    .min(1)
    .refine(
      (place) => !/^[a-z][a-z0-9+.-]+:\/\//i.test(place),
      'Name a folder. Keeping files in object storage (s3://…) is not there yet.',
    )
    .default('./data/files'),
  JOINTKEEP_SIGNUP: z.enum(['first', 'open', 'closed']).default('first'),
  JOINTKEEP_PUBLIC_URL: z.url().optional(),
  JOINTKEEP_SIGNING_KEY: z.string().min(1).default('./data/signing-key.json'),
  /** Where the key lies that secrets in the database are kept under. */
  JOINTKEEP_SECRETS_KEY: z.string().min(1).optional(),
  /** Networks of the operator's own in which receivers of webhooks may stand, such as 10.20.0.0/16, separated by commas. */
  JOINTKEEP_OWN_NETWORKS: z.string().default(''),
  JOINTKEEP_METRICS: z.enum(['off', 'on']).default('off'),
  JOINTKEEP_LOG: z.enum(['silent', 'error', 'warn', 'info', 'debug']).default('warn'),
  /** Addresses of the proxies in front that are trusted to say who asks, separated by commas. */
  JOINTKEEP_PROXIES: z.string().default(''),
})

export interface Config {
  port: number
  host: string
  databaseUrl: string
  files: string
  signup: 'first' | 'open' | 'closed'
  publicUrl: string
  signingKey: string
  secretsKey: string
  ownNetworks: string
  metrics: boolean
  log: 'silent' | 'error' | 'warn' | 'info' | 'debug'
  proxies: string
}

export function readConfig(environment: Record<string, string | undefined> = process.env): Config {
  const parsed = schema.safeParse(environment)
  if (!parsed.success) {
    const lines = parsed.error.issues.map((issue) => `  ${issue.path.join('.')}: ${issue.message}`)
    throw new Error(`These settings need another look:\n${lines.join('\n')}`)
  }
  const set = parsed.data
  return Object.freeze({
    port: set.PORT,
    host: set.HOST,
    databaseUrl: set.DATABASE_URL,
    files: set.JOINTKEEP_FILES,
    signup: set.JOINTKEEP_SIGNUP,
    publicUrl: (set.JOINTKEEP_PUBLIC_URL ?? `http://${set.HOST}:${set.PORT}`).replace(/\/$/, ''),
    signingKey: set.JOINTKEEP_SIGNING_KEY,
    secretsKey: set.JOINTKEEP_SECRETS_KEY ?? join(dirname(set.JOINTKEEP_SIGNING_KEY), 'secrets-key.json'),
    ownNetworks: set.JOINTKEEP_OWN_NETWORKS,
    metrics: set.JOINTKEEP_METRICS === 'on',
    log: set.JOINTKEEP_LOG,
    proxies: set.JOINTKEEP_PROXIES,
  })
}
