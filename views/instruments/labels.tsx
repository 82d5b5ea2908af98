// What is printed, cut out and stuck to the instruments? For each its picture to scan, its number, when it is due.

import type { JSX } from 'preact'
import type { Confirmation } from '../../server/http/confirmation.ts'
import type { DrawnQr } from '../../server/http/qr.ts'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'

export interface InstrumentLabelsProps {
  shell: Shell
  /** Every instrument in use, to choose from. */
  all: readonly { id: string; words: string; marked: boolean }[]
  labels: readonly {
    id: string
    number: string
    name: string
    serial: string
    confirmation: Confirmation
    qr: DrawnQr
  }[]
}

export function InstrumentLabelsPage({ shell, all, labels }: InstrumentLabelsProps): JSX.Element {
  const isPart = labels.length < all.length
  return (
    <Layout {...shell} title={say.instrumentCare.labelsOfInstruments}>
      <h1>{say.instrumentCare.labelsOfInstruments}</h1>
      <p class="lead no-paper">
        <a href="/instruments">{say.instrumentCare.allInstruments}</a>
      </p>
      {all.length === 0 ? (
        <p>{say.instrumentCare.noneInUse}</p>
      ) : (
        <>
          <p class="why no-paper">{say.instrumentCare.printThisPage}</p>
          <details class="no-paper" open={isPart ? true : undefined}>
            <summary>{say.instrumentCare.chooseWhich(labels.length)}</summary>
            <form method="get" action="/instruments/labels">
              <fieldset class="label-choice">
                <legend class="vh">{say.instruments.instruments}</legend>
                {all.map((one) => (
                  <label class="choice" key={one.id}>
                    <input type="checkbox" name={`_instrument.${one.id}`} value="yes" checked={one.marked} />
                    <span>{one.words}</span>
                  </label>
                ))}
              </fieldset>
              <div class="actions">
                <button type="submit">{say.instrumentCare.showOnlyThese}</button>
                <a class="button other" href="/instruments/labels">
                  {say.instrumentCare.allInUse}
                </a>
              </div>
            </form>
          </details>
        </>
      )}
      <ul class="labels" aria-label={say.instrumentCare.labels}>
        {labels.map((label) => (
          <li key={label.id} class="label">
            <svg class="qr" viewBox={`0 0 ${label.qr.side} ${label.qr.side}`} aria-hidden="true">
              <path class="qr-ground" d={`M0 0h${label.qr.side}v${label.qr.side}H0z`} />
              <path class="qr-ink" d={label.qr.path} />
            </svg>
            <p>
              <b class="label-number">{label.number}</b>
              <span class="label-where">{label.name}</span>
              <span class="label-where soft">{label.serial}</span>
              <b>
                <Due confirmation={label.confirmation} />
              </b>
            </p>
          </li>
        ))}
      </ul>
    </Layout>
  )
}

/** Printed once and read for a year: the day it is due, or that there is none. */
function Due({ confirmation: { state, intervalDays, confirmedUntil } }: { confirmation: Confirmation }) {
  if (state === 'not-asked') return <>{say.instrumentCare.labelNoDate}</>
  if (intervalDays !== null && intervalDays <= 1) return <>{say.instrumentCare.labelDayOfUse}</>
  if (state === 'out-of-tolerance') return <>{say.instruments.outOfToleranceDo}</>
  if (confirmedUntil === null) return <>{say.instrumentCare.labelNotChecked}</>
  return <>{say.instrumentCare.labelDue(dayOf(confirmedUntil))}</>
}

/** A label has no reader's zone, and little room. */
const dayOf = (at: number) => new Date(at).toISOString().slice(0, 10)

/** An address may not move somebody to another company by itself: they say so. */
export function OtherCompanysInstrument(props: {
  shell: Shell
  name: string
  here: string
  company: { id: string; name: string }
  action: string
}): JSX.Element {
  return (
    <Layout {...props.shell} title={props.name} width="narrow">
      <h1>{props.name}</h1>
      <p>{say.instrumentCare.belongsTo(<b>{props.company.name}</b>, props.here)}</p>
      <form method="post" action={props.action}>
        <Button name="companyId" value={props.company.id}>
          {say.instrumentCare.openItIn(props.company.name)}
        </Button>
      </form>
    </Layout>
  )
}
