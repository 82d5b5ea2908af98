// Do true-to-life jobs come out as a practitioner would say, told by programs and by filling in pages?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { aCast, type Cast } from '../support/cast.ts'
import { PageHands, ProgramHands } from './hands.ts'
import { stories, storiesOnPages, tellAll } from './telling.ts'

it('are at least twenty-five, ten of them through the pages', () => {
  expect(stories.length).toBeGreaterThanOrEqual(25)
  expect(storiesOnPages.length).toBeGreaterThanOrEqual(10)
})

describe('told by programs', () => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast('sqlite')
  })
  afterAll(() => cast.remove())
  tellAll(
    stories,
    () => cast,
    async (its) => new ProgramHands(await its.server()),
  )
})

describe('told by filling in the pages', () => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast('sqlite')
  })
  afterAll(() => cast.remove())
  tellAll(
    storiesOnPages,
    () => cast,
    async (its) => new PageHands(await its.server()),
  )
})
