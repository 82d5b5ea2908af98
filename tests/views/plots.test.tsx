// Do readings, criteria and axes stand where their numbers say?

import { describe, expect, it } from 'vitest'
import { curveGeometry, PLOT, placeLabels } from '../../views/parts/curve.tsx'
import { DecayPlot, type VacuumReading } from '../../views/parts/decay-plot.tsx'
import { PressurePlot } from '../../views/parts/pressure-plot.tsx'
import { drawn, numberOf, the, words } from './drawn.ts'

function decay(pressures: readonly number[]): VacuumReading[] {
  return pressures.map((pressure, minutes) => ({
    minutes,
    phase: 'decay',
    absolutePressure: pressure,
    pressureTyped: `${pressure} micron`,
    temperatureTyped: '21.5 °C',
    atWords: `15:0${minutes}`,
  }))
}

const limit = { value: 1500, label: 'limit 1500' }
const target = { value: 500, label: 'target 500 before isolating' }

describe('a decay', () => {
  const readings = decay([310, 380, 430, 470, 500, 525, 545, 560])
  const root = drawn(
    <DecayPlot
      id="d"
      title="Decay of Hall"
      unit="micron"
      readings={readings}
      target={target}
      limit={limit}
      longEnough={{ minutes: 10, label: '10 min' }}
      verdict="Tight."
      fitted={{
        label: 'saturating curve',
        points: [
          { minutes: 0, absolutePressure: 310 },
          { minutes: 7, absolutePressure: 560 },
        ],
      }}
    />,
  )
  const place = curveGeometry({
    x: { label: '' },
    y: { label: '', fromZero: true },
    readings: readings.map((one) => ({ x: one.minutes, y: one.absolutePressure })),
    criteria: [
      { ...limit, kind: 'limit' },
      { ...target, kind: 'target' },
    ],
    moments: [{ x: 10, label: '10 min' }],
  })

  it('has round ticks from nothing to above the limit', () => {
    expect(root.querySelectorAll('.tick-y').map((tick) => numberOf(tick, 'data-value'))).toEqual([
      0, 500, 1000, 1500, 2000,
    ])
    expect(root.querySelectorAll('.tick-y text').map(words)).toEqual(['0', '500', '1 000', '1 500', '2 000'])
    expect(root.querySelectorAll('.tick-x').map((tick) => numberOf(tick, 'data-value'))).toEqual([
      0, 2, 4, 6, 8, 10,
    ])
  })

  it('draws each criterion at its value, across the whole plot', () => {
    for (const [selector, value] of [
      ['.curve-limit', 1500],
      ['.curve-target', 500],
    ] as const) {
      const line = the(root, `path${selector}`)
      expect(numberOf(line, 'data-criterion')).toBe(value)
      expect(line.getAttribute('d')).toBe(`M${place.left} ${place.y(value).toFixed(1)}H${PLOT.right}`)
    }
    expect([place.y(0), place.y(2000)]).toEqual([PLOT.bottom, PLOT.top])
    expect([place.x(0), place.x(10)]).toEqual([place.left, PLOT.right])
    expect(place.y(500) - place.y(1500)).toBeCloseTo(((PLOT.bottom - PLOT.top) * 1000) / 2000, 6)
  })

  it('draws each reading at its minute and pressure', () => {
    const circles = root.querySelectorAll('.curve-plot .curve-reading circle')
    expect(circles).toHaveLength(8)
    circles.forEach((circle, i) => {
      expect(numberOf(circle, 'cx')).toBeCloseTo(place.x(readings[i]?.minutes ?? 0), 1)
      expect(numberOf(circle, 'cy')).toBeCloseTo(place.y(readings[i]?.absolutePressure ?? 0), 1)
    })
  })

  it('the fitted curve begins and ends with its own points', () => {
    const path = the(root, '.curve-plot [data-part="fitted"]').getAttribute('d') ?? ''
    expect(path).toMatch(new RegExp(`^M${place.x(0).toFixed(0)},${place.y(310).toFixed(1)}`))
    expect(path).toContain(`,${place.y(560).toFixed(1)}`)
  })

  it('names its axes with their units', () => {
    expect(root.querySelectorAll('.curve-name').map(words)).toEqual([
      'absolute pressure, micron',
      'minutes since isolated',
    ])
  })

  it('says in title and description what it shows', () => {
    const svg = the(root, '.curve-plot')
    expect(svg.getAttribute('aria-labelledby')).toBe('d-title d-desc')
    expect(words(the(root, '#d-title'))).toBe('Decay of Hall')
    expect(words(the(root, '#d-desc'))).toBe(
      'From 310 micron to 560 micron in 7 minutes, 8 readings. limit 1500. target 500 before isolating. Tight.',
    )
  })

  it('has a table of the same numbers, as typed', () => {
    const rows = root.querySelectorAll('tbody tr').map((row) => row.querySelectorAll('td').map(words))
    expect(rows).toHaveLength(8)
    expect(rows[3]).toEqual(['3', '15:03', 'isolated', '470 micron', '21.5 °C'])
  })
})

