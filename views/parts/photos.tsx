// Which photos are wanted here, which are there, and how is one added?

import type { JSX } from 'preact'
import type { EvidencePhoto } from '../../server/rules/policy.ts'
import type { PhotoSubjectKind } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import { Button } from './button.tsx'
import { type FormState, OtherErrors, PhotoField } from './field.tsx'
import { OutcomeMark } from './mark.tsx'
import { When } from './when.tsx'

export interface ShownPhoto {
  id: string
  /** What it shows, for who can't see it. */
  alt: string
  takenAt: number | null
  addedAt: number
  who: string
}

/** What a form that adds a photo sends beside the picture. */
export interface PhotoForm {
  freshId: string
  jobId: string | null
  subjectKind: PhotoSubjectKind
  subjectId: string
  stepId?: string | undefined
  shows: EvidencePhoto | null
}

export interface PhotoSlot {
  label: string
  /** The company's criteria ask for it here. */
  asked: boolean
  photos: readonly ShownPhoto[]
  /** Null where nobody may add one now. */
  form: PhotoForm | null
  /** Where it is added, when not here. */
  elsewhere?: { href: string; label: string } | undefined
}

export interface PhotosProps {
  /** Unique on the page: the section is drawn anew by it when a photo was added. */
  id: string
  title: string
  /** Where this page is got, whatever its address is at the moment. */
  page: string
  slots: readonly PhotoSlot[]
}

export function Photos(props: PhotosProps): JSX.Element | null {
  if (props.slots.length === 0) return null
  return (
    <section class="sheet photos" id={props.id} data-photos={props.page}>
      <h2>{props.title}</h2>
      <p class="photo-said" role="status" />
      {props.slots.map((slot) => (
        <Slot key={slot.label} slot={slot} scope={`${props.id}-${slot.form?.shows ?? 'any'}`} />
      ))}
    </section>
  )
}

function Slot({ slot, scope }: { slot: PhotoSlot; scope: string }): JSX.Element {
  const isMissing = slot.asked && slot.photos.length === 0
  return (
    <div class="photo-slot">
      <h3>
        {slot.asked ? <OutcomeMark outcome={isMissing ? 'open' : 'met'} /> : null} {slot.label}
        <span class="soft">
          {slot.asked
            ? isMissing
              ? say.parts.askedFor
              : say.parts.there
            : slot.photos.length === 0
              ? say.parts.ifItHelps
              : ''}
        </span>
      </h3>
      <PhotoGrid photos={slot.photos} />
      {slot.form === null ? (
        slot.photos.length === 0 && !slot.elsewhere ? (
          <p class="soft">{say.parts.none}</p>
        ) : null
      ) : (
        <details open={isMissing}>
          <summary>{slot.photos.length === 0 ? say.parts.addAPhoto : say.parts.addAnother}</summary>
          <AddPhoto form={slot.form} scope={scope} />
        </details>
      )}
      {slot.elsewhere ? (
        <p>
          <a href={slot.elsewhere.href}>{slot.elsewhere.label}</a>
        </p>
      ) : null}
    </div>
  )
}

export function PhotoGrid({ photos }: { photos: readonly ShownPhoto[] }): JSX.Element | null {
  if (photos.length === 0) return null
  return (
    <ul class="photo-grid">
      {photos.map((photo) => (
        <li key={photo.id}>
          <figure>
            <a href={`/photos/${photo.id}`} hx-boost="false" title={say.parts.theWholePicture}>
              <img src={`/photos/${photo.id}/thumbnail`} alt={photo.alt} loading="lazy" />
            </a>
            <figcaption class="hint">
              {photo.takenAt === null ? say.parts.added : ''}
              <When at={photo.takenAt ?? photo.addedAt} />, {photo.who}
            </figcaption>
          </figure>
        </li>
      ))}
    </ul>
  )
}

/** One form for one photo: works by itself, and is sent as soon as a photo is chosen where script runs. */
export function AddPhoto(props: {
  form: PhotoForm
  scope: string
  /** As it came back. */
  came?: FormState | undefined
  /** Where to go when it is done; left out, the section is drawn anew. */
  done?: string | undefined
}): JSX.Element {
  const { form } = props
  const state = (scope: string): FormState => ({
    values: {},
    errors: scope === '' ? (props.came?.errors ?? []).filter(({ path }) => path === 'picture') : [],
    scope: `${props.scope}${scope}`,
  })
  return (
    // The browser itself sends it: a boosted form would leave the file behind.
    <form
      method="post"
      action="/photos"
      encType="multipart/form-data"
      hx-boost="false"
      class="photo-form"
      data-photo={props.done ?? ''}
    >
      <OtherErrors form={props.came} fields={['picture']} />
      <input type="hidden" name="id" value={form.freshId} />
      {form.jobId === null ? null : <input type="hidden" name="jobId" value={form.jobId} />}
      <input type="hidden" name="subjectKind" value={form.subjectKind} />
      <input type="hidden" name="subjectId" value={form.subjectId} />
      {form.stepId === undefined ? null : <input type="hidden" name="stepId" value={form.stepId} />}
      {form.shows === null ? null : <input type="hidden" name="shows" value={form.shows} />}
      <PhotoField name="picture" label={say.parts.takeAPhoto} form={state('')} camera />
      <details>
        <summary>{say.parts.orOneThatWas}</summary>
        <PhotoField name="picture" label={say.parts.chooseAPhoto} form={state('-before')} />
      </details>
      <progress class="photo-progress" max={100} value={0} hidden aria-label={say.parts.sendingThePhoto} />
      <Button kind="other">{say.parts.addThePhoto}</Button>
    </form>
  )
}
