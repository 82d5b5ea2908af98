// What waits on this phone, what was refused and why, and what may be done about it?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'

/** The server knows nothing of it: the script fills the list from what the phone keeps. */
export function WaitingPage(props: { shell: Shell; signedIn: boolean }): JSX.Element {
  return (
    <Layout {...props.shell} title="On this phone" width="narrow">
      <h1>On this phone</h1>
      <p class="lead">
        What was entered without a signal and is not on the server yet, in the order in which it is sent.
      </p>
      <noscript>
        <p class="why">
          Without script nothing is kept on this phone: a form that could not be sent is still in the
          browser’s window.
        </p>
      </noscript>
      {props.signedIn ? null : (
        <p>
          <a class="button" href="/sign-in?next=/waiting">
            Sign in to see and send what is yours
          </a>
        </p>
      )}
      <p id="kept-none" class="soft" hidden>
        Nothing waits here.
      </p>
      <ol id="kept-entries" class="kept-entries" />
      <p id="kept-send" hidden>
        <button type="button" class="other">
          Try to send now
        </button>
      </p>
      <template id="kept-entry">
        <li class="sheet kept-entry">
          <p class="kept-head">
            <b data-part="state" /> <span class="soft" data-part="at" />
          </p>
          <p data-part="said" />
          <p class="message" data-part="reason" hidden />
          <ul class="message" data-part="errors" hidden />
          <p class="actions">
            <a class="button" href="/waiting" data-part="mend">
              Mend it
            </a>
            <button type="button" class="other" data-part="again">
              Send it again
            </button>
            <button type="button" class="refuse" data-part="drop">
              Drop it
            </button>
          </p>
          <form class="kept-sure" data-part="sure" hidden>
            <p>
              It is taken off this phone for good and recorded nowhere. <span data-part="rests" />
            </p>
            <p class="actions">
              <Button kind="refuse">Yes, drop it</Button>
              <button type="reset" class="other">
                Keep it
              </button>
            </p>
          </form>
        </li>
      </template>
    </Layout>
  )
}
