// Is this the password? argon2id, and the same work whether or not the person exists.

import { hash, verify } from '@node-rs/argon2'

/** OWASP Password Storage Cheat Sheet: argon2id (the library's default kind) with 19 MiB, 2 passes, 1 lane. */
const COST = { memoryCost: 19_456, timeCost: 2, parallelism: 1 }

/** The same signs typed on another keyboard may come as other bytes (NIST SP 800-63B-4, 3.1.1.2). */
const plain = (password: string) => password.normalize('NFKC')

export const hashPassword = (password: string): Promise<string> => hash(plain(password), COST)

let nobody: Promise<string> | undefined

/** Verifies against nobody's hash when there is none, so that the answer takes as long. */
export async function passwordMatches(passwordHash: string | null, password: string): Promise<boolean> {
  nobody ??= hashPassword('nobody has this password')
  // What is no hash of ours (nobody may sign in with it) is as good as none.
  const known = passwordHash?.startsWith('$argon2id$') ? passwordHash : null
  const matches = await verify(known ?? (await nobody), plain(password))
  return known !== null && matches
}
