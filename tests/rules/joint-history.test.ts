// Does a joint's history in short say what its facts say, and name what they don't?

import { describe, expect, it } from 'vitest'
import {
  historyOfJoint,
  type JointFacts,
  type JointHistory,
  type Statement,
  type Unknown,
} from '../../server/rules/joint-history.ts'
import { sentenceOf, unknownWords } from '../../views/joints/history-words.ts'
import { aFinishedJob, aJob, anInstrument, DAY, type JobBuilder, MORNING } from '../support/dossiers.ts'

type More = Partial<Pick<JointFacts, 'corrections' | 'callbacks' | 'photos'>>

function told(job: JobBuilder, tag = 'A-3', more: More = {}): JointHistory {
  const { systems, policy, instruments } = job.dossier
  const system = systems[0]
  const joint = system?.joints.find((one) => one.tag === tag)
  if (!system || !joint) throw new Error(`There is no joint ${tag}.`)
  return historyOfJoint({
    joint,
    system,
    judging: { policy, sheet: system.sheet, instruments },
    corrections: [],
    callbacks: [],
    photos: 1,
    ...more,
  })
}

const sayings = {
  day: (at: number) => new Date(at).toISOString().slice(0, 10),
  person: (id: string) => `<${id}>`,
}
const said = <Says extends Statement['says']>(history: JointHistory, says: Says) =>
  history.summary.find((one): one is Extract<Statement, { says: Says }> => one.says === says)
const spoken = (one: Statement) => sentenceOf(one, sayings).replaceAll('\u00a0', ' ')
const sentences = (history: JointHistory) => history.summary.map((one) => spoken(one))
const lacks = (history: JointHistory) => history.unknown.map((one) => one.lacks)
const missing = (history: JointHistory) => history.unknown.map((one) => unknownWords(one, sayings))

const torqued = (nm: number) =>
  aJob()
    .withSystem()
    .withLineSet()
    .at('indoor-liquid')
    .made()
    .prepared()
    .flared()
    .inspected()
    .assembled()
    .torqued(nm)

