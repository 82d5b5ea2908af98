// How is one photo added, on a page of its own?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import type { FormState } from '../parts/field.tsx'
import { AddPhoto, type PhotoForm } from '../parts/photos.tsx'

export interface NewPhotoPageProps {
  shell: Shell
  /** "The gauge at the start of the hold" */
  what: string
  form: PhotoForm
  /** Where it belongs. */
  back: string
  came?: FormState | undefined
}

export function NewPhotoPage(props: NewPhotoPageProps): JSX.Element {
  return (
    <Layout {...props.shell} title={say.photos.addAPhoto} width="narrow">
      <h1>{say.photos.addAPhoto}</h1>
      <p class="lead">{props.what}</p>
      <section class="sheet photos">
        <p class="photo-said" role="status" />
        <AddPhoto form={props.form} scope="new" came={props.came} done={props.back} />
      </section>
      <p>
        <a href={props.back}>{say.photos.backWithoutOne}</a>
      </p>
    </Layout>
  )
}
