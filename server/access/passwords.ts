// Is this the password? argon2id, and the same work whether or not the person exists.

import { hash, verify } from '@node-rs/argon2'

/** OWASP Password Storage Cheat Sheet: argon2id (the library's default kind) with 19 MiB, 2 passes, 1 lane. */
const COST = { memoryCost: 19_456, timeCost: 2, parallelism: 1 }

export const hashPassword = (password: string): Promise<string> => hash(password, COST)

let nobody: Promise<string> | undefined

/** Verifies against nobody's hash when there is none, so that the answer takes as long. */
export async function passwordMatches(passwordHash: string | null, password: string): Promise<boolean> {
  nobody ??= hashPassword('nobody has this password')
  const matches = await verify(passwordHash ?? (await nobody), password)
  return passwordHash !== null && matches
}
