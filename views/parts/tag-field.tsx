// Which joint do you stand at? Its tag typed or, where the browser can, read by the camera.

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'

/** Where the camera can be used, `tag-scan.js` puts a button beside. */
export function TagField(props: {
  /** Opens the joint on this job, where its system is part of it. */
  jobId?: string | undefined
  typed?: string | undefined
  message?: string | undefined
}): JSX.Element {
  return (
    <form method="get" action="/tags" class="tag-form" hx-boost="false" data-tag-scan>
      {props.jobId === undefined ? null : <input type="hidden" name="job" value={props.jobId} />}
      <div class="tag-line">
        <label for="tag-typed">{say.parts.tag}</label>
        <input
          id="tag-typed"
          name="tag"
          type="text"
          value={props.typed ?? ''}
          required
          maxlength={60}
          autocomplete="off"
          autocapitalize="characters"
          spellcheck={false}
          enterkeyhint="go"
          aria-invalid={props.message === undefined ? undefined : 'true'}
          aria-describedby={props.message === undefined ? undefined : 'tag-typed-error'}
        />
        <button type="submit">{say.parts.open}</button>
      </div>
      {props.message === undefined ? null : (
        <p class="message" id="tag-typed-error">
          {props.message}
        </p>
      )}
    </form>
  )
}
