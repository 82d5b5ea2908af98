// How does a webhook stand, and what is each event called?

import type { JSX } from 'preact'
import type { WebhookRow } from '../../server/store/queries/webhooks.ts'
import type { WebhookEvent } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { When } from '../parts/when.tsx'

export const eventWords = (event: WebhookEvent | 'webhook.test'): string => say.webhooks.eventNames[event]

const whyOff = (why: WebhookRow['switchedOffWhy']): string =>
  why === 'gone' ? say.webhooks.offGone : why === 'failing' ? say.webhooks.offFailing : say.webhooks.offByHand

export function StateOf({ webhook }: { webhook: WebhookRow }): JSX.Element {
  const { active, failuresInARow: failures, failingSince, switchedOffWhy, switchedOffAt } = webhook
  if (!active)
    return (
      <>
        {switchedOffAt === null
          ? whyOff(switchedOffWhy)
          : say.webhooks.since(whyOff(switchedOffWhy), <When at={switchedOffAt} />)}
      </>
    )
  if (failures === 0 || failingSince === null) return <>{say.webhooks.on}</>
  return <>{say.webhooks.failingSince(failures, <When at={failingSince} />)}</>
}