describe('few readings', () => {
  it('one reading is drawn, and the axis shows the time to come', () => {
    const root = drawn(<DecayPlot id="o" title="Decay" unit="micron" readings={decay([310])} limit={limit} />)
    expect(root.querySelectorAll('.curve-plot .curve-reading')).toHaveLength(1)
    expect(root.querySelectorAll('.tick-x').map((tick) => numberOf(tick, 'data-value'))).toEqual([
      0, 2, 4, 6, 8, 10,
    ])
    expect(words(the(root, '#o-desc'))).toBe('One reading: 310 micron. limit 1500.')
    expect(root.toString()).not.toContain('NaN')
  })

  it('no reading is said in words', () => {
    const root = drawn(<DecayPlot id="n" title="Decay" unit="micron" readings={[]} />)
    expect(words(the(root, '#n-desc'))).toBe('No reading since it was isolated.')
    expect(root.toString()).not.toMatch(/NaN|Infinity/)
  })

  it('equal readings make no empty axis', () => {
    const root = drawn(<DecayPlot id="e" title="Decay" unit="Pa" readings={decay([40, 40, 40])} />)
    expect(root.toString()).not.toMatch(/NaN|Infinity/)
  })
})

describe('the whole evacuation', () => {
  it('has one tick for each power of ten and marks what was not judged', () => {
    const root = drawn(
      <DecayPlot
        id="w"
        title="Evacuation"
        unit="micron"
        wholeRun
        readings={[
          { minutes: -40, phase: 'pull', absolutePressure: 760000, pressureTyped: '760000 micron' },
          { minutes: -1, phase: 'pull', absolutePressure: 305, pressureTyped: '305 micron' },
          ...decay([310, 400]),
        ]}
      />,
    )
    expect(root.querySelectorAll('.tick-y text').map(words)).toEqual([
      '100',
      '1 000',
      '10 000',
      '100 000',
      '1 000 000',
    ])
    const ys = root
      .querySelectorAll('.tick-y path')
      .map((path) => Number(/ ([\d.]+)H/.exec(path.getAttribute('d') ?? '')?.[1]))
    const steps = ys.slice(1).map((y, i) => (ys[i] ?? 0) - y)
    for (const step of steps) expect(step).toBeCloseTo((PLOT.bottom - PLOT.top) / 4, 0)
    expect(root.querySelectorAll('.curve-plot .curve-reading-before')).toHaveLength(2)
    expect(root.querySelectorAll('.curve-plot .curve-reading-judged')).toHaveLength(2)
  })
})

describe('a pressure hold', () => {
  const readings = [
    { minutes: -5, stage: 'raise' as const, gaugePressure: 4.17, pressureTyped: '4.17 MPa' },
    {
      minutes: 10,
      stage: 'hold' as const,
      gaugePressure: 4.15,
      pressureTyped: '4.15 MPa',
      uncertainty: 0.02,
    },
    { minutes: 75, stage: 'hold' as const, gaugePressure: 4.1, pressureTyped: '4.10 MPa', uncertainty: 0.02 },
  ]
  const expected = [
    { minutes: 10, low: 4.13, high: 4.17 },
    { minutes: 75, low: 4.08, high: 4.13 },
  ]

  it('shows the band that the temperature alone would make, between its own bounds', () => {
    const root = drawn(
      <PressurePlot id="p" title="Test" unit="MPa" readings={readings} expected={expected} />,
    )
    const place = curveGeometry({
      x: { label: '' },
      y: { label: '' },
      readings: readings
        .slice(1)
        .map((one) => ({ x: one.minutes, y: one.gaugePressure, uncertainty: one.uncertainty })),
      band: { label: '', points: expected.map((one) => ({ x: one.minutes, low: one.low, high: one.high })) },
    })
    const band = the(root, '.curve-plot [data-part="band"]').getAttribute('d') ?? ''
    for (const one of expected) {
      expect(band).toContain(`,${Number(place.y(one.low).toFixed(1))}`)
      expect(band).toContain(`,${Number(place.y(one.high).toFixed(1))}`)
    }
    expect(words(the(root, '.curve-legend'))).toContain('what the temperature alone would make')
  })

  it('leaves raising out of the picture once the hold began, and keeps it in the table', () => {
    const root = drawn(<PressurePlot id="p" title="Test" unit="MPa" readings={readings} />)
    expect(root.querySelectorAll('.curve-plot .curve-reading')).toHaveLength(2)
    expect(root.querySelectorAll('.curve-plot .curve-whisker')).toHaveLength(2)
    expect(root.querySelectorAll('tbody tr')).toHaveLength(3)
    const whole = drawn(<PressurePlot id="p" title="Test" unit="MPa" readings={readings} wholeRun />)
    expect(whole.querySelectorAll('.curve-plot .curve-reading')).toHaveLength(3)
  })

  it('marks when the hold is long enough', () => {
    const root = drawn(
      <PressurePlot
        id="p"
        title="Test"
        unit="MPa"
        readings={readings}
        longEnough={{ minutes: 60, label: '60 min' }}
      />,
    )
    expect(numberOf(the(root, '.curve-moment'), 'data-x')).toBe(60)
  })
})

describe('words in a plot', () => {
  const plot = { left: 40 }

  it('move to the side where no readings are', () => {
    const readings = Array.from({ length: 30 }, (_, i) => ({ x: 200 + i * 5, y: 95 }))
    const [label] = placeLabels([{ text: 'target 500', at: 100 }], plot, readings)
    expect(label?.y).toBeGreaterThan(100)
  })

  it('of two close lines do not lie upon each other', () => {
    const [a, b] = placeLabels(
      [
        { text: 'limit 4.30', at: 100 },
        { text: 'test pressure 4.15', at: 104 },
      ],
      plot,
      [],
    )
    const apart = Math.abs((a?.y ?? 0) - (b?.y ?? 0)) >= 13 || a?.anchor !== b?.anchor
    expect(apart).toBe(true)
  })
})
