// Which keys read through this page? Shown only where they work; they can be turned off, and all works without them.

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'

const keys = (): Record<'list' | 'job', readonly (readonly [string, string])[]> => ({
  list: [
    ['j', say.audit.next],
    ['k', say.audit.previous],
    ['o', say.audit.readIt],
    ['a', say.audit.acceptIt],
  ],
  job: [
    ['j', say.audit.nextPart],
    ['k', say.audit.previousPart],
    ['a', say.audit.acceptThePart],
    ['q', say.audit.askAboutIt],
    ['n', say.audit.nextJob],
    ['p', say.audit.previousJob],
    ['u', say.audit.backToTheList],
  ],
})

/** Filled with the switch by the script, which also shows it. */
export function KeysHint({ of }: { of: 'list' | 'job' }): JSX.Element {
  return (
    <div class="keys" data-keys hidden>
      <span>{say.audit.byKeyboard}</span>
      {keys()[of].map(([key, words]) => (
        <span key={key}>
          <kbd>{key}</kbd> {words}
        </span>
      ))}
      <label>
        <input type="checkbox" data-keys-on /> {say.audit.on}
      </label>
    </div>
  )
}
