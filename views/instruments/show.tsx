// What is this instrument, may it be used today, and how was it found each time it was checked?

import type { JSX } from 'preact'
import type { Confirmation } from '../../server/http/confirmation.ts'
import type { Shell } from '../../server/http/shell.ts'
import type { UseCount } from '../../server/store/queries/instrument-uses.ts'
import type { CalibrationBasis, CalibrationResult } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Empty } from '../parts/empty.tsx'
import { Facts } from '../parts/facts.tsx'
import type { FormState } from '../parts/field.tsx'
import { When } from '../parts/when.tsx'
import { type CertificateLine, Certificates } from './certificates.tsx'
import { ConfirmationState } from './confirmation.tsx'
import { CountUses, Uses } from './uses.tsx'
import { basisWords, resultWords } from './words.ts'

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
    files: readonly CertificateLine[]
    freshId: string
    /** Of its certificate, where one was refused. */
    form: FormState | undefined
  }[]
  /** Null where uses are not counted. */
  uses: UseCount | null
  usesForm: FormState | undefined
  freshId: string
  /** A check found it off, so there is something to look at. */
  recalled: boolean
  mayKeep: boolean
}

export function InstrumentPage({
  shell,
  instrument,
  confirmation,
  calibrations,
  uses,
  usesForm,
  freshId,
  recalled,
  mayKeep,
}: InstrumentPageProps): JSX.Element {
  const path = `/instruments/${instrument.id}`
  const record = { href: `${path}/calibrations/new`, label: say.instruments.recordACheck }
  const notStated = <span class="soft">{say.instruments.notStated}</span>
  return (
    <Layout {...shell} title={instrument.name}>
      <h1>{instrument.name}</h1>
      <p class="lead">
        {say.instruments.aSerial(
          instrument.kindWords,
          instrument.serial,
          instrument.active ? '' : say.instruments.outOfUse2,
        )}
      </p>
      <Facts
        facts={[
          {
            label: say.instruments.stands,
            value: <ConfirmationState confirmation={confirmation} />,
            note: confirmation.state === 'not-asked' ? undefined : confirmation.reason,
          },
          {
            label: say.instruments.checkedEvery,
            value:
              confirmation.intervalDays === null
                ? say.instruments.notAskedFor
                : confirmation.intervalDays === 1
                  ? say.instruments.dayOfUse
                  : say.instruments.days(confirmation.intervalDays),
          },
          ...(uses === null
            ? []
            : [
                {
                  label: say.instrumentCare.uses,
                  value: <Uses uses={uses} />,
                  note: uses.byHand === 0 ? undefined : say.instrumentCare.usesByHand(uses.byHand),
                },
              ]),
          {
            label: say.instruments.accuracy,
            value: instrument.accuracy === null ? notStated : `± ${instrument.accuracy}`,
          },
          { label: say.instruments.resolution, value: instrument.resolution ?? notStated },
          { label: say.instruments.repeatability, value: instrument.repeatability ?? notStated },
          { label: say.instruments.fullScale, value: instrument.fullScale ?? notStated },
          ...(instrument.compound
            ? [{ label: say.instruments.compoundGauge, value: say.instruments.itCantShowA }]
            : []),
        ]}
      />
      <p class="actions">
        <a class="button other" href={`/instruments/labels?_instrument.${instrument.id}=yes`}>
          {say.instrumentCare.label}
        </a>
        {mayKeep ? (
          <a class="button other" href={`${path}/edit`}>
            {say.instruments.changeThisInstrument}
          </a>
        ) : null}
      </p>
      {mayKeep && uses !== null ? (
        <CountUses instrumentId={instrument.id} freshId={freshId} form={usesForm} />
      ) : null}
      {recalled ? (
        <p>{say.instruments.aCheckFoundIt(<a href={`${path}/recall`}>{say.instruments.whatRestsOnIt}</a>)}</p>
      ) : null}
      <section class="sheet" aria-labelledby="checks">
        <h2 id="checks">{say.instruments.checks}</h2>
        {calibrations.length === 0 ? (
          <Empty title={say.instruments.neverCheckedYet} action={mayKeep ? record : undefined} />
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
                  <th scope="col">{say.instruments.day}</th>
                  <th scope="col">{say.instruments.found2}</th>
                  <th scope="col">{say.instruments.error}</th>
                  <th scope="col">{say.instruments.by}</th>
                  <th scope="col">{say.instrumentCare.certificates}</th>
                </tr>
              </thead>
              <tbody>
                {calibrations.map((calibration) => (
                  <tr key={calibration.id}>
                    <td>
                      <When at={calibration.at} show="day" />
                    </td>
                    <td>{resultWords()[calibration.result]}</td>
                    <td data-label={say.instruments.error}>
                      {calibration.errors.length === 0 ? (
                        <span class="soft">{say.instruments.notStated}</span>
                      ) : (
                        calibration.errors.map((error) => (
                          <div key={error.at ?? ''}>
                            {error.at === null ? '' : say.instruments.at2(error.at)}
                            {error.found}
                            {error.left === null ? null : (
                              <span class="soft">{say.instruments.afterAdjusting(error.left)}</span>
                            )}
                          </div>
                        ))
                      )}
                    </td>
                    <td data-label={say.instruments.by}>
                      {basisWords()[calibration.basis]}
                      {calibration.reference === null ? null : (
                        <span class="soft">, {calibration.reference}</span>
                      )}
                    </td>
                    <td data-label={say.instrumentCare.certificates}>
                      <Certificates
                        calibrationId={calibration.id}
                        files={calibration.files}
                        mayAdd={mayKeep}
                        freshId={calibration.freshId}
                        form={calibration.form}
                      />
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
