// What was asked about this work, what was answered, and who is to speak next?

import type { JSX } from 'preact'
import type { AuditReplyKind, QuestionState } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Button } from '../parts/button.tsx'
import { AreaField, type FormState } from '../parts/field.tsx'
import { When } from '../parts/when.tsx'

export interface ThreadProps {
  id: string
  /** "Joint SM9-11" */
  about: { label: string; href: string | null }
  /** The entry that it is bound to: "Torque recorded, entry 14"; null where something is missing. */
  entry: string | null
  words: string
  who: string
  at: number
  replies: readonly {
    id: string
    kind: AuditReplyKind
    words: string | null
    who: string
    at: number
    deviceAt: number | null
  }[]
  state: QuestionState
  may: { answer: boolean; ask: boolean }
  freshId: string
  /** Where the reader comes back to. */
  from: 'job' | 'joint' | 'audit'
  /** On the audit page: the list that the reader came from, as it stands in the address. */
  list?: string | undefined
  form?: FormState | undefined
}

export const questionStateWords = (): Record<QuestionState, string> => ({
  'for-crew': say.audit.waitsForAnAnswer,
  'for-manager': say.audit.answeredWaitsForThe,
  settled: say.audit.settled,
})

const replyWords = (): Record<AuditReplyKind, string> => ({
  answer: say.audit.answer,
  question: say.audit.askedAgain,
  settled: say.audit.settled2,
})

export function Threads(props: {
  threads: readonly ThreadProps[]
  title: string
  id?: string | undefined
  /** Below a heading of the page: 2, of a part: 3 or 4. */
  level?: 2 | 3 | 4 | undefined
}): JSX.Element | null {
  if (props.threads.length === 0) return null
  const Heading = `h${props.level ?? 2}` as 'h2' | 'h3' | 'h4'
  return (
    <section class="sheet threads" id={props.id}>
      <Heading>{props.title}</Heading>
      {props.threads.map((thread) => (
        <Thread key={thread.id} {...thread} />
      ))}
    </section>
  )
}

export function Thread(props: ThreadProps): JSX.Element {
  const { id, state, from, form } = props
  // On the audit page the browser itself comes back to the part; a boosted form would lose where that is.
  const boost = from === 'audit' ? { 'hx-boost': 'false' } : {}
  const back = `from=${from}${props.list === undefined ? '' : `&list=${encodeURIComponent(props.list)}`}`
  const ownForm = (kind: string) => (form?.values._form === kind ? form : undefined)
  return (
    <article class={`thread thread-${state}`} id={`question-${id}`}>
      <p class="thread-about">
        <b>{questionStateWords()[state]}</b>{' '}
        {props.about.href === null ? props.about.label : <a href={props.about.href}>{props.about.label}</a>}
        {props.entry === null ? null : <span class="soft"> · {props.entry}</span>}
      </p>
      <ol class="thread-words">
        <li>
          <Said what={say.audit.question} who={props.who} at={props.at} words={props.words} deviceAt={null} />
        </li>
        {props.replies.map((reply) => (
          <li key={reply.id} class={`said-${reply.kind}`}>
            <Said
              what={replyWords()[reply.kind]}
              who={reply.who}
              at={reply.at}
              words={reply.words}
              deviceAt={reply.deviceAt}
            />
          </li>
        ))}
      </ol>
      {props.may.answer && state !== 'settled' ? (
        <details open={state === 'for-crew' && from !== 'audit' ? true : ownForm('answer') !== undefined}>
          <summary>{state === 'for-crew' ? say.audit.answer : say.audit.addToTheAnswer}</summary>
          <form method="post" action={`/audit-questions/${id}/answers?${back}`} {...boost}>
            <input type="hidden" name="_form" value="answer" />
            <input type="hidden" name="id" value={props.freshId} />
            <AreaField
              name="words"
              label={say.audit.yourAnswer}
              form={scoped(ownForm('answer'), id, 'answer')}
              hint={say.audit.itStaysInThe}
            />
            <Button>{say.audit.sendTheAnswer}</Button>
          </form>
        </details>
      ) : null}
      {props.may.ask ? (
        <div class="thread-manager">
          {state === 'settled' ? null : (
            <form method="post" action={`/audit-questions/${id}/settlement?${back}`} {...boost}>
              <input type="hidden" name="id" value={props.freshId} />
              <Button kind="other">{say.audit.settledTheAnswerIs}</Button>
            </form>
          )}
          <details open={ownForm('ask') !== undefined}>
            <summary>{say.audit.askOn}</summary>
            <form method="post" action={`/audit-questions/${id}/questions?${back}`} {...boost}>
              <input type="hidden" name="_form" value="ask" />
              <input type="hidden" name="id" value={props.freshId} />
              <AreaField name="words" label={say.audit.whatElse} form={scoped(ownForm('ask'), id, 'ask')} />
              <Button kind="other">{say.audit.ask}</Button>
            </form>
          </details>
        </div>
      ) : null}
    </article>
  )
}

/** Several of these forms stand on one page: their fields need ids of their own. */
const scoped = (form: FormState | undefined, id: string, kind: string): FormState => ({
  values: {},
  errors: [],
  ...form,
  scope: `${kind}-${id}`,
})

function Said(props: {
  what: string
  who: string
  at: number
  words: string | null
  deviceAt: number | null
}): JSX.Element {
  return (
    <>
      <p class="soft">
        {say.audit.by(
          props.what,
          props.who,
          <When at={props.at} />,
          props.deviceAt === null || Math.abs(props.deviceAt - props.at) < 60_000 ? null : (
            <> {say.audit.byThePhonesClock(<When at={props.deviceAt} />)}</>
          ),
        )}
      </p>
      {props.words === null ? null : <p>{props.words}</p>}
    </>
  )
}
