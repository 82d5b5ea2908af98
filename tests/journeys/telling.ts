// Where are the stories, and does a told one come out as its file says? What it doesn't name is met or doesn't apply.

import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import type { Finding } from '../../server/rules/finding.ts'
import { isSignable } from '../../server/rules/index.ts'
import { type Outcome, REQUIREMENT_CODES } from '../../server/vocabulary.ts'
import type { Cast } from '../support/cast.ts'
import type { Hands } from './hands.ts'
import { type JobStory, type Teller, tell } from './language.ts'

const FOLDER = join(import.meta.dirname, 'jobs')

export const stories: [string, JobStory][] = []
for (const file of readdirSync(FOLDER).sort())
  stories.push([file, ((await import(join(FOLDER, file))) as { default: JobStory }).default])

export const storiesOnPages = stories.filter(([, story]) => story.onPages)
export const storiesInBrowser = stories.filter(([, story]) => story.onPages === 'browser too')

/** One test for each story, told by these hands to this cast. */
export function tellAll(
  told: [string, JobStory][],
  cast: () => Cast,
  handsOf: (cast: Cast) => Promise<Hands>,
) {
  it.each(told)('%s', async (file, story) => {
    const teller = await tell(cast(), await handsOf(cast()), story, `${file}-${cast().clock.now}`)
    await expectAsTold(teller, story)
  })
}

const LEAST_GOOD_FIRST: Outcome[] = ['failed', 'open', 'requested', 'conceded', 'met', 'not-applicable']
const isFine = (outcome: Outcome | undefined) => outcome === 'met' || outcome === 'not-applicable'

async function expectAsTold(teller: Teller, story: JobStory) {
  const findings = await teller.findings()
  const otherwise: string[] = []
  for (const requirement of REQUIREMENT_CODES) {
    const about = findings.filter((finding) => finding.requirement === requirement)
    const wanted = story.expects[requirement] ?? 'fine'
    if (typeof wanted === 'string') {
      const worst = LEAST_GOOD_FIRST.find((outcome) => about.some((finding) => finding.outcome === outcome))
      compare(requirement, wanted, worst)
      continue
    }
    const named = new Map<string, Outcome>()
    for (const finding of about) named.set(await teller.subjectName(finding), finding.outcome)
    for (const name of new Set([...Object.keys(wanted), ...named.keys()]))
      compare(`${requirement} of ${name}`, wanted[name] ?? 'fine', named.get(name))
  }
  expect(otherwise, held(findings)).toEqual([])
  expect(isSignable(findings), held(findings)).toBe(story.expects.signable)

  function compare(what: string, wanted: Outcome | 'fine', came: Outcome | undefined) {
    if (wanted === 'fine' ? came === undefined || isFine(came) : came === wanted) return
    otherwise.push(`'${what}': '${came}', not ${wanted}`)
  }
}

const held = (findings: Finding[]): string =>
  findings
    .filter((finding) => !isFine(finding.outcome))
    .map((finding) => `${finding.outcome} ${finding.requirement} ${finding.subject.name}: ${finding.reason}`)
    .join('\n')
