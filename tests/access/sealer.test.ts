// Does what was sealed open for its owner alone, under its key alone, and for nobody who changed it?

import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { loadSealer, sealerOf } from '../../server/access/sealer.ts'

const key = new Uint8Array(32).fill(1)

describe('what is sealed', () => {
  it('opens for whom it was sealed, and does not show itself', () => {
    const sealed = sealerOf(key).seal('MZXW6YTB', 'Ida')
    expect(sealed).not.toContain('MZXW6YTB')
    expect(sealerOf(key).open(sealed, 'Ida')).toBe('MZXW6YTB')
    expect(sealerOf(key).seal('MZXW6YTB', 'Ida')).not.toBe(sealed)
  })

  it('opens for nobody else, under no other key, and not with any one character changed', () => {
    const sealed = sealerOf(key).seal('MZXW6YTB', 'Ida')
    expect(sealerOf(key).open(sealed, 'Ole')).toBeNull()
    expect(sealerOf(new Uint8Array(32).fill(2)).open(sealed, 'Ida')).toBeNull()
    // The last character carries bits that no byte holds.
    for (let at = 0; at < sealed.length - 1; at += 1) {
      const other = sealed[at] === 'A' ? 'B' : 'A'
      const changed = sealed.slice(0, at) + other + sealed.slice(at + 1)
      expect(sealerOf(key).open(changed, 'Ida'), `character ${at}`).toBeNull()
    }
    for (const none of ['', 'v1.', 'v1.AAAA', 'MZXW6YTB']) expect(sealerOf(key).open(none, 'Ida')).toBeNull()
  })
})

describe('the key file', () => {
  let folder: string
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'jointkeep-sealer-'))
  })
  afterEach(() => rmSync(folder, { recursive: true }))

  it('is made once, for its owner only, and is the same after a restart', async () => {
    const file = join(folder, 'there', 'secrets-key.json')
    const [one, two] = await Promise.all([loadSealer(file), loadSealer(file)])
    expect(two.open(one.seal('x', 'Ida'), 'Ida')).toBe('x')
    expect(statSync(file).mode & 0o777).toBe(0o600)
    expect((await loadSealer(file)).open(one.seal('x', 'Ida'), 'Ida')).toBe('x')
    expect(JSON.parse(readFileSync(file, 'utf8')).kty).toBe('oct')
  })

  it.each(['', '{}', '{"k":"AAAA"}', 'null', 'a text'])('holds no key with %s', async (text) => {
    const file = join(folder, 'key.json')
    writeFileSync(file, text)
    await expect(loadSealer(file)).rejects.toThrow(file)
    expect(readFileSync(file, 'utf8')).toBe(text)
  })
})
