// Is every joint drawn where it is, said in words, and far enough from the next to be tapped with a glove?

import type { HTMLElement } from 'node-html-parser'
import { describe, expect, it } from 'vitest'
import { type SampleSet, sampleLineSets } from '../../views/gallery.tsx'
import { type JointState, jointStateWords } from '../../views/parts/mark.tsx'
import { layOutStrip, PipeStrip, type PipeStripProps, STRIP, sumUp } from '../../views/parts/pipe-strip.tsx'
import { drawn, numberOf, the, words } from './drawn.ts'

const ROOMS = ['Hall', 'Nursery', 'Kitchen', 'Attic', 'Study', 'Workshop', 'Larder', 'Landing'] as const
const done: readonly JointState[] = ['done', 'done', 'done', 'done']

function strip(sets: readonly SampleSet[], rest: Partial<PipeStripProps> = {}): PipeStripProps {
  return {
    label: 'System SM9',
    outdoor: { name: 'Outdoor, yard' },
    lineSets: sampleLineSets(sets, 'SM9'),
    ...rest,
  }
}

function tapAreas(root: HTMLElement) {
  return root.querySelectorAll('.ps-tap').map((rect) => ({
    left: numberOf(rect, 'x'),
    top: numberOf(rect, 'y'),
    right: numberOf(rect, 'x') + numberOf(rect, 'width'),
    bottom: numberOf(rect, 'y') + numberOf(rect, 'height'),
  }))
}

function overlaps(areas: ReturnType<typeof tapAreas>): string[] {
  const found: string[] = []
  areas.forEach((a, i) => {
    areas.slice(i + 1).forEach((b, j) => {
      const apart =
        a.right <= b.left + 0.01 ||
        b.right <= a.left + 0.01 ||
        a.bottom <= b.top + 0.01 ||
        b.bottom <= a.top + 0.01
      if (!apart) found.push(`${i} and ${i + 1 + j}`)
    })
  })
  return found
}

const SHAPES: Record<JointState, string> = {
  'not-begun': 'ring',
  begun: 'half-ring',
  done: 'disc-tick',
  refused: 'box-cross',
  stale: 'diamond-bar',
  factory: 'sleeve',
  retired: 'broken-ring',
}

describe('the marks', () => {
  it.each(Object.entries(SHAPES) as [JointState, string][])(
    '%s is said by its own shape and by its word',
    (state, shape) => {
      const root = drawn(
        <PipeStrip {...strip([{ name: 'Hall', states: [state, 'done', 'done', 'done'] }])} />,
      )
      const joint = the(root, '[data-joint="j1"]')
      expect(the(joint, '.mark').getAttribute('data-shape')).toBe(shape)
      expect(joint.getAttribute('aria-label')).toBe(
        `SM9-1, Hall, outdoor end, liquid line: ${jointStateWords()[state]}`,
      )
      expect(words(the(root, '.ps-legend'))).toContain(jointStateWords()[state])
    },
  )

  it('has no two states with one shape', () => {
    expect(new Set(Object.values(SHAPES)).size).toBe(Object.keys(jointStateWords()).length)
  })

  it('the legend names only what is drawn', () => {
    const root = drawn(<PipeStrip {...strip([{ name: 'Hall', states: done }])} />)
    expect(words(the(root, '.ps-legend'))).toBe('done')
  })

  it('the joint of the page wears a ring and says so', () => {
    const props = strip([], { lineSets: sampleLineSets([{ name: 'Hall', states: done }], 'SM9', 'SM9-3') })
    const root = drawn(<PipeStrip {...props} />)
    const joint = the(root, '[data-joint="j3"]')
    expect(joint.getAttribute('aria-current')).toBe('true')
    expect(joint.querySelectorAll('.ps-current')).toHaveLength(1)
    expect(root.querySelectorAll('.ps-row .ps-current')).toHaveLength(1)
    expect(words(the(root, '[data-text-joint="j3"]'))).toContain('(this joint)')
  })
})

