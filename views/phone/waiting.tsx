// What waits on this phone, what was refused and why, and what may be done about it?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'

/** The server knows nothing of it: the script fills the list from what the phone keeps. */
export function WaitingPage(props: { shell: Shell; signedIn: boolean }): JSX.Element {
  return (
    <Layout {...props.shell} title={say.phone.onThisPhone} width="narrow">
      <h1>{say.phone.onThisPhone}</h1>
      <p class="lead">{say.phone.whatWasEnteredWithout}</p>
      <noscript>
        <p class="why">{say.phone.withoutScriptNothingIs}</p>
      </noscript>
      {props.signedIn ? null : (
        <p>
          <a class="button" href="/sign-in?next=/waiting">
            {say.phone.signInToSee}
          </a>
        </p>
      )}
      <p id="kept-none" class="soft" hidden>
        {say.phone.nothingWaitsHere}
      </p>
      <ol id="kept-entries" class="kept-entries" />
      <p id="kept-send" hidden>
        <button type="button" class="other">
          {say.phone.tryToSendNow}
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
              {say.phone.mendIt}
            </a>
            <button type="button" class="other" data-part="again">
              {say.phone.sendItAgain}
            </button>
            <button type="button" class="refuse" data-part="drop">
              {say.phone.dropIt}
            </button>
          </p>
          <form class="kept-sure" data-part="sure" hidden>
            <p>{say.phone.itIsTakenOff(<span data-part="rests" />)}</p>
            <p class="actions">
              <Button kind="refuse">{say.phone.yesDropIt}</Button>
              <button type="reset" class="other">
                {say.phone.keepIt}
              </button>
            </p>
          </form>
        </li>
      </template>
    </Layout>
  )
}
