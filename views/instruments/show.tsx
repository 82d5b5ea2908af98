// What is this instrument, may it be used today, and how was it found each time it was checked?

import type { JSX } from 'preact'
import type { Confirmation } from '../../server/http/confirmation.ts'
import type { Shell } from '../../server/http/shell.ts'
import type { CalibrationBasis, CalibrationResult } from '../../server/vocabulary.ts'
import { Layout } from '../layout.tsx'
import { Empty } from '../parts/empty.tsx'
import { Facts } from '../parts/facts.tsx'
import { When } from '../parts/when.tsx'
import { ConfirmationState } from './confirmation.tsx'
import { BASIS_WORDS, RESULT_WORDS } from './words.ts'

export interface InstrumentPageProps {
  shell: Shell
  instrument: {
    id: string
    kindWords: string
    name: string
    serial: string
    active: boolean
    compound: boolean
    accuracy: string | null
    resolution: string | null
    repeatability: string | null
    fullScale: string | null
  }
  confirmation: Confirmation
  /** Newest first. */
  calibrations: readonly {
    id: string
    at: number
    result: CalibrationResult
    basis: CalibrationBasis
    reference: string | null
    errors: readonly { at: string | null; found: string; left: string | null }[]
  }[]
  /** A check found it off, so there is something to look at. */
  recalled: boolean
  mayKeep: boolean
}

export function InstrumentPage({
  shell,
  instrument,
  confirmation,
  calibrations,
  recalled,
  mayKeep,
}: InstrumentPageProps): JSX.Element {
  const path = `/instruments/${instrument.id}`
  const record = { href: `${path}/calibrations/new`, label: 'Record a check' }
  const notStated = <span class="soft">not stated</span>
  return (
    <Layout {...shell} title={instrument.name}>
      <h1>{instrument.name}</h1>
      <p class="lead">
        A {instrument.kindWords}, serial {instrument.serial}
        {instrument.active ? '' : '. Out of use'}
      </p>
      <Facts
        facts={[
          {
            label: 'Stands',
            value: <ConfirmationState confirmation={confirmation} />,
            note: confirmation.state === 'not-asked' ? undefined : confirmation.reason,
          },
          {
            label: 'Checked every',
            value:
              confirmation.intervalDays === null
                ? 'not asked for'
                : confirmation.intervalDays === 1
                  ? 'day of use'
                  : `${confirmation.intervalDays} days`,
          },
          { label: 'Accuracy', value: instrument.accuracy === null ? notStated : `± ${instrument.accuracy}` },
          { label: 'Resolution', value: instrument.resolution ?? notStated },
          { label: 'Repeatability', value: instrument.repeatability ?? notStated },
          { label: 'Full scale', value: instrument.fullScale ?? notStated },
          ...(instrument.compound
            ? [{ label: 'Compound gauge', value: 'It can’t show a deep vacuum.' }]
            : []),
        ]}
      />
      {mayKeep ? (
        <p>
          <a href={`${path}/edit`}>Change this instrument</a>
        </p>
      ) : null}
      {recalled ? (
        <p>
          A check found it off. <a href={`${path}/recall`}>What rests on it, and what becomes of that</a>
        </p>
      ) : null}
      <section class="sheet" aria-labelledby="checks">
        <h2 id="checks">Checks</h2>
        {calibrations.length === 0 ? (
          <Empty title="Never checked yet" action={mayKeep ? record : undefined} />
        ) : (
          <>
            {mayKeep ? (
              <p class="actions">
                <a class="button" href={record.href}>
                  {record.label}
                </a>
              </p>
            ) : null}
            <table class="stack">
              <thead>
                <tr>
                  <th scope="col">Day</th>
                  <th scope="col">Found</th>
                  <th scope="col">Error</th>
                  <th scope="col">By</th>
                </tr>
              </thead>
              <tbody>
                {calibrations.map((calibration) => (
                  <tr key={calibration.id}>
                    <td>
                      <When at={calibration.at} show="day" />
                    </td>
                    <td>{RESULT_WORDS[calibration.result]}</td>
                    <td data-label="Error">
                      {calibration.errors.length === 0 ? (
                        <span class="soft">not stated</span>
                      ) : (
                        calibration.errors.map((error) => (
                          <div key={error.at ?? ''}>
                            {error.at === null ? '' : `at ${error.at} `}
                            {error.found}
                            {error.left === null ? null : (
                              <span class="soft">; after adjusting {error.left}</span>
                            )}
                          </div>
                        ))
                      )}
                    </td>
                    <td data-label="By">
                      {BASIS_WORDS[calibration.basis]}
                      {calibration.reference === null ? null : (
                        <span class="soft">, {calibration.reference}</span>
                      )}
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          </>
        )}
      </section>
    </Layout>
  )
}