describe('where things are', () => {
  it('liquid is drawn above gas, the outdoor end left of the indoor end', () => {
    const [row] = layOutStrip(strip([{ name: 'Hall', states: done }])).rows
    expect(row?.liquidY).toBeLessThan(row?.gasY ?? 0)
    const x = new Map(row?.joints.map((placed) => [placed.joint.id, placed.x]))
    expect(x.get('j1')).toBe(x.get('j2'))
    expect(x.get('j3')).toBe(x.get('j4'))
    expect(x.get('j1')).toBeLessThan(x.get('j3') ?? 0)
  })

  it('a coupling lies on the pipe between the ends, in its own place', () => {
    const [row] = layOutStrip(strip([{ name: 'Hall', states: done, couplings: 1 }])).rows
    const coupling = row?.joints.find((placed) => placed.joint.place === 'coupling 1')
    const ends =
      row?.joints
        .filter((placed) => placed.joint.line === 'gas' && placed !== coupling)
        .map((placed) => placed.x) ?? []
    expect(coupling?.y).toBe(row?.gasY)
    expect(coupling?.x).toBeCloseTo(((ends[0] ?? 0) + (ends[1] ?? 0)) / 2, 0)
  })

  it('ports and caps stand off the pipe', () => {
    const [row] = layOutStrip(strip([{ name: 'Hall', states: done, ports: true }])).rows
    const ports = row?.joints.filter((placed) => placed.joint.onStub === true) ?? []
    expect(ports).toHaveLength(3)
    for (const port of ports) expect(port.y).not.toBe(port.pipeY)
  })
})

describe('tap areas', () => {
  const zones = Array.from({ length: 8 }, (_, i) => i + 1)

  it.each(zones)('with %i line sets none overlaps another', (count) => {
    const sets = ROOMS.slice(0, count).map((name) => ({ name, states: done }))
    const areas = tapAreas(drawn(<PipeStrip {...strip(sets)} />))
    expect(areas).toHaveLength(count * 4)
    expect(overlaps(areas)).toEqual([])
  })

  it.each(zones)('with %i line sets full of couplings and ports none overlaps another', (count) => {
    const sets = ROOMS.slice(0, count).map((name, i) => ({
      name,
      states: done,
      couplings: 1 + (i % 6),
      ports: true,
    }))
    const areas = tapAreas(drawn(<PipeStrip {...strip(sets)} />))
    expect(areas).toHaveLength(sets.reduce((sum, set) => sum + 4 + set.couplings + 3, 0))
    expect(overlaps(areas)).toEqual([])
  })

  it('all stay inside the drawing', () => {
    const sets = ROOMS.map((name) => ({ name, states: done, couplings: 5, ports: true }))
    const root = drawn(<PipeStrip {...strip(sets)} />)
    const [, , width, height] = (the(root, 'svg.pipe-strip-full').getAttribute('viewBox') ?? '')
      .split(' ')
      .map(Number)
    for (const area of tapAreas(root)) {
      expect(area.left).toBeGreaterThanOrEqual(0)
      expect(area.right).toBeLessThanOrEqual(width ?? 0)
      expect(area.top).toBeGreaterThanOrEqual(0)
      expect(area.bottom).toBeLessThanOrEqual(height ?? 0)
    }
  })

  it('lie between the units, on their own pipe', () => {
    const sets = ROOMS.map((name, i) => ({ name, states: done, couplings: i, ports: i % 2 === 0 }))
    const { rows } = layOutStrip(strip(sets))
    for (const row of rows) {
      for (const placed of row.joints) {
        expect(placed.x - STRIP.tap / 2).toBeGreaterThanOrEqual(row.from - 0.01)
        expect(placed.x + STRIP.tap / 2).toBeLessThanOrEqual(row.gasTo + 0.01)
      }
    }
  })

  it('are 44 pixels on a phone 360 pixels wide, inside a bordered sheet', () => {
    const drawnWidth = 360 - 2 * 12 - 2 * (12 + 1)
    const scale = drawnWidth / STRIP.width
    expect(STRIP.tap * scale).toBeGreaterThanOrEqual(44)
    expect(STRIP.gap * scale).toBeGreaterThanOrEqual(44)
  })

  it('two joints entered at one place are still drawn apart', () => {
    const [set] = sampleLineSets([{ name: 'Hall', states: done }], 'SM9')
    if (set === undefined) throw new Error('no line set')
    const lineSet = { ...set, joints: set.joints.map((joint) => ({ ...joint, at: 0.5 })) }
    expect(overlaps(tapAreas(drawn(<PipeStrip {...strip([], { lineSets: [lineSet] })} />)))).toEqual([])
  })
})

