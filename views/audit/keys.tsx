// Which keys read through this page? Shown only where they work; they can be turned off, and all works without them.

import type { JSX } from 'preact'

const KEYS: Record<'list' | 'job', readonly (readonly [string, string])[]> = {
  list: [
    ['j', 'next'],
    ['k', 'previous'],
    ['o', 'read it'],
    ['a', 'accept it'],
  ],
  job: [
    ['j', 'next part'],
    ['k', 'previous part'],
    ['a', 'accept the part'],
    ['q', 'ask about it'],
    ['n', 'next job'],
    ['p', 'previous job'],
    ['u', 'back to the list'],
  ],
}

/** Filled with the switch by the script, which also shows it. */
export function KeysHint({ of }: { of: 'list' | 'job' }): JSX.Element {
  return (
    <div class="keys" data-keys hidden>
      <span>By keyboard:</span>
      {KEYS[of].map(([key, words]) => (
        <span key={key}>
          <kbd>{key}</kbd> {words}
        </span>
      ))}
      <label>
        <input type="checkbox" data-keys-on /> on
      </label>
    </div>
  )
}
