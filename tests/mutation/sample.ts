// Which lines are changed in a run of the mutation tests that has to end in minutes? A fixed draw, the same each time.

import { readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { seededRandom } from '../trade/seeded-random.ts'

const LINES = 20
const root = fileURLToPath(new URL('../../', import.meta.url))

/** Blocks of twenty lines of every file of a folder, each drawn with the same chance: `file:from-to`. */
export function drawBlocks(folder: string, chance: number, seed: number): string[] {
  const random = seededRandom(seed)
  const drawn: string[] = []
  for (const file of readdirSync(`${root}${folder}`)
    .filter((name) => name.endsWith('.ts'))
    .sort()) {
    const length = readFileSync(`${root}${folder}/${file}`, 'utf8').split('\n').length
    for (let from = 1; from <= length; from += LINES)
      if (random.between(0, 1) < chance)
        drawn.push(`${folder}/${file}:${from}-${Math.min(from + LINES - 1, length)}`)
  }
  return drawn
}

const [folder = 'server/trade', chance = '1', seed = '1'] = process.argv.slice(2)
process.stdout.write(drawBlocks(folder, Number(chance), Number(seed)).join(','))