describe('many line sets', () => {
  const sets = ROOMS.map((name) => ({ name, states: done }))

  it('are drawn close: eight take little more room than four', () => {
    const four = layOutStrip(strip(sets.slice(0, 4)))
    const eight = layOutStrip(strip(sets))
    expect(four.rows.every((row) => !row.close)).toBe(true)
    expect(eight.rows.every((row) => row.close)).toBe(true)
    expect(eight.height).toBeLessThan(four.height * 1.25)
  })

  it('keep both pipes, each mark on its own, and a place of its own along the pair', () => {
    for (const row of layOutStrip(strip(sets.map((set) => ({ ...set, ports: true })))).rows) {
      expect(row.gasY).toBeGreaterThan(row.liquidY)
      const onPipe = row.joints.filter((placed) => placed.lane === 0)
      for (const { joint, y } of onPipe) expect(y).toBe(joint.line === 'liquid' ? row.liquidY : row.gasY)
      expect(new Set(onPipe.map(({ x }) => x)).size).toBe(4)
      expect(row.joints.filter((placed) => placed.lane > 0)).toHaveLength(3)
    }
  })

  it('say their sizes in the unit, and whatever finds no room there in the text', () => {
    const root = drawn(<PipeStrip {...strip(sets)} />)
    const [unit] = root.querySelectorAll('.ps-pipes')
    expect(words(unit as HTMLElement)).toMatch(/^Hall\s?\S+ · \S+/)
    expect(words(the(root, '.ps-text'))).toContain('liquid')
    expect(root.querySelectorAll('[data-text-joint]')).toHaveLength(32)
  })

  it('with more couplings than find room along the pair are drawn as ever', () => {
    const rows = layOutStrip(strip(sets.map((set, i) => ({ ...set, couplings: i === 2 ? 3 : 0 })))).rows
    expect(rows.map((row) => row.close)).toEqual([true, true, false, true, true, true, true, true])
  })
})

describe('branch units', () => {
  const branches = [
    { id: 'b1', name: 'Branch box, landing' },
    { id: 'b2', name: 'Branch box, loft' },
  ]
  const sets: readonly SampleSet[] = [
    { name: 'Trunk one', states: done, to: 'b1' },
    { name: 'Kitchen', states: done },
    { name: 'Bedroom', states: done, from: 'b1', couplings: 2 },
    { name: 'Trunk two', states: done, from: 'b1', to: 'b2' },
    { name: 'Loft', states: done, from: 'b2', couplings: 3, ports: true },
  ]
  const props = strip(sets, { branches })

  it('a line set hangs below the branch unit it comes from, further in', () => {
    const { rows, boxes } = layOutStrip(props)
    expect(rows.map((row) => [row.lineSet.name, row.depth])).toEqual([
      ['Trunk one', 0],
      ['Bedroom', 1],
      ['Trunk two', 1],
      ['Loft', 2],
      ['Kitchen', 0],
    ])
    expect(boxes.map((box) => box.name)).toEqual(['Outdoor, yard', 'Branch box, landing', 'Branch box, loft'])
    const [outdoor, landing, loft] = boxes
    expect(landing?.top).toBeGreaterThan(rows[0]?.bottom ?? 0)
    expect(loft?.x).toBeGreaterThan(landing?.x ?? 0)
    expect(outdoor?.bottom).toBeGreaterThan(landing?.bottom ?? 0)
  })

  it('the pipes of a trunk turn down into the branch unit without crossing', () => {
    const { rows, boxes } = layOutStrip(props)
    const [trunk] = rows
    expect(trunk?.bandTop).toBe(boxes[1]?.band?.y)
    expect(trunk?.liquidTo).toBeGreaterThan(trunk?.gasTo ?? 0)
  })

  it('tap areas still do not overlap', () => {
    expect(overlaps(tapAreas(drawn(<PipeStrip {...props} />)))).toEqual([])
  })

  it('a branch unit without a line set to it is drawn all the same', () => {
    const { boxes, rows } = layOutStrip(strip([{ name: 'Loft', states: done, from: 'b2' }], { branches }))
    expect(boxes.map((box) => box.name)).toContain('Branch box, loft')
    expect(rows).toHaveLength(1)
  })

  it('units that feed each other in a ring do not hang the drawing', () => {
    const ring = strip(
      [
        { name: 'There', states: done, from: 'b1', to: 'b2' },
        { name: 'Back', states: done, from: 'b2', to: 'b1' },
      ],
      { branches },
    )
    expect(layOutStrip(ring).rows).toHaveLength(2)
  })

  it('a line set from an unknown unit is drawn from the outdoor unit', () => {
    expect(layOutStrip(strip([{ name: 'Hall', states: done, from: 'gone' }])).rows[0]?.depth).toBe(0)
  })
})

