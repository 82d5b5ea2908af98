// Why was a test judged so, and what else is there to know about it?

import type { JSX } from 'preact'

interface Said {
  code: string
  text: string
}

export function Reasons(props: {
  judgement: { reasons: readonly Said[]; notes: readonly Said[] }
}): JSX.Element | null {
  const { reasons, notes } = props.judgement
  if (reasons.length + notes.length === 0) return null
  return (
    <ul>
      {reasons.map((reason) => (
        <li key={reason.code}>{reason.text}</li>
      ))}
      {notes.map((note) => (
        <li key={note.code} class="soft">
          {note.text}
        </li>
      ))}
    </ul>
  )
}
