// Is a password checked the same way whether or not there is somebody to check it for?

import { afterEach, describe, expect, it, vi } from 'vitest'

const spied = vi.hoisted(() => ({ verify: [] as string[], hash: 0 }))
vi.mock('@node-rs/argon2', async (original) => {
  const real = await original<typeof import('@node-rs/argon2')>()
  return {
    ...real,
    verify: (hashed: string, password: string) => {
      spied.verify.push(hashed)
      return real.verify(hashed, password)
    },
    hash: (password: string, options: object) => {
      spied.hash += 1
      return real.hash(password, options)
    },
  }
})

const { hashPassword, passwordMatches } = await import('../../server/access/passwords.ts')
const { signIn } = await import('../../server/commands/people/sign-in.ts')
const { registerCompany } = await import('../../server/commands/people/register-company.ts')
const { runPublicCommand } = await import('../../server/commands/command.ts')
const { aCast } = await import('../support/cast.ts')

const COST = '$argon2id$v=19$m=19456,t=2,p=1$'

afterEach(() => {
  spied.verify = []
  spied.hash = 0
})

describe('a password', () => {
  it('is kept as argon2id with the cost of the cheat sheet, salted each time', async () => {
    const [one, other] = [await hashPassword('copper and flare'), await hashPassword('copper and flare')]
    expect(one.startsWith(COST)).toBe(true)
    expect(one).not.toBe(other)
    expect(await passwordMatches(one, 'copper and flare')).toBe(true)
    expect(await passwordMatches(one, 'copper and flares')).toBe(false)
  })

  it('is the same however its signs were put together', async () => {
    expect(await passwordMatches(await hashPassword('caf\u00e9 am morgen'), 'cafe\u0301 am morgen')).toBe(
      true,
    )
  })

  it('is verified against a hash of the same cost when there is nobody', async () => {
    expect(await passwordMatches(null, 'anything at all')).toBe(false)
    expect(spied.verify).toHaveLength(1)
    expect(spied.verify[0]?.startsWith(COST)).toBe(true)
  })

  it('never fits what is no hash', async () => {
    expect(await passwordMatches('none', 'none')).toBe(false)
    expect(await passwordMatches('', '')).toBe(false)
    expect(spied.verify).toHaveLength(2)
  })
})

describe('the same work', () => {
  it('is done for an unknown address as for a wrong password, when signing in and signing up', async () => {
    const cast = await aCast()
    const { machinery } = cast
    const founding = { name: 'Tern Cooling', ownerName: 'Ida', email: 'ida@tern.example' }
    await runPublicCommand(machinery, registerCompany, { ...founding, password: 'a long pass phrase' })
    const workOf = async (act: () => Promise<unknown>) => {
      spied.verify = []
      spied.hash = 0
      const outcome = await act().then(
        () => 'done',
        (problem) => problem.code,
      )
      return { outcome, verified: spied.verify.length, hashed: spied.hash }
    }
    const password = 'not the pass phrase'
    const signingIn = (email: string) => () => runPublicCommand(machinery, signIn, { email, password })
    expect(await workOf(signingIn('ida@tern.example'))).toEqual({
      outcome: 'wrong-credentials',
      verified: 1,
      hashed: 0,
    })
    expect(await workOf(signingIn('nobody@tern.example'))).toEqual({
      outcome: 'wrong-credentials',
      verified: 1,
      hashed: 0,
    })
    const signingUp = (email: string) => () =>
      runPublicCommand(machinery, registerCompany, { ...founding, name: 'Second', email, password })
    expect(await workOf(signingUp('ida@tern.example'))).toEqual({
      outcome: 'wrong-credentials',
      verified: 1,
      hashed: 1,
    })
    expect(await workOf(signingUp('eve@tern.example'))).toEqual({ outcome: 'done', verified: 1, hashed: 1 })
    await cast.remove()
  })
})
