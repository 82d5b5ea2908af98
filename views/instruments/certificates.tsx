// Which certificates stand beside a check, and how is one added?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'
import { Button } from '../parts/button.tsx'
import { FileField, type FormState, OtherErrors } from '../parts/field.tsx'

export const CERTIFICATE_FILES = 'application/pdf,image/jpeg,image/png'

export interface CertificateLine {
  id: string
  bytes: number
  ending: string
}

export function Certificates(props: {
  calibrationId: string
  files: readonly CertificateLine[]
  mayAdd: boolean
  freshId: string
  form?: FormState | undefined
}): JSX.Element {
  // Each check has such a form on the page.
  const form = { values: {}, errors: [], ...props.form, scope: props.calibrationId }
  return (
    <>
      {props.files.length === 0 ? (
        <span class="soft">{say.instrumentCare.noCertificate}</span>
      ) : (
        props.files.map((file, index) => (
          <div key={file.id}>
            <a href={`/calibration-files/${file.id}`} hx-boost="false">
              {say.instrumentCare.certificateNumber(index + 1)}
            </a>{' '}
            <span class="soft">
              {file.ending}, {say.instrumentCare.kilobytes(file.bytes)}
            </span>
          </div>
        ))
      )}
      {props.mayAdd ? (
        <details open={props.form !== undefined}>
          <summary>{say.instrumentCare.addACertificate}</summary>
          <form
            method="post"
            action={`/calibrations/${props.calibrationId}/certificates`}
            encType="multipart/form-data"
            hx-boost="false"
          >
            <input type="hidden" name="id" value={props.freshId} />
            <OtherErrors form={form} fields={['certificate']} />
            <FileField
              name="certificate"
              label={say.instrumentCare.certificateFile}
              hint={props.files.length === 0 ? undefined : say.instrumentCare.anotherStandsBeside}
              accept={CERTIFICATE_FILES}
              form={form}
            />
            <Button kind="other">{say.instrumentCare.addIt}</Button>
          </form>
        </details>
      ) : null}
    </>
  )
}
