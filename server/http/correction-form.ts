// What stands beside a recorded step: the form that corrects it, filled in, and what it said before?

import { h } from 'preact'
import { CorrectionForm, CorrectionNotes } from '../../views/corrections/form.tsx'
import { StepFields, type StepFormProps } from '../../views/joints/step-forms.tsx'
import type { FormState, Option } from '../../views/parts/field.tsx'
import type { StepItem } from '../../views/parts/steps.tsx'
import { unitOptions } from '../../views/section-tests/unit-options.ts'
import { newId } from '../ids.ts'
import type { Step } from '../rules/dossier.ts'
import { pointsFor } from '../rules/points.ts'
import { listCorrectionsOfJoint } from '../store/queries/corrections.ts'
import { listEntriesAbout } from '../store/queries/entries.ts'
import type { RecordedStep } from '../store/queries/joints.ts'
import type { JointKind, StepKind } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import { correctionNotes, type MemberWords } from './correction-notes.ts'
import type { Fields } from './form.ts'
import { expand } from './form.ts'
import { stepChoices } from './joint-step-form.ts'
import type { Ask } from './resource.ts'
import type { SeenJoint } from './seen-joint.ts'
import { stepFields } from './step-json.ts'

export const PREFIX = 'replacement.'

/** Does this form, as it came back, correct something? Then the page's other forms are not filled in from it. */
export const correctedFact = (form: FormState | undefined): string | null => form?.values.factId || null

/** Adds to each recorded step its earlier versions, what waits, and, where `jobId` may be worked on, the form. */
export async function withCorrections(
  ask: Ask,
  seen: SeenJoint,
  steps: readonly Step[],
  told: { words(step: Step): string; member: MemberWords },
  jobId: string | null,
  form?: FormState,
): Promise<Map<string, Pick<StepItem, 'children' | 'under' | 'waiting' | 'open'>>> {
  const corrections = await listCorrectionsOfJoint(ask.scope, seen.joint.id)
  const correctable = steps.filter((step) => step.jobId === jobId)
  const entryOf = new Map<string, string>()
  if (correctable.length > 0)
    for (const entry of await listEntriesAbout(ask.scope, seen.joint.id))
      for (const fact of entry.facts) entryOf.set(fact.id, entry.id)
  const choices = correctable.length > 0 ? await stepChoices(ask, seen) : null

  const beside = steps.map((step) => {
    const notes = correctionNotes(step.id, corrections, told.words, told.member)
    const waiting = notes.filter((note) => note.state === 'waiting').length
    const entryId = entryOf.get(step.id)
    const mine = correctedFact(form) === step.id ? form : undefined
    const fields =
      choices && entryId && step.jobId === jobId && waiting === 0
        ? h('details', { open: mine === undefined ? undefined : true }, [
            h('summary', null, say.corrections.correctThis),
            h(CorrectionForm, {
              freshId: newId(),
              entryId,
              factId: step.id,
              at: `joint:${seen.joint.id}`,
              jobId: step.jobId,
              kept: keptOf(step as RecordedStep),
              form: mine,
              children: h(StepFields, filledIn(step as RecordedStep, seen.joint.kind, choices, mine)),
            }),
          ])
        : null
    const item: Pick<StepItem, 'children' | 'under' | 'waiting' | 'open'> = { waiting }
    if (fields) item.children = fields
    if (notes.length > 0) item.under = h(CorrectionNotes, { notes })
    if (mine) item.open = true
    return [step.id, item] as const
  })
  return new Map(beside)
}

/** Every unit that a quantity may have been typed in, so that none turns into another unseen. */
const ALL_UNITS: StepFormProps['units'] = {
  torque: unitOptions('torque', ['N.m', 'ft.lbf', 'in.lbf', 'kgf.cm']),
  length: unitOptions('length', ['mm', 'in', 'cm', 'm', 'ft']),
  pressure: unitOptions('gauge-pressure', ['MPa', 'psi', 'bar', 'kPa', 'Pa', 'mbar', 'micron', 'torr']),
}

