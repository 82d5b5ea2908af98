// What do the demo's photos show? Drawn gauge faces with the very figures that were read, plates and joints; no text, no font.

import { attachPhoto } from '../server/commands/photos/attach-photo.ts'
import { Upload } from '../server/commands/photos/picture.ts'
import type { EvidencePhoto } from '../server/rules/policy.ts'
import { hashOf } from '../server/store/files.ts'
import { listEvacuations, listPressureTests } from '../server/store/queries/section-tests.ts'
import type { Scope } from '../server/store/store.ts'
import { fromPascals } from '../server/trade/units.ts'
import type { PhotoSubjectKind } from '../server/vocabulary.ts'
import { type Hands, iso, MINUTE } from './hands.ts'
import type { Laid } from './work.ts'

interface Shot {
  shows: EvidencePhoto
  subjectKind: PhotoSubjectKind
  subjectId: string
  takenAt: number
  drawing: string
}

/** Every photo that the built-in criteria ask for, of one finished system. */
export async function takePhotos(hands: Hands, laid: Laid, scope: Scope): Promise<void> {
  const shots: Shot[] = []
  const add = (shows: EvidencePhoto, subject: [PhotoSubjectKind, string], takenAt: number, drawing: string) =>
    shots.push({ shows, subjectKind: subject[0], subjectId: subject[1], takenAt, drawing })
  const test = (await listPressureTests(scope, [laid.systemId])).get(laid.systemId)?.at(-1)
  const hold = test?.readings.filter(({ stage }) => stage === 'hold') ?? []
  const [first, last] = [hold[0], hold.at(-1)]
  const { pressure } = hands.typing
  if (test && first && last) {
    const of: [PhotoSubjectKind, string] = ['pressure-test', test.id]
    const face = (pascals: number) => gaugeFace(fromPascals(pascals, pressure), pascals / 6e6)
    add('gauge-at-start', of, first.at, face(first.gaugePressurePa))
    add('gauge-at-end', of, last.at, face(last.gaugePressurePa))
  }
  const vacuum = (await listEvacuations(scope, [laid.systemId])).get(laid.systemId)?.at(-1)
  const decay = vacuum?.readings.filter(({ phase }) => phase === 'decay') ?? []
  const [isolated, ended] = [decay[0], decay.at(-1)]
  if (vacuum && isolated && ended) {
    const of: [PhotoSubjectKind, string] = ['evacuation', vacuum.id]
    const face = (pascals: number) => gaugeFace(Math.round(fromPascals(pascals, 'micron')), pascals / 300)
    add('vacuum-at-isolation', of, isolated.at, face(isolated.absolutePressurePa))
    add('vacuum-at-end', of, ended.at, face(ended.absolutePressurePa))
  }
  const system: [PhotoSubjectKind, string] = ['system', laid.systemId]
  add('unit-plates', system, hands.clock.now, plate())
  add('indoor-joints', system, hands.clock.now, joints())
  const { default: sharp } = await import('sharp')
  for (const { drawing, takenAt, ...shot } of shots) {
    const bytes = await sharp(Buffer.from(drawing)).png().toBuffer()
    await hands.run(hands.by, attachPhoto, {
      ...shot,
      jobId: laid.jobId,
      takenAt: iso(takenAt),
      picture: new Upload(bytes, hashOf(bytes)),
    })
    hands.clock.pass(MINUTE)
  }
}

