// Do true-to-life jobs come out as a practitioner would say, by program and by page, on both databases?

import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Finding } from '../../server/rules/finding.ts'
import { isSignable } from '../../server/rules/index.ts'
import type { Outcome, RequirementCode } from '../../server/vocabulary.ts'
import { aCast, type Cast } from '../support/cast.ts'
import type { StoreKind } from '../support/stores.ts'
import { PageHands, ProgramHands } from './hands.ts'
import { type JobStory, tell } from './language.ts'

const FOLDER = join(import.meta.dirname, 'jobs')
const stories: [string, JobStory][] = []
for (const file of readdirSync(FOLDER).sort())
  stories.push([file, ((await import(join(FOLDER, file))) as { default: JobStory }).default])

it('are at least twenty-five, ten of them through the pages', () => {
  expect(stories.length).toBeGreaterThanOrEqual(25)
  expect(stories.filter(([, story]) => story.onPages).length).toBeGreaterThanOrEqual(10)
})

describe.each(['sqlite', 'pglite'] as StoreKind[])('told by programs on %s', (kind) => {
  tellAll(kind, stories, (cast) => cast.server().then((server) => new ProgramHands(server)))
})

describe('told by filling in the pages', () => {
  const onPages = stories.filter(([, story]) => story.onPages)
  tellAll('sqlite', onPages, (cast) => cast.server().then((server) => new PageHands(server)))
})

function tellAll(
  kind: StoreKind,
  told: [string, JobStory][],
  handsOf: (cast: Cast) => Promise<ProgramHands | PageHands>,
) {
  let cast: Cast
  beforeAll(async () => {
    cast = await aCast(kind)
  })
  afterAll(() => cast.remove())

  it.each(told)('%s', async (file, story) => {
    const teller = await tell(cast, await handsOf(cast), story, `${file}-${cast.clock.now}`)
    const findings = await teller.findings()
    const { signable, ...outcomes } = story.expects
    for (const [requirement, wanted] of Object.entries(outcomes) as [
      RequirementCode,
      Outcome | Record<string, Outcome>,
    ][])
      expectOutcome(findings, requirement, wanted)
    expect(isSignable(findings), held(findings)).toBe(signable)
  })
}

const LEAST_GOOD_FIRST: Outcome[] = ['failed', 'open', 'requested', 'conceded', 'met', 'not-applicable']

function expectOutcome(
  findings: Finding[],
  requirement: RequirementCode,
  wanted: Outcome | Record<string, Outcome>,
) {
  const about = findings.filter((finding) => finding.requirement === requirement)
  if (typeof wanted === 'string') {
    const worst = LEAST_GOOD_FIRST.find((outcome) => about.some((finding) => finding.outcome === outcome))
    expect(worst, `${requirement}\n${held(about)}`).toBe(wanted)
    return
  }
  for (const [name, outcome] of Object.entries(wanted)) {
    const found = about.filter((finding) => name === '*' || finding.subject.name === name)
    expect(
      found.map((finding) => finding.outcome),
      `${requirement} of ${name}\n${held(about)}`,
    ).toContain(outcome)
  }
}

const held = (findings: Finding[]): string =>
  findings
    .filter((finding) => !['met', 'not-applicable'].includes(finding.outcome))
    .map((finding) => `${finding.outcome} ${finding.requirement} ${finding.subject.name}: ${finding.reason}`)
    .join('\n')
