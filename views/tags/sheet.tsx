// What is printed, cut out and hung on the pipes? One label for each joint: its picture to scan, its tag, its place.

import type { JSX } from 'preact'
import type { DrawnQr } from '../../server/http/qr.ts'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'

export interface TagSheetPageProps {
  shell: Shell
  system: { id: string; name: string }
  address: string
  /** Every joint that is in the line, to choose from. */
  all: readonly { id: string; tag: string; group: string; words: string; marked: boolean }[]
  labels: readonly { id: string; tag: string; where: string | null; words: string; qr: DrawnQr }[]
}

export function TagSheetPage(props: TagSheetPageProps): JSX.Element {
  const { system, labels, all } = props
  return (
    <Layout {...props.shell} title={say.tags.tagsOf(system.name)}>
      <h1>{say.tags.tagsOf(system.name)}</h1>
      <p class="lead">
        <a href={`/systems/${system.id}`}>{props.address}</a>
      </p>
      <p class="why no-paper">{say.tags.printThisPageThree}</p>
      {all.length === 0 ? (
        <p>{say.tags.noJointsYetA}</p>
      ) : (
        <Chooser all={all} path={`/systems/${system.id}/tags`} isPart={labels.length < all.length} />
      )}
      <ul class="labels" aria-label={say.tags.labels}>
        {labels.map((label) => (
          <li key={label.id} class="label">
            <svg class="qr" viewBox={`0 0 ${label.qr.side} ${label.qr.side}`} aria-hidden="true">
              <path class="qr-ground" d={`M0 0h${label.qr.side}v${label.qr.side}H0z`} />
              <path class="qr-ink" d={label.qr.path} />
            </svg>
            <p>
              <b class="label-tag">{label.tag}</b>
              {label.where === null ? null : <span class="label-where">{label.where}</span>}
              <span>{label.words}</span>
            </p>
          </li>
        ))}
      </ul>
    </Layout>
  )
}

function Chooser(props: {
  all: TagSheetPageProps['all']
  path: string
  /** Some were chosen already. */
  isPart: boolean
}): JSX.Element {
  const groups = [...new Set(props.all.map(({ group }) => group))]
  return (
    <details class="no-paper" open={props.isPart ? true : undefined}>
      <summary>
        {say.tags.chooseWhich(props.isPart ? say.tags.chosenLabels : say.tags.allLabels(props.all.length))}
      </summary>
      <form method="get" action={props.path}>
        {groups.map((group) => (
          <fieldset key={group} class="label-choice">
            <legend>{group}</legend>
            {props.all
              .filter((joint) => joint.group === group)
              .map((joint) => (
                <label class="choice" key={joint.id}>
                  <input
                    type="checkbox"
                    name={`_joint.${joint.id}`}
                    value="yes"
                    checked={props.isPart && joint.marked}
                  />
                  <span>
                    {joint.tag}, {joint.words}
                  </span>
                </label>
              ))}
          </fieldset>
        ))}
        <div class="actions">
          <button type="submit">{say.tags.showOnlyThese}</button>
          <a class="button other" href={props.path}>
            {say.tags.allOfThem}
          </a>
        </div>
      </form>
    </details>
  )
}