const picture = (inside: string, ground: string) =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="960" height="720"><rect width="960" height="720" fill="${ground}"/>${inside}</svg>`

/** A dial with its hand at a part of the scale, and the figure below it in lit bars. */
function gaugeFace(value: number, part: number): string {
  const turn = (fraction: number) => ((-225 + 270 * Math.min(1, Math.max(0, fraction))) * Math.PI) / 180
  const point = (fraction: number, radius: number) =>
    `${(480 + radius * Math.cos(turn(fraction))).toFixed(1)} ${(300 + radius * Math.sin(turn(fraction))).toFixed(1)}`
  const ticks = Array.from({ length: 31 }, (_, index) => {
    const from = index % 5 === 0 ? 196 : 212
    return `M${point(index / 30, from)}L${point(index / 30, 228)}`
  }).join('')
  const size = Math.abs(value)
  const figure = value.toFixed(size >= 100 ? 0 : 2)
  return picture(
    `<circle cx="480" cy="300" r="262" fill="#8a8f94"/><circle cx="480" cy="300" r="244" fill="#f4f1e8"/>
     <path d="${ticks}" stroke="#1f2428" stroke-width="5"/>
     <path d="M480 300L${point(part, 204)}" stroke="#a4471f" stroke-width="9" stroke-linecap="round"/>
     <circle cx="480" cy="300" r="17" fill="#1f2428"/>
     <rect x="250" y="586" width="460" height="116" rx="12" fill="#10231a"/>${digits(figure)}`,
    '#5c6670',
  )
}

/** Which of the seven bars of a figure are lit: top, upper right, lower right, bottom, lower left, upper left, middle. */
const BARS: Record<string, string> = {
  '0': '123456',
  '1': '23',
  '2': '12457',
  '3': '12347',
  '4': '2367',
  '5': '13467',
  '6': '134567',
  '7': '123',
  '8': '1234567',
  '9': '123467',
  '-': '7',
}
const BAR_PATHS = ['M4 0H36', 'M40 4V36', 'M40 44V76', 'M4 80H36', 'M0 44V76', 'M0 4V36', 'M4 40H36']

function digits(figure: string): string {
  const wide = [...figure].reduce((sum, sign) => sum + (sign === '.' ? 22 : 62), 0) - 22
  let x = 480 - wide / 2
  let drawn = ''
  for (const sign of figure) {
    if (sign === '.') {
      drawn += `<circle cx="${x - 2}" cy="684" r="6" fill="#9dffb0"/>`
      x += 22
      continue
    }
    const path = [...(BARS[sign] ?? '')].map((bar) => BAR_PATHS[Number(bar) - 1]).join('')
    drawn += `<path d="${path}" transform="translate(${x} 604)" fill="none" stroke="#9dffb0" stroke-width="8" stroke-linecap="round"/>`
    x += 62
  }
  return drawn
}

/** A unit's plate as a camera sees it from too far away: rows that are there and can't be read. */
function plate(): string {
  const rows = [460, 380, 520, 300, 440, 410, 350].map(
    (width, row) =>
      `<rect x="190" y="${196 + row * 52}" width="${width}" height="18" rx="4" fill="#3a4046"/>`,
  )
  return picture(
    `<rect x="140" y="130" width="680" height="470" rx="18" fill="#dfe2e4" stroke="#8a8f94" stroke-width="6"/>${rows.join('')}
     <circle cx="166" cy="156" r="9" fill="#8a8f94"/><circle cx="794" cy="156" r="9" fill="#8a8f94"/>`,
    '#b9c0c5',
  )
}

/** Two bare joints before insulation: tube, nut, union, for the thin and the thick line. */
function joints(): string {
  const joint = (y: number, tube: number, nut: number) =>
    `<rect x="0" y="${y - tube / 2}" width="430" height="${tube}" fill="#b9733f"/>
     <path d="M430 ${y - nut / 2}h120l26 14v${nut - 28}l-26 14h-120z" fill="#c9a24a"/>
     <path d="M430 ${y - nut / 6}h146M430 ${y + nut / 6}h146" stroke="#8d6f2b" stroke-width="4"/>
     <rect x="576" y="${y - tube / 2 - 6}" width="384" height="${tube + 12}" fill="#a98a3c"/>`
  return picture(joint(250, 44, 130) + joint(490, 72, 180), '#e6e0d2')
}
