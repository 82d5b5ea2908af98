// What is looked for? One large box, for a page that begins with it.

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { Button } from '../parts/button.tsx'

export interface FindBoxProps {
  /** Where the answer is shown. */
  action: string
  typed: string
  /** What its button says. */
  find: string
  autofocus: boolean
}

export function FindBox({ action, typed, find, autofocus }: FindBoxProps): JSX.Element {
  return (
    <form method="get" action={action} class="find-large">
      <label for="q">{say.search.serialTagCustomerAddress}</label>
      <p class="hint" id="q-hint">
        {say.search.partOfItIs}
      </p>
      <div class="find-line">
        <input
          id="q"
          name="q"
          type="search"
          value={typed}
          required
          maxlength={200}
          autocomplete="off"
          autocapitalize="off"
          spellcheck={false}
          enterkeyhint="search"
          autofocus={autofocus}
          aria-describedby="q-hint"
        />
        <Button>{find}</Button>
      </div>
    </form>
  )
}
