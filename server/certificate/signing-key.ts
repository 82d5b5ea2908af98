// Which key signs? Made on first start, kept beside the data for its owner only.

import { mkdir, readFile, writeFile } from 'node:fs/promises'
import { dirname } from 'node:path'
import { calculateJwkThumbprint, exportJWK, FlattenedSign, generateKeyPair, importJWK, type JWK } from 'jose'
import { canonical } from '../store/record.ts'
import type { Signer } from './signer.ts'

const ALGORITHM = 'EdDSA'

export async function loadSigner(file: string): Promise<Signer> {
  return signerOf(await readOrMake(file))
}

export async function makeKey(): Promise<JWK> {
  const { privateKey } = await generateKeyPair(ALGORITHM, { crv: 'Ed25519', extractable: true })
  return exportJWK(privateKey)
}

export async function signerOf(privateJwk: JWK): Promise<Signer> {
  const key = await importJWK(privateJwk, ALGORITHM)
  const { d: _private, ...publicJwk } = privateJwk
  const keyId = await calculateJwkThumbprint(publicJwk)
  return {
    keyId,
    publicJwk: { ...publicJwk, kid: keyId, alg: ALGORITHM, use: 'sig' },
    async sign(payload) {
      const bytes = new TextEncoder().encode(canonical(payload))
      const jws = await new FlattenedSign(bytes)
        .setProtectedHeader({ alg: ALGORITHM, kid: keyId, typ: 'jointkeep-certificate+json' })
        .sign(key)
      return JSON.stringify(jws)
    },
  }
}

async function readOrMake(file: string): Promise<JWK> {
  try {
    return JSON.parse(await readFile(file, 'utf8')) as JWK
  } catch (problem) {
    if ((problem as NodeJS.ErrnoException).code !== 'ENOENT') throw problem
  }
  const made = await makeKey()
  await mkdir(dirname(file), { recursive: true })
  // `wx`: of two processes that start at once, one makes the key and the other reads it.
  await writeFile(file, JSON.stringify(made), { mode: 0o600, flag: 'wx' }).catch((problem) => {
    if ((problem as NodeJS.ErrnoException).code !== 'EEXIST') throw problem
  })
  return JSON.parse(await readFile(file, 'utf8')) as JWK
}
