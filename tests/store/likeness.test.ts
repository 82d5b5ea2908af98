// Is what somebody typed near to what is written, and only then?

import { describe, expect, it } from 'vitest'
import {
  backwards,
  bareMark,
  foldMark,
  slipsBetween,
  slipsForgiven,
  withoutOne,
  wordsIn,
} from '../../server/store/likeness.ts'

describe('a mark', () => {
  it.each([
    ['NW-24 103', 'nw24103'],
    [' sm4-4 ', 'sm4-4'.replace('-', '')],
    ['Ä·7/b', 'a7b'],
    ['---', ''],
  ])('%j bare is %j', (typed, bare) => {
    expect(bareMark(typed)).toBe(bare)
  })

  it('is one with a mark of signs that look alike', () => {
    expect(foldMark('SB-10')).toBe('5810')
    expect(foldMark('5B-IO')).toBe('5810')
    expect(foldMark('ZL2')).toBe('212')
  })

  it('read backwards begins with its end', () => {
    expect(backwards('nw103')).toBe('301wn')
  })
})

describe('the words of an address', () => {
  it('are lower case, each once, without marks and apostrophes', () => {
    expect(wordsIn('12 Mill Lane, Brackwater')).toEqual(['12', 'mill', 'lane', 'brackwater'])
    expect(wordsIn("O'Sølvær & O’Sølvær, St. Übel-Straße 3b")).toEqual([
      'osolvaer',
      'st',
      'ubel',
      'strasse',
      '3b',
    ])
    expect(wordsIn(' – ')).toEqual([])
  })
})

describe('what lies between two marks', () => {
  it.each([
    ['nw24103', 'nw24103', 0],
    ['nw24103', 'nw24703', 1], // one sign mistaken
    ['nw24103', 'nw2413', 1], // one left out
    ['nw24103', 'nw241003', 1], // one too many
    ['nw24103', 'nw21403', 1], // two neighbours swapped
    ['nw24103', 'xw24107', 2],
    ['nw24103', 'wn21403', 2],
    ['', 'ab', 2],
    ['abcd', 'wxyz', 3], // four, but no more than two were asked for
  ])('%s and %s: %i', (one, other, slips) => {
    expect(slipsBetween(one, other, 2)).toBe(slips)
    expect(slipsBetween(other, one, 2)).toBe(slips)
  })

  it('is what a slow and plain reckoning says, for marks made at random', () => {
    let seed = 7
    const random = (below: number) => {
      seed = (seed * 1103515245 + 12345) % 2147483648
      return seed % below
    }
    const mark = () => Array.from({ length: 3 + random(5) }, () => 'ab1'[random(3)]).join('')
    let near = 0
    for (let round = 0; round < 2000; round++) {
      const [one, other] = [mark(), mark()]
      const slips = slipsBetween(one, other, 2)
      const plain = Math.min(plainly(one, other), 3)
      expect(slips, `${one} ${other}`).toBe(plain)
      if (slips < 3) near++
    }
    expect(near).toBeGreaterThan(300)
  })
})

describe('the keys of a mark', () => {
  it('leave out one sign each', () => {
    expect(withoutOne('abb')).toEqual(['bb', 'ab'])
    expect(withoutOne('a')).toEqual([''])
  })

  it('forgive nothing in the shortest, and two slips in a long one', () => {
    expect([3, 4, 7, 8].map(slipsForgiven)).toEqual([0, 1, 1, 2])
  })
})

/** By its definition, from the ends of both texts, without a table. */
function plainly(a: string, b: string): number {
  if (a === '' || b === '') return a.length + b.length
  const same = a.at(-1) === b.at(-1)
  const ways = [
    plainly(a.slice(0, -1), b) + 1,
    plainly(a, b.slice(0, -1)) + 1,
    plainly(a.slice(0, -1), b.slice(0, -1)) + (same ? 0 : 1),
  ]
  if (a.length > 1 && b.length > 1 && a.at(-1) === b.at(-2) && a.at(-2) === b.at(-1))
    ways.push(plainly(a.slice(0, -2), b.slice(0, -2)) + 1)
  return Math.min(...ways)
}
