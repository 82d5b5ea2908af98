// Do steps, findings, judged numbers and the small parts say what is so, by word and by shape?

import { describe, expect, it } from 'vitest'
import { Caution } from '../../views/parts/caution.tsx'
import { Clock, elapsed } from '../../views/parts/clock.tsx'
import { Empty } from '../../views/parts/empty.tsx'
import { type FindingItem, FindingList } from '../../views/parts/finding-list.tsx'
import { Flash } from '../../views/parts/flash.tsx'
import { JudgedNumber, RANGE_BAR, rangeGeometry, rangeWords } from '../../views/parts/judged-number.tsx'
import { type FindingOutcome, OutcomeMark, outcomeWords } from '../../views/parts/mark.tsx'
import { Pager } from '../../views/parts/pager.tsx'
import { Stage } from '../../views/parts/stage.tsx'
import { type StepItem, Steps } from '../../views/parts/steps.tsx'
import { Tag } from '../../views/parts/tag.tsx'
import { formatWhen, ReaderZone, When } from '../../views/parts/when.tsx'
import { drawn, numberOf, the, words } from './drawn.ts'

describe('a judged number', () => {
  const torque = {
    value: '38.40',
    unit: 'N·m',
    at: 38.4,
    low: 34,
    high: 42,
    uncertainty: 1.5,
    verdict: 'In range',
    outcome: 'met' as const,
  }

  it('shows the value exactly as typed, and says range, uncertainty and verdict', () => {
    const root = drawn(<JudgedNumber {...torque} also="28.3 ft·lbf" source="equipment sheet, page 12" />)
    expect(words(the(root, '.judged-value'))).toBe('38.40 N·m')
    expect(words(the(root, '.judged-words'))).toBe(
      'In range. Wanted 34–42 N·m (equipment sheet, page 12); it lies between 36.9 and 39.9',
    )
    expect(the(root, '.range-bar').getAttribute('aria-label')).toBe(
      '38.40 N·m, wanted 34–42 N·m; between 36.9 and 39.9 when its uncertainty is counted; In range',
    )
  })

  it('stands between the bounds in proportion, the range in the middle half', () => {
    const { low, high, tick, whisker } = rangeGeometry(torque)
    const width = RANGE_BAR.right - RANGE_BAR.left
    expect(low).toBeCloseTo(RANGE_BAR.left + width / 4, 6)
    expect(high).toBeCloseTo(RANGE_BAR.right - width / 4, 6)
    expect((tick - (low ?? 0)) / ((high ?? 0) - (low ?? 0))).toBeCloseTo((38.4 - 34) / 8, 6)
    expect(((whisker?.from ?? 0) + (whisker?.to ?? 0)) / 2).toBeCloseTo(tick, 6)
    const root = drawn(<JudgedNumber {...torque} />)
    expect(numberOf(the(root, '.rb-value'), 'data-x')).toBeCloseTo(tick, 1)
  })

  it('far outside stands at the end of the bar with an arrow', () => {
    const far = { ...torque, value: '190', at: 190, verdict: 'Far above', outcome: 'failed' as const }
    expect(rangeGeometry(far)).toMatchObject({ tick: RANGE_BAR.right, off: 'above' })
    expect(rangeGeometry({ ...far, at: -5 })).toMatchObject({ tick: RANGE_BAR.left, off: 'below' })
    expect(drawn(<JudgedNumber {...far} />).querySelectorAll('.rb-off')).toHaveLength(1)
    expect(drawn(<JudgedNumber {...torque} />).querySelectorAll('.rb-off')).toHaveLength(0)
  })

  it.each([
    [undefined, 1500, 730, 'at most 1500 micron'],
    [11.4, undefined, 22, 'at least 11.4 micron'],
    [-41.5, 41.5, -18, '−41.5 to 41.5 micron'],
    [undefined, undefined, 3, 'no range given'],
    [5, 5, 5, '5–5 micron'],
    [0, 0, 0, '0–0 micron'],
  ] as const)('with a range from %s to %s keeps the drawing whole', (low, high, at, said) => {
    expect(rangeWords(low, high, 'micron')).toBe(said)
    const place = rangeGeometry({ low, high, at })
    for (const x of [place.low, place.high, place.tick]) {
      if (x === undefined) continue
      expect(x).toBeGreaterThanOrEqual(RANGE_BAR.left)
      expect(x).toBeLessThanOrEqual(RANGE_BAR.right)
    }
    const root = drawn(
      <JudgedNumber value="1" unit="micron" at={at} low={low} high={high} verdict="Met" outcome="met" />,
    )
    expect(root.toString()).not.toMatch(/NaN|Infinity/)
    expect(root.querySelectorAll('.rb-bound')).toHaveLength(
      [low, high].filter((one) => one !== undefined).length,
    )
  })
})

