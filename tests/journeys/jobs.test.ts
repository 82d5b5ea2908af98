// Do true-to-life jobs come out as a practitioner would say, by program and by page, on both databases?

import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { aCast, type Cast } from '../support/cast.ts'
import type { StoreKind } from '../support/stores.ts'
import { PageHands, ProgramHands } from './hands.ts'
import { stories, storiesOnPages, tellAll } from './telling.ts'

it('are at least twenty-five, ten of them through the pages', () => {
  expect(stories.length).toBeGreaterThanOrEqual(25)
  expect(storiesOnPages.length).toBeGreaterThanOrEqual(10)
})

describe.each(['sqlite', 'pglite'] as StoreKind[])('told by programs on %s', (kind) => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast(kind)
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
