// Which joints to look at first on a system that came back, and what does the record hold against each?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { Tag } from '../parts/tag.tsx'

export interface LookFirstView {
  jointId: string
  tag: string
  where: string
  points: number
  /** The weightiest first. */
  reasons: readonly { code: string; sentence: string; points: number }[]
}

/** How many stand open; the rest are folded away. */
const SHOWN = 4

export function LookFirst({ joints }: { joints: readonly LookFirstView[] }): JSX.Element {
  const against = joints.filter(({ points }) => points > 0)
  const nothing = joints.filter(({ points }) => points === 0)
  const [first, others] = [against.slice(0, SHOWN), against.slice(SHOWN)]
  return (
    <section class="sheet" aria-labelledby="look-first">
      <h2 id="look-first">{say.lookFirst.title}</h2>
      {joints.length === 0 ? (
        <p class="soft">{say.lookFirst.noJoints}</p>
      ) : against.length === 0 ? (
        <p>{say.lookFirst.nothingAtAll}</p>
      ) : (
        <>
          <p class="soft">{say.lookFirst.lead}</p>
          <ol class="look-first">{first.map(asItem)}</ol>
          {others.length === 0 ? null : (
            <details>
              <summary>{say.lookFirst.others(others.length)}</summary>
              <ol class="look-first" start={SHOWN + 1}>
                {others.map(asItem)}
              </ol>
            </details>
          )}
          {nothing.length === 0 ? null : <p>{say.lookFirst.nothingAgainst(tagsOf(nothing))}</p>}
          <details>
            <summary>{say.lookFirst.howItIsRanked}</summary>
            <p>{say.lookFirst.howInShort}</p>
          </details>
        </>
      )}
    </section>
  )
}

const asItem = (joint: LookFirstView): JSX.Element => (
  <li key={joint.jointId}>
    <p>
      <Tag tag={joint.tag} href={`/joints/${joint.jointId}/history`} /> {joint.where}{' '}
      <span class="soft">{say.lookFirst.points(joint.points)}</span>
    </p>
    <ul>
      {joint.reasons.map(({ code, sentence, points }) => (
        <li key={`${code} ${sentence}`}>
          {sentence} <span class="soft">+{points}</span>
        </li>
      ))}
    </ul>
  </li>
)

const tagsOf = (joints: readonly LookFirstView[]) =>
  joints.flatMap((joint, index) => [
    ...(index === 0 ? [] : [', ']),
    <Tag key={joint.jointId} tag={joint.tag} href={`/joints/${joint.jointId}/history`} />,
  ])