describe('findings', () => {
  const outcomes: readonly FindingOutcome[] = [
    'met',
    'not-applicable',
    'conceded',
    'requested',
    'open',
    'failed',
    'met',
  ]
  const findings: FindingItem[] = outcomes.map((outcome, i) => ({
    id: `r${i}`,
    requirement: 'joint-torque-in-range',
    title: `Torque in range ${i}`,
    subject: `Joint SM9-${i}`,
    outcome,
  }))

  it('stand in the order of what needs you, the settled ones folded', () => {
    const root = drawn(<FindingList findings={findings} />)
    expect(root.querySelectorAll('.group').map((group) => group.getAttribute('class'))).toEqual([
      'group group-failed',
      'group group-open',
      'group group-requested',
      'group group-conceded',
      'group group-met',
      'group group-not-applicable',
    ])
    const folded = root.querySelectorAll('details')
    expect(folded.map((group) => group.getAttribute('class'))).toEqual([
      'group group-met',
      'group group-not-applicable',
    ])
    expect(folded.every((group) => !group.hasAttribute('open'))).toBe(true)
    expect(words(the(root, '.group-met summary'))).toBe('Met (2)')
  })

  it('are counted on top', () => {
    expect(words(the(drawn(<FindingList findings={findings} />), '.findings-sum'))).toBe(
      '1 failed, 1 open, 1 concession asked for, 1 conceded, 2 met, 1 does not apply',
    )
  })

  it('each outcome has a shape of its own and its word beside it', () => {
    const shapes = Object.keys(outcomeWords()).map((outcome) =>
      the(drawn(<OutcomeMark outcome={outcome as FindingOutcome} />), 'svg').getAttribute('data-shape'),
    )
    expect(new Set(shapes).size).toBe(6)
    const root = drawn(<FindingList findings={findings} />)
    for (const finding of root.querySelectorAll('.finding')) {
      expect(finding.querySelectorAll('.finding-state .om')).toHaveLength(1)
      expect(words(finding.querySelector('.state'))).not.toBe('')
    }
  })

  it('show number, rule, source, evidence and the next thing to do, with links', () => {
    const root = drawn(
      <FindingList
        findings={[
          {
            id: 'joint-torque-in-range:1',
            requirement: 'joint-torque-in-range',
            title: 'Torque in range',
            subject: 'Joint SM9-11',
            subjectHref: '/joints/11',
            outcome: 'failed',
            reason: '19.0 N·m is above 14–18 N·m.',
            decisionRule: 'simple acceptance',
            source: 'the equipment sheet, page 12',
            nextAction: 'Loosen, inspect, torque again.',
            nextHref: '/joints/11#torque',
            evidence: [
              { label: 'torque, 10:52', href: '/entries/4' },
              { label: 'photo', href: '/photos/2' },
            ],
            numbers: [
              { value: '19.0', unit: 'N·m', at: 19, low: 14, high: 18, verdict: 'Above', outcome: 'failed' },
            ],
          },
        ]}
      />,
    )
    const finding = the(root, '#finding-joint-torque-in-range-1')
    expect(words(finding.querySelector('.finding-by'))).toBe(
      'Judged by the equipment sheet, page 12, by simple acceptance.',
    )
    expect(words(finding.querySelector('.finding-evidence'))).toBe('Rests on torque, 10:52, photo')
    expect(words(finding.querySelector('.finding-next'))).toBe('Next: Loosen, inspect, torque again.')
    expect(finding.querySelectorAll('a').map((link) => link.getAttribute('href'))).toEqual([
      '/joints/11',
      '/entries/4',
      '/photos/2',
      '/joints/11#torque',
    ])
    expect(finding.querySelectorAll('.judged')).toHaveLength(1)
  })
})

describe('steps', () => {
  const steps: StepItem[] = [
    {
      id: 'preparation',
      title: 'Preparation',
      state: 'recorded',
      summary: 'Prepared, all as listed',
      who: 'Ines · 10:42',
    },
    {
      id: 'flare',
      title: 'Flare',
      state: 'recorded',
      summary: 'Flared, powered',
      children: <p>Depth stop used.</p>,
    },
    {
      id: 'torque',
      title: 'Torque',
      state: 'next',
      why: 'Wanted: 34–42 N·m.',
      children: <button type="submit">Record</button>,
    },
    { id: 'leak-check', title: 'Leak check', state: 'later' },
  ]

  it('recorded ones fold into a line, the next one opens, later ones only have a name', () => {
    const root = drawn(<Steps label="Steps" steps={steps} />)
    expect(root.querySelectorAll('.step').map((step) => step.getAttribute('id'))).toEqual([
      'preparation',
      'flare',
      'torque',
      'leak-check',
    ])
    expect(words(the(root, '#preparation'))).toBe('1Prepared, all as listedInes · 10:42')
    expect(the(root, '#flare details').hasAttribute('open')).toBe(false)
    expect(the(root, '#torque').getAttribute('aria-current')).toBe('step')
    expect(words(the(root, '#torque h2'))).toBe('Torque')
    expect(words(the(root, '#leak-check'))).toBe('4Leak check (not yet)')
    expect(root.querySelectorAll('button')).toHaveLength(1)
  })

  it('can put all recorded ones behind one line and go on counting', () => {
    const root = drawn(<Steps label="Steps" steps={steps} foldRecorded />)
    expect(words(the(root, '.steps-recorded > summary'))).toBe('2 steps recorded')
    expect(the(root, '.steps-recorded').querySelectorAll('.step')).toHaveLength(2)
    expect(words(the(root, '#torque .step-number'))).toBe('3')
    expect(root.querySelectorAll('.step')).toHaveLength(4)
  })

  it('with all recorded and none next folds nothing away', () => {
    const all = steps.map((step) => ({ ...step, state: 'recorded' as const }))
    expect(
      drawn(<Steps label="Steps" steps={all} foldRecorded />).querySelectorAll('.steps-recorded'),
    ).toHaveLength(0)
  })
})