describe('the history of a joint in short', () => {
  it('of a finished job is all good, and lacks only what no test can see', () => {
    const history = told(aFinishedJob())
    expect(history.summary.filter(({ tone }) => tone === 'bad' || tone === 'open')).toEqual([])
    expect(history.summary.map(({ says }) => says)).toEqual([
      'made',
      'flare-inspected',
      'torque',
      'leak-check',
      'pressure-test',
      'evacuation',
      'never-came-back',
    ])
    expect(sentences(history)).toContain(
      'The nut was pulled to 16.0 N·m with torque-wrench wrench, within 14–18 N·m.',
    )
    expect(sentences(history).at(-1)).toBe('Its system has never come back.')
  })

  it.each([
    [16, 'in-range', 'good', 'within 14–18 N·m.'],
    [13, 'low', 'bad', 'below 14–18 N·m.'],
    [19, 'high', 'bad', 'above 14–18 N·m.'],
  ] as const)('says of %d N·m that it is %s', (nm, verdict, tone, words) => {
    const torque = said(told(torqued(nm)), 'torque')
    expect(torque).toMatchObject({ verdict, tone, appliedNm: nm, lowNm: 14, highNm: 18 })
    expect(torque && spoken(torque).endsWith(words)).toBe(true)
  })

  it('leads each statement to the entry that it rests on', () => {
    const job = aFinishedJob()
    const { summary } = told(job)
    const system = job.dossier.systems[0]
    const joint = system?.joints.find(({ tag }) => tag === 'A-3')
    const ids = new Set([
      ...(joint?.makes.flatMap((make) => [make.id, ...make.steps.map(({ id }) => id)]) ?? []),
      ...(joint?.leakChecks.map(({ id }) => id) ?? []),
      ...(system?.pressureTests.map(({ id }) => id) ?? []),
      ...(system?.evacuations.map(({ id }) => id) ?? []),
      'callbacks',
    ])
    expect(summary.length).toBeGreaterThan(5)
    expect(summary.filter(({ about }) => !ids.has(about))).toEqual([])
  })

  it('takes the error out of a wrench that was found off afterwards: 16 shown, 9 % too much, is 14.7', () => {
    const job = torqued(16)
    const wrench = job.dossier.instruments.find(({ id }) => id === 'wrench')
    wrench?.calibrations.push({
      id: 'found-off',
      at: MORNING + 20 * DAY,
      result: 'out-of-tolerance',
      basis: 'certificate',
      points: [{ nominal: 16, asFoundErrorPercent: 9, asLeftErrorPercent: null }],
      reference: 'certificate 2',
    })
    const history = told(job)
    // 16 / 1.09 = 14.68; ± 4 % of it is 0.59, and 14.68 − 0.59 = 14.09 is still above 14.
    expect(said(history, 'torque-rejudged')).toMatchObject({
      judgement: 'stands',
      real: '14.7 N·m',
      tone: 'good',
    })
    expect(said(history, 'instrument')).toMatchObject({ about: 'wrench', state: 'recalled', tone: 'bad' })
    expect(lacks(history)).toContain('a-confirmed-instrument')
    expect(history.instruments.find(({ id }) => id === 'wrench')).toMatchObject({
      standing: { id: 'cal-torque-wrench' },
      since: [{ id: 'found-off' }],
    })
    // 15 / 1.09 = 13.76 is below 14.
    const low = torqued(15)
    low.dossier.instruments
      .find(({ id }) => id === 'wrench')
      ?.calibrations.push({
        id: 'found-off',
        at: MORNING + 20 * DAY,
        result: 'out-of-tolerance',
        basis: 'certificate',
        points: [{ nominal: 16, asFoundErrorPercent: 9, asLeftErrorPercent: null }],
        reference: null,
      })
    expect(said(told(low), 'torque-rejudged')).toMatchObject({
      judgement: 'fails',
      real: '13.8 N·m',
      tone: 'bad',
    })
  })

  it('says of a remade joint which making counts, and why the other was replaced', () => {
    const job = torqued(16)
      .made({ reason: 'It leaked.' })
      .prepared()
      .flared()
      .inspected()
      .assembled()
      .torqued(17)
    const history = told(job)
    expect(said(history, 'made')).toMatchObject({ number: 2 })
    expect(sentences(history)).toContain('Making 1 was replaced: It leaked.')
    expect(said(history, 'torque')).toMatchObject({ appliedNm: 17 })
  })

  it('says that a test no longer speaks for a joint that was worked on since', () => {
    const job = aFinishedJob().at('indoor-liquid').torqued(17)
    const history = told(job)
    expect(said(history, 'pressure-test')).toMatchObject({ stale: true, tone: 'open' })
    expect(said(history, 'evacuation')).toMatchObject({ stale: true })
    expect(said(history, 'leak-check')).toMatchObject({ stale: true })
    expect(missing(history)).toContain(
      'Whether it still holds as at its last pressure test: work was done on it afterwards.',
    )
    expect(lacks(history)).not.toContain('leaks-below')
    expect(history.tests.every(({ stale }) => stale !== null)).toBe(true)
  })

  it('says below which leak nothing could be seen: the smallest of all that still counts', () => {
    const history = told(aFinishedJob())
    const seen = [
      ...history.tests.map(({ seenKgPerYear }) => seenKgPerYear),
      ...[...history.checks.values()].map(({ judgement }) => judgement.sensitivityKgPerYear),
    ].filter((one): one is number => one !== null)
    expect(seen.length).toBeGreaterThan(1)
    expect(history.unknown).toContainEqual({
      lacks: 'leaks-below',
      about: null,
      kgPerYear: Math.min(...seen),
    })
  })

  it.each<[string, More, string, Statement['tone']]>([
    ['no callback', { callbacks: [] }, 'Its system has never come back.', 'plain'],
    [
      'a callback that named it',
      {
        callbacks: [
          {
            id: 'call',
            reportedAt: MORNING + 10 * DAY,
            closedAt: MORNING + 11 * DAY,
            findings: [{ jointId: 'A-3', cause: 'crack' }],
          },
        ],
      },
      'It was found leaking at the callback of 2026-03-14: crack.',
      'bad',
    ],
    [
      'a callback that named another',
      {
        callbacks: [
          {
            id: 'call',
            reportedAt: MORNING + 10 * DAY,
            closedAt: MORNING + 11 * DAY,
            findings: [{ jointId: 'another', cause: 'crack' }],
          },
        ],
      },
      'Its system came back once; this joint was not named.',
      'plain',
    ],
  ])('says of %s', (_, more, sentence, tone) => {
    const job = aFinishedJob()
    const id = job.dossier.systems[0]?.joints.find(({ tag }) => tag === 'A-3')?.id ?? ''
    const callbacks = (more.callbacks ?? []).map((one) => ({
      ...one,
      findings: one.findings.map((finding) => ({
        ...finding,
        jointId: finding.jointId === 'A-3' ? id : 'another',
      })),
    }))
    const last = told(job, 'A-3', { callbacks }).summary.at(-1)
    expect(last && spoken(last)).toBe(sentence)
    expect(last?.tone).toBe(tone)
  })

  it('says what waits: a correction, and a callback with no cause yet', () => {
    const history = told(aFinishedJob(), 'A-3', {
      corrections: [
        { id: 'c1', factId: 'x', state: 'waiting' },
        { id: 'c2', factId: 'y', state: 'accepted' },
      ],
      callbacks: [{ id: 'call', reportedAt: MORNING + 10 * DAY, closedAt: null, findings: [] }],
      photos: 0,
    })
    expect(sentences(history)).toContain('2 entries were corrected; one correction waits for a manager.')
    expect(lacks(history)).toEqual(
      expect.arrayContaining<Unknown['lacks']>(['an-answer-to-a-correction', 'a-cause', 'a-photo']),
    )
  })

  it('names each step that the making lacks', () => {
    const history = told(aJob().withSystem().withLineSet().at('indoor-liquid').made().prepared())
    expect(history.unknown.flatMap((one) => (one.lacks === 'its-step' ? [one.step] : []))).toEqual([
      'flare',
      'inspection',
      'assembly',
      'torque',
    ])
    expect(missing(history)).toContain('Torque of the making that counts: nothing is recorded.')
    expect(lacks(history)).toEqual(expect.arrayContaining(['a-leak-check', 'a-covering-test']))
  })

  it('says of a joint without a making that nothing is recorded', () => {
    const history = told(aJob().withSystem().withLineSet())
    expect(sentences(history)).toEqual(['No making of it is recorded yet.'])
    expect(lacks(history)).toContain('a-making')
  })

  it('says that a joint was not measured', () => {
    const job = aJob()
      .withSystem()
      .withLineSet()
      .at('indoor-liquid')
      .made()
      .prepared()
      .flared()
      .inspected()
      .assembled()
      .torqued(undefined, { indication: 'not-measured', readingNm: null })
    const history = told(job)
    expect(said(history, 'torque')).toMatchObject({ verdict: 'not-measured', tone: 'open' })
    expect(lacks(history)).toContain('a-torque-figure')
  })

  it('says that an instrument was not confirmed on the day', () => {
    const job = torqued(16)
    job.dossier.instruments = job.dossier.instruments.map((one) =>
      one.id === 'wrench'
        ? anInstrument('wrench', 'torque-wrench', { accuracyPercent: 4, calibrations: [] })
        : one,
    )
    const history = told(job)
    expect(said(history, 'instrument')).toMatchObject({ state: 'never-calibrated', tone: 'bad' })
    expect(missing(history)).toContain('What torque-wrench wrench really showed on the day.')
  })
})
