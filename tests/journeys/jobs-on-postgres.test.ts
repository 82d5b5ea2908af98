// Do the same jobs come out the same on PostgreSQL? Apart, so that both databases are asked at the same time.

import { afterAll, beforeAll, describe } from 'vitest'
import { aCast, type Cast } from '../support/cast.ts'
import { ProgramHands } from './hands.ts'
import { stories, tellAll } from './telling.ts'

describe('told by programs on an embedded PostgreSQL', () => {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast('pglite')
  })
  afterAll(() => cast.remove())
  tellAll(
    stories,
    () => cast,
    async (its) => new ProgramHands(await its.server()),
  )
})