function filledIn(
  step: RecordedStep,
  joint: JointKind,
  choices: Pick<StepFormProps, 'instruments' | 'lubrication'>,
  form: FormState | undefined,
): StepFormProps {
  const own = (step.body as { instrumentId?: string | null }).instrumentId ?? null
  const { flaringTools, wrenches, pressTools, detectors } = choices.instruments
  return {
    kind: step.kind,
    action: '/corrections',
    freshId: '',
    jobId: step.jobId,
    correcting: true,
    form: {
      values: form?.values ?? valuesOf(step),
      errors: form?.errors ?? [],
      scope: step.id,
      prefix: PREFIX,
    },
    instruments: {
      flaringTools: withOwn(flaringTools, step.kind === 'flare' ? own : null),
      wrenches:
        step.kind === 'torque' && own === null
          ? [{ value: '', label: say.corrections.none }, ...wrenches]
          : withOwn(wrenches, step.kind === 'torque' ? own : null),
      pressTools: withOwn(pressTools, step.kind === 'pressing' ? own : null),
      detectors: withOwn(detectors, step.kind === 'leak-check' ? own : null),
    },
    units: ALL_UNITS,
    lubrication: choices.lubrication,
    torque: null,
    points: pointsFor(step.kind, joint),
    together: null,
  }
}

/** One that is out of use by now was still the one it was done with. */
const withOwn = (options: Option[], own: string | null): Option[] =>
  own === null || options.some((one) => one.value === own)
    ? options
    : [{ value: own, label: say.corrections.theOneRecorded }, ...options]

/** Booleans that the form asks by a tick rather than by yes or no. */
const TICKED: ReadonlySet<string> = new Set(['witnessMark', 'checkedOnTrialLeak'])

/** The step's fields as the form names them, marks and all. */
function valuesOf(step: RecordedStep): Record<string, string> {
  const values: Record<string, string> = {}
  const put = (path: string, value: unknown): void => {
    if (value === null || value === undefined || path === `${PREFIX}allAsListed`) return
    if (Array.isArray(value)) return
    if (typeof value === 'object') {
      for (const [name, inner] of Object.entries(value)) put(`${path}.${name}`, inner)
    } else if (typeof value === 'boolean') {
      const ticked = TICKED.has(path.slice(PREFIX.length))
      values[`${path}?`] = ticked ? (value ? 'true' : '') : value ? 'yes' : 'no'
    } else if (typeof value === 'number' && !path.endsWith('.value')) values[`${path}#`] = String(value)
    else values[path] = String(value)
  }
  for (const [name, value] of Object.entries(stepFields(step))) put(PREFIX + name, value)
  return values
}

/** What each kind of step may hold that its form has no control for. */
const WITHOUT_CONTROL: Partial<Record<StepKind, readonly string[]>> = {
  preparation: ['instrumentId'],
  inspection: ['photoIds'],
  'leak-check': ['part'],
}

function keptOf(step: RecordedStep): { name: string; value: string }[] {
  const sent = stepFields(step)
  return (WITHOUT_CONTROL[step.kind] ?? []).flatMap((name) => {
    const value = Array.isArray(sent[name]) ? (sent[name] as string[]).join(' ') : sent[name]
    return typeof value === 'string' && value !== '' ? [{ name, value }] : []
  })
}

/**
 * The form as the command knows it. What is asked for behind a fold and was left as it was goes along hidden; taken
 * away in the fold, it is taken away whole.
 */
export function correctionFields(fields: Fields): Record<string, unknown> {
  const { replacement, ...rest } = expand(fields)
  const given: Record<string, unknown> = { ...(replacement as Record<string, unknown> | undefined) }
  if (given.allAsListed === 'true') given.allAsListed = true
  if (typeof given.photoIds === 'string') given.photoIds = given.photoIds.split(' ')
  if (given.notPossible && !(given.notPossible as { reason?: string }).reason) delete given.notPossible
  return { ...rest, replacement: given }
}
