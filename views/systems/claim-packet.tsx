// What would go into this system's claim packet, how large is it, and is the customer to be left out?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Facts } from '../parts/facts.tsx'
import { When } from '../parts/when.tsx'

export interface ClaimPacketPageProps {
  shell: Shell
  system: { id: string; name: string }
  /** As it stands in the address. */
  redact: boolean
  counts: { certificates: number; photos: number; readings: number; entries: number; callbacks: number }
  megabytes: string
  /** Newest first. */
  before: readonly { id: string; at: number; who: string; redacted: boolean }[]
}

export function ClaimPacketPage(props: ClaimPacketPageProps): JSX.Element {
  const { system, counts } = props
  const address = `/systems/${system.id}/claim-packet`
  const counted = (count: number) => (count === 0 ? say.claims.none : String(count))
  return (
    <Layout {...props.shell} title={say.claims.packetOf(system.name)} width="narrow">
      <h1>{say.claims.packetOf(system.name)}</h1>
      <p class="lead">{say.claims.packetWhy}</p>
      <section class="sheet" aria-labelledby="in-it">
        <h2 id="in-it">{say.claims.whatIsIn}</h2>
        <Facts
          facts={[
            { label: say.claims.theReport, value: say.claims.asPdf, note: say.claims.theReportNote },
            { label: say.claims.callbacks, value: counted(counts.callbacks) },
            {
              label: say.claims.certificates,
              value: counted(counts.certificates),
              note: say.claims.certificatesNote,
            },
            { label: say.claims.photos, value: counted(counts.photos) },
            {
              label: say.claims.readings,
              value: counted(counts.readings),
              note: say.claims.readingsNote,
            },
            { label: say.claims.chain, value: counted(counts.entries), note: say.claims.chainNote },
            { label: say.claims.size, value: say.claims.about(props.megabytes) },
          ]}
        />
        <form method="get" action={`${address}.zip`} hx-boost="false">
          <div class="field field-check">
            <label class="choice" for="redact">
              <input
                id="redact"
                type="checkbox"
                name="redact"
                value="contact"
                checked={props.redact}
                aria-describedby="redact-hint"
              />
              <span>{say.claims.leaveOutContact}</span>
            </label>
            <p class="hint" id="redact-hint">
              {say.claims.leaveOutContactHint}
            </p>
          </div>
          <Button>{say.claims.make}</Button>
          <p class="hint">{say.claims.makeNote}</p>
        </form>
      </section>
      {props.before.length === 0 ? null : (
        <section class="sheet" aria-labelledby="before">
          <h2 id="before">{say.claims.madeBefore}</h2>
          <ul>
            {props.before.map((one) => (
              <li key={one.id}>
                <When at={one.at} /> {say.claims.madeBy(one.who)},{' '}
                {one.redacted ? say.claims.withoutContact : say.claims.withContact}
              </li>
            ))}
          </ul>
        </section>
      )}
      <p>
        <a href={`/systems/${system.id}/history`}>{say.claims.itsHistory}</a>
      </p>
    </Layout>
  )
}
