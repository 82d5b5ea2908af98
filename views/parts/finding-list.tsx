// What holds this job, and what is there to do about each?

import type { ComponentChildren, JSX } from 'preact'
import { coded } from '../../server/words/coded.ts'
import { say } from '../../server/words/say.ts'
import { JudgedNumber, type JudgedNumberProps } from './judged-number.tsx'
import { type FindingOutcome, OutcomeMark, outcomeWords } from './mark.tsx'

export interface FindingItem {
  /** Requirement code with subject, unique in the list. */
  id: string
  requirement: string
  /** The claim: "Torque in range". */
  title: string
  /** Of what: "Joint SM9-11, Kitchen, indoor end, liquid line". */
  subject: string
  subjectHref?: string | undefined
  /** Where several subjects stand alike: all of them, in place of the one. */
  subjects?: readonly { label: string; href?: string | undefined }[] | undefined
  outcome: FindingOutcome
  /** Why it is so, in one line. */
  reason?: string | undefined
  /** In words: "simple acceptance". */
  decisionRule?: string | undefined
  /** Where the criterion comes from: "equipment sheet, page 12". */
  source?: string | undefined
  numbers?: readonly JudgedNumberProps[] | undefined
  /** One sentence. */
  nextAction?: string | undefined
  nextHref?: string | undefined
  evidence?: readonly { label: string; href: string }[] | undefined
  /** The page that explains the requirement. */
  aboutHref?: string | undefined
  /** A form that belongs to it: ask for a concession, grant one. */
  children?: ComponentChildren
}

export interface FindingListProps {
  findings: readonly FindingItem[]
  /** Heading level of the groups; default 3. */
  level?: 2 | 3 | 4 | undefined
  /** Where the findings' own ids hang, when two lists stand on one page. */
  idPrefix?: string | undefined
}

const ORDER: readonly FindingOutcome[] = ['failed', 'open', 'requested', 'conceded', 'met', 'not-applicable']
const FOLDED: ReadonlySet<FindingOutcome> = new Set(['met', 'not-applicable'])

export function FindingList(props: FindingListProps): JSX.Element {
  const groups = ORDER.map((outcome) => ({
    outcome,
    findings: props.findings.filter((finding) => finding.outcome === outcome),
  }))
    .filter((group) => group.findings.length > 0)
    .map((group) => ({
      ...group,
      count: group.findings.reduce((sum, finding) => sum + (finding.subjects?.length ?? 1), 0),
    }))
  const Heading = `h${props.level ?? 3}` as 'h2' | 'h3' | 'h4'
  const prefix = props.idPrefix ?? 'finding'
  return (
    <div class="findings">
      <p class="findings-sum">
        {groups.map((group, index) => (
          <span key={group.outcome} class={`sum sum-${group.outcome}`}>
            <OutcomeMark outcome={group.outcome} /> {group.count} {sumWords(group.outcome, group.count)}
            {index < groups.length - 1 ? <span class="vh">, </span> : null}
          </span>
        ))}
      </p>
      {groups.map((group) => {
        const words = `${outcomeWords()[group.outcome]} (${group.count})`
        const list = (
          <ul class="finding-group">
            {group.findings.map((finding) => (
              <Finding key={finding.id} finding={finding} id={`${prefix}-${finding.id}`} />
            ))}
          </ul>
        )
        return FOLDED.has(group.outcome) ? (
          <details key={group.outcome} class={`group group-${group.outcome}`}>
            <summary>
              <span>{words}</span>
            </summary>
            {list}
          </details>
        ) : (
          <section key={group.outcome} class={`group group-${group.outcome}`}>
            <Heading>{words}</Heading>
            {list}
          </section>
        )
      })}
    </div>
  )
}

/** In the sum, "2 do not apply" and "2 concessions asked for"; the other words are the same for one and for many. */
function sumWords(outcome: FindingOutcome, count: number): string {
  if (count !== 1 && outcome === 'not-applicable') return say.parts.doNotApply
  if (count !== 1 && outcome === 'requested') return say.parts.concessionsAskedFor
  return outcomeWords()[outcome].toLowerCase()
}

function Finding(props: { finding: FindingItem; id: string }): JSX.Element {
  const { finding } = props
  const judgedBy = [
    finding.source,
    finding.decisionRule === undefined ? undefined : say.parts.by2(coded(finding.decisionRule)),
  ].filter((one) => one !== undefined)
  return (
    <li class={`finding finding-${finding.outcome}`} id={props.id.replace(/[^A-Za-z0-9_-]+/g, '-')}>
      <div class="finding-state">
        <OutcomeMark outcome={finding.outcome} />
        <span class="state">{outcomeWords()[finding.outcome]}</span>
      </div>
      <div class="finding-what">
        <p class="finding-title">
          {finding.aboutHref === undefined ? (
            <b>{finding.title}</b>
          ) : (
            <a class="about" href={finding.aboutHref}>
              {finding.title}
            </a>
          )}
          <span class="finding-subject">
            {(finding.subjects ?? [{ label: finding.subject, href: finding.subjectHref }]).map(
              (one, index) => (
                <>
                  {index === 0 ? '' : ', '}
                  {one.href === undefined ? one.label : <a href={one.href}>{one.label}</a>}
                </>
              ),
            )}
          </span>
        </p>
        {finding.reason === undefined ? null : <p class="finding-reason">{finding.reason}</p>}
        {judgedBy.length === 0 ? null : (
          <p class="finding-by soft">{say.parts.judged(joinWords(judgedBy))}</p>
        )}
        {finding.evidence === undefined || finding.evidence.length === 0 ? null : (
          <p class="finding-evidence soft">
            {say.parts.restsOn(
              finding.evidence.map((one, index) => (
                <>
                  {index === 0 ? '' : ', '}
                  <a href={one.href}>{one.label}</a>
                </>
              )),
            )}
          </p>
        )}
      </div>
      {finding.numbers === undefined || finding.numbers.length === 0 ? null : (
        <div class="finding-numbers">
          {finding.numbers.map((number) => (
            <JudgedNumber key={`${number.label ?? ''}${number.value}`} {...number} />
          ))}
        </div>
      )}
      {finding.nextAction === undefined && finding.children === undefined ? null : (
        <div class="finding-next">
          {finding.nextAction === undefined ? null : (
            <p>
              <span class="next-word">{say.parts.next2}</span>{' '}
              {finding.nextHref === undefined ? (
                finding.nextAction
              ) : (
                <a href={finding.nextHref}>{finding.nextAction}</a>
              )}
            </p>
          )}
          {finding.children}
        </div>
      )}
    </li>
  )
}

function joinWords(parts: readonly string[]): string {
  const [first, second] = parts
  if (first === undefined) return ''
  const source = first.startsWith('by ') ? first : say.parts.by(first)
  return second === undefined ? source : `${source}, ${second}`
}