describe('small parts', () => {
  it('a caution names the harm and what comes first', () => {
    expect(words(drawn(<Caution harm={['oxygen', 'pressure']}>Nitrogen only.</Caution>))).toBe(
      'Oxygen, pressure. Nitrogen only. Equipment manual, local code and licensed practice come first.',
    )
    expect(
      words(
        drawn(
          <Caution harm="frostbite" comesFirst={false}>
            Wear gloves.
          </Caution>,
        ),
      ),
    ).toBe('Frostbite. Wear gloves.')
  })

  it('a refusal is announced at once, the rest politely', () => {
    expect(the(drawn(<Flash kind="refused">No.</Flash>), '.flash').getAttribute('role')).toBe('alert')
    expect(the(drawn(<Flash kind="done">Yes.</Flash>), '.flash').getAttribute('role')).toBe('status')
  })

  it('each stage of a job has its own words and shape', () => {
    const stages = [
      <Stage key="1" stage="open" />,
      <Stage key="2" stage="open" after="sent-back" />,
      <Stage key="3" stage="open" after="reopened" />,
      <Stage key="4" stage="submitted" />,
      <Stage key="5" stage="sealed" />,
    ].map((stage) => drawn(stage))
    expect(stages.map(words)).toEqual([
      'Open',
      'Sent back, to be mended',
      'Opened again',
      'Waiting for audit',
      'Signed off and sealed',
    ])
    expect(new Set(stages.map((stage) => the(stage, 'svg').getAttribute('data-shape'))).size).toBe(5)
  })

  it('a moment keeps its instant and is said in the zone of the reader', () => {
    const at = '2026-03-04T23:30:00.000Z'
    const root = drawn(<When at={at} zone="Asia/Tokyo" />)
    expect(the(root, 'time').getAttribute('datetime')).toBe(at)
    expect(words(root)).toBe('5 March 2026, 08:30')
    expect(formatWhen({ at, zone: 'Asia/Kolkata', offset: true })).toBe('5 March 2026, 05:00 (UTC+5:30)')
    expect(formatWhen({ at, show: 'day' })).toBe('4 March 2026')
    expect(formatWhen({ at: Date.parse(at), show: 'time' })).toBe('23:30 UTC')
    expect(formatWhen({ at, show: 'time', zone: 'UTC' })).toBe('23:30')
    const read = drawn(
      <ReaderZone.Provider value="Asia/Tokyo">
        <When at={at} show="time" />
      </ReaderZone.Provider>,
    )
    expect(words(read)).toBe('08:30')
    expect(words(drawn(<When at={at} words="yesterday 16:05" />))).toBe('yesterday 16:05')
    expect(words(drawn(<When at="never" />))).toBe('time not known')
  })

  it('a clock shows what it was when the page was made, and goes on from there', () => {
    expect(elapsed('2026-03-04T15:10:00.000Z', '2026-03-04T15:19:07.900Z')).toBe('09:07')
    expect(elapsed('2026-03-04T15:10:00.000Z', '2026-03-05T16:11:02.000Z')).toBe('25:01:02')
    expect(elapsed('2026-03-04T15:10:00.000Z', '2026-03-04T15:00:00.000Z')).toBe('00:00')
    const root = drawn(<Clock label="Holding for" since={0} now={60_000} enoughMinutes={60} />)
    expect(words(root)).toBe('Holding for 01:00')
    expect(the(root, '.clock').getAttribute('data-since')).toBe('1970-01-01T00:00:00.000Z')
    expect(the(root, '.clock').getAttribute('data-enough')).toBe('60')
  })

  it('a pager appears only when there is somewhere to go', () => {
    expect(drawn(<Pager of="jobs" />).toString()).toBe('')
    const root = drawn(<Pager of="jobs" nextHref="/jobs?cursor=x" />)
    expect(the(root, 'a[rel="next"]').getAttribute('href')).toBe('/jobs?cursor=x')
    expect(the(root, 'nav').getAttribute('aria-label')).toBe('More jobs')
  })

  it('an empty list says what to do', () => {
    const root = drawn(<Empty title="No jobs yet" action={{ href: '/jobs/new', label: 'Open a job' }} />)
    expect(words(the(root, 'a'))).toBe('Open a job')
  })

  it('a tag is a link only where it leads somewhere', () => {
    expect(drawn(<Tag tag="SM4-4" />).querySelectorAll('a')).toHaveLength(0)
    expect(the(drawn(<Tag tag="SM4-4" href="/joints/4" />), 'a.tag').getAttribute('href')).toBe('/joints/4')
  })
})