describe('as text', () => {
  const sets: readonly SampleSet[] = [
    { name: 'Hall', states: ['done', 'stale', 'refused', 'begun'], couplings: 1 },
    { name: 'Attic', states: done },
  ]

  it('reads each line set from the outdoor end, the liquid line before the gas line', () => {
    const root = drawn(<PipeStrip {...strip(sets)} />)
    const order = root
      .querySelectorAll('[data-text-joint]')
      .map((item) => item.getAttribute('data-text-joint'))
    expect(order).toEqual(['j1', 'j3', 'j2', 'j5', 'j4', 'j6', 'j8', 'j7', 'j9'])
    expect(root.querySelectorAll('a.ps-joint').map((link) => link.getAttribute('data-joint'))).toEqual(order)
  })

  it('says tag, place, line, state and what there is to say', () => {
    const root = drawn(<PipeStrip {...strip(sets)} />)
    expect(words(the(root, '[data-text-joint="j3"]'))).toBe(
      'SM9-3, indoor end, liquid line: refused, torque 19.0 N·m, above 14–18',
    )
  })

  it('sums up in the label of the drawing', () => {
    expect(sumUp(strip(sets))).toBe(
      '2 line sets, 9 joints: 1 begun, 5 done, 1 refused, 1 changed after the test, 1 made in the factory',
    )
    expect(sumUp({ outdoor: { name: 'x' }, lineSets: [] })).toBe('0 line sets, no joints yet')
  })

  it('is there for those who do not see the drawing even where room is short', () => {
    const root = drawn(<PipeStrip {...strip(sets)} caption="hidden" />)
    const caption = the(root, 'figcaption')
    expect(caption.getAttribute('class')).toBe('vh')
    expect(caption.querySelectorAll('[data-text-joint]')).toHaveLength(9)
    expect(caption.querySelectorAll('a')).toHaveLength(0)
  })

  it('the small picture is one image with the sum as its name and nothing to tap', () => {
    const root = drawn(<PipeStrip {...strip(sets)} size="small" />)
    expect(the(root, 'svg').getAttribute('role')).toBe('img')
    expect(the(root, 'svg').getAttribute('aria-label')).toContain('9 joints')
    expect(root.querySelectorAll('a, text')).toHaveLength(0)
    expect(root.querySelectorAll('.mark')).toHaveLength(9)
  })

  it('without links the drawing is an image, with links a group', () => {
    const [set] = sampleLineSets([{ name: 'Hall', states: done }], 'SM9')
    if (set === undefined) throw new Error('no line set')
    const bare = { ...set, joints: set.joints.map(({ href: _href, ...joint }) => joint) }
    expect(the(drawn(<PipeStrip {...strip([], { lineSets: [bare] })} />), 'svg').getAttribute('role')).toBe(
      'img',
    )
    expect(the(drawn(<PipeStrip {...strip([], { lineSets: [set] })} />), 'svg').getAttribute('role')).toBe(
      'group',
    )
  })

  it('long names and tags are cut in the drawing and whole in the text', () => {
    const [set] = sampleLineSets(
      [{ name: 'Conservatory behind the old laundry', states: done }],
      'SUPERLONGTAG',
    )
    if (set === undefined) throw new Error('no line set')
    const root = drawn(<PipeStrip {...strip([], { lineSets: [set] })} />)
    for (const text of root.querySelectorAll('.ps-tag')) expect(words(text).length).toBeLessThanOrEqual(9)
    for (const text of root.querySelectorAll('.ps-pipes .ps-name'))
      expect(words(text).length).toBeLessThanOrEqual(12)
    expect(words(the(root, '.ps-text'))).toContain('Conservatory behind the old laundry')
    expect(words(the(root, '.ps-text'))).toContain('SUPERLONGTAG-1')
  })
})
