// How was it made, that leaked? Each finding with the making that stood, and whether the figures count it.

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { Facts } from '../parts/facts.tsx'
import { Tag } from '../parts/tag.tsx'
import { When } from '../parts/when.tsx'

export interface LeakedView {
  findingId: string
  jointId: string
  tag: string
  /** Why the figures don't count it. */
  notCounted: string | null
  making: {
    madeAt: number
    days: number
    flaredBy: string
    flareMethod: string | null
    flaringTool: { id: string; name: string } | null
    torquedBy: string
    wrench: { id: string; name: string } | null
    model: string | null
    refrigerant: string
    /** Of what comes back, the joints in the same place. */
    figures: string
  } | null
}

/** Of findings that name a joint. */
export function WhatLeaked({ leaked }: { leaked: readonly LeakedView[] }): JSX.Element | null {
  if (leaked.length === 0) return null
  return (
    <section class="sheet" aria-labelledby="what-leaked">
      <h2 id="what-leaked">{say.callbacks.asItWasMade}</h2>
      {leaked.map((one) => (
        <div key={one.findingId}>
          <h3>
            <Tag tag={one.tag} href={`/joints/${one.jointId}/history`} />
          </h3>
          {one.making === null ? (
            <p class="soft">{one.notCounted}</p>
          ) : (
            <>
              <Facts facts={factsOf(one.making)} />
              <p>{say.callbacks.countedIn(<a href={one.making.figures}>{say.callbacks.whatComesBack}</a>)}</p>
            </>
          )}
        </div>
      ))}
    </section>
  )
}

function factsOf(making: NonNullable<LeakedView['making']>) {
  const tool = (one: { id: string; name: string } | null) =>
    one === null ? say.callbacks.notOnRecord : <a href={`/instruments/${one.id}`}>{one.name}</a>
  return [
    {
      label: say.callbacks.madeOn,
      value: <When at={making.madeAt} show="day" />,
      note: say.callbacks.inServiceFor(making.days),
    },
    ...(making.flareMethod === null && making.flaringTool === null
      ? []
      : [
          {
            label: say.callbacks.flaredWith,
            value: tool(making.flaringTool),
            note: [making.flareMethod, making.flaredBy].filter(Boolean).join(', '),
          },
        ]),
    { label: say.callbacks.pulledWith, value: tool(making.wrench), note: making.torquedBy },
    {
      label: say.callbacks.onSystem,
      value: [making.model ?? say.callbacks.notOnRecord, making.refrigerant].join(', '),
    },
  ]
}
