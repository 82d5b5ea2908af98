// Is an e-mail address guarded against guessing, known or not?

import { describe, expect, it } from 'vitest'
import { countTry, forgetTries, MAX_TRIES, TRIES_WINDOW_MS } from '../../server/access/tries.ts'

const tryTimes = (owner: object, email: string, times: number, now = 0) => {
  for (let time = 0; time < times; time += 1) countTry(owner, email, now)
}

describe('tries at an e-mail address', () => {
  it('are refused after the tenth in a quarter of an hour', () => {
    const owner = {}
    tryTimes(owner, 'ida@tern.example', MAX_TRIES)
    expect(() => countTry(owner, 'ida@tern.example', TRIES_WINDOW_MS - 1)).toThrow('Too many tries')
  })

  it('count however the address is written', () => {
    const owner = {}
    tryTimes(owner, 'ida@tern.example', MAX_TRIES)
    expect(() => countTry(owner, 'IDA@Tern.example', 1)).toThrow('Too many tries')
  })

  it('begin anew after the quarter of an hour', () => {
    const owner = {}
    tryTimes(owner, 'ida@tern.example', MAX_TRIES)
    expect(() => tryTimes(owner, 'ida@tern.example', MAX_TRIES, TRIES_WINDOW_MS)).not.toThrow()
    expect(() => countTry(owner, 'ida@tern.example', TRIES_WINDOW_MS)).toThrow('Too many tries')
  })

  it('are forgotten when the password was right', () => {
    const owner = {}
    tryTimes(owner, 'ida@tern.example', MAX_TRIES)
    forgetTries(owner, 'Ida@tern.example')
    expect(() => countTry(owner, 'ida@tern.example', 0)).not.toThrow()
  })

  it('at one address leave another free, and so does another server', () => {
    const owner = {}
    tryTimes(owner, 'ida@tern.example', MAX_TRIES)
    expect(() => countTry(owner, 'ole@tern.example', 0)).not.toThrow()
    expect(() => countTry({}, 'ida@tern.example', 0)).not.toThrow()
  })

  it('of many addresses push out the oldest only', () => {
    const owner = {}
    tryTimes(owner, 'first@tern.example', MAX_TRIES)
    tryTimes(owner, 'last@tern.example', MAX_TRIES)
    for (let other = 0; other < 19_999; other += 1) countTry(owner, `n${other}@tern.example`, 0)
    expect(() => countTry(owner, 'last@tern.example', 0)).toThrow('Too many tries')
    expect(() => countTry(owner, 'first@tern.example', 0)).not.toThrow()
  })
})
