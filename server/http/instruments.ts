// Instruments: what measures and forms, how each was found when it was checked, as pages and as JSON.

import { CalibrationPage } from '../../views/instruments/calibration-form.tsx'
import { EditInstrument, NewInstrument } from '../../views/instruments/form.tsx'
import { InstrumentList } from '../../views/instruments/index.tsx'
import { InstrumentPage } from '../../views/instruments/show.tsx'
import { instrumentKindWords } from '../../views/instruments/words.ts'
import type { FormState } from '../../views/parts/field.tsx'
import { may } from '../access/capabilities.ts'
import { addInstrument } from '../commands/instruments/add-instrument.ts'
import { changeInstrument } from '../commands/instruments/change-instrument.ts'
import { countUsesByHand } from '../commands/instruments/count-uses.ts'
import { instrumentKind, QUANTITY_OF } from '../commands/instruments/instrument-figures.ts'
import { recordCalibration } from '../commands/instruments/record-calibration.ts'
import { newId } from '../ids.ts'
import { recallSpans } from '../rules/judge-recall.ts'
import { type CalibrationFileRow, listCalibrationFiles } from '../store/queries/calibration-files.ts'
import { grouped } from '../store/queries/grouped.ts'
import type { UseCount } from '../store/queries/instrument-uses.ts'
import {
  type CalibrationRow,
  findInstrument,
  type KeptInstrument,
  listInstruments,
} from '../store/queries/instruments.ts'
import { asInstrument } from '../store/queries/instruments-used.ts'
import { findPolicy } from '../store/queries/policy.ts'
import { errorInWords } from '../trade/calibration.ts'
import { formatQuantity, type QuantityKind, UNIT_LABELS, type Unit, type UnitOf } from '../trade/units.ts'
import type { InstrumentKind } from '../vocabulary.ts'
import { say } from '../words/say.ts'
import { calibrationFileJson } from './calibration-files.ts'
import { confirmationOf } from './confirmation.ts'
import type { Deps } from './deps.ts'
import { expand, type Fields } from './form.ts'
import { numberOrNull, quantityOrNull } from './form-fields.ts'
import { usesJson, usesOf } from './instruments-due.ts'
import { instant, instantOrNull, type QuantityJson, quantityJson } from './json.ts'
import { type Ask, type ListQuery, listQuery, type Resource } from './resource.ts'
import { shellOf } from './shell.ts'

const instrumentsQuery = listQuery.extend({ kind: instrumentKind.optional() })
type InstrumentsQuery = ListQuery & { kind?: InstrumentKind | undefined }

export function instrumentsResource(resource: Resource, _deps: Deps): void {
  resource.read({
    path: '/instruments',
    name: 'list-instruments',
    summary: 'The company’s instruments, newest first, each with how its confirmation stands.',
    query: instrumentsQuery,
    load: ({ scope, query }) => listInstruments(scope, query as unknown as InstrumentsQuery),
    json: async ({ items, nextCursor }, ask) => {
      const { criteria } = await findPolicy(ask.scope)
      const uses = await usesOf(ask.scope, items, ask.now)
      return {
        items: items.map((instrument) => {
          const counted = uses.get(instrument.id) ?? null
          return instrumentJson(instrument, confirmationOf(instrument, criteria, ask.now, counted), counted)
        }),
        nextCursor,
      }
    },
    page: async ({ items, nextCursor }, { actor, scope, query, now }) => {
      const { criteria } = await findPolicy(scope)
      const uses = await usesOf(scope, items, now)
      return InstrumentList({
        shell: shellOf(actor, '/instruments'),
        kind: (query.kind as InstrumentKind | undefined) ?? null,
        instruments: items.map((instrument) => ({
          id: instrument.id,
          kind: instrument.kind,
          name: instrument.name,
          serial: instrument.serial,
          active: instrument.active,
          confirmation: confirmationOf(instrument, criteria, now, uses.get(instrument.id)),
          uses: uses.get(instrument.id) ?? null,
        })),
        isFirstPage: query.cursor === undefined,
        nextCursor,
        mayAdd: may(actor, 'keep-instruments'),
      })
    },
  })

  resource.read({
    path: '/instruments/new',
    name: 'new-instrument',
    summary: 'The form for a new instrument.',
    capability: 'keep-instruments',
    load: async () => null,
    page: (_nothing, ask) => newPage(ask),
  })

  resource.write({
    path: '/instruments',
    command: addInstrument,
    status: 201,
    json: answerOf,
    page: {
      goTo: (instrument) => `/instruments/${instrument.id}`,
      again: async (form, _refusal, ask) => newPage(ask, form),
    },
  })

  resource.read({
    path: '/instruments/:instrumentId',
    name: 'read-instrument',
    summary: 'One instrument with its calibrations.',
    load: ({ scope, params }) => findInstrument(scope, params.instrumentId ?? ''),
    json: answerOf,
    page: (instrument, ask) => instrumentPage(ask, instrument),
  })

  resource.read({
    path: '/instruments/:instrumentId/edit',
    name: 'edit-instrument',
    summary: 'The form that changes an instrument.',
    capability: 'keep-instruments',
    load: ({ scope, params }) => findInstrument(scope, params.instrumentId ?? ''),
    page: (_instrument, ask) => editPage(ask),
  })

  resource.write({
    method: 'PATCH',
    path: '/instruments/:instrumentId',
    command: changeInstrument,
    json: answerOf,
    page: {
      input: changesOf,
      goTo: (instrument) => `/instruments/${instrument.id}`,
      again: (form, _refusal, ask) => editPage(ask, form),
    },
  })

  resource.read({
    path: '/instruments/:instrumentId/calibrations/new',
    name: 'new-calibration',
    summary: 'The form for a calibration or own check.',
    capability: 'keep-instruments',
    load: ({ scope, params }) => findInstrument(scope, params.instrumentId ?? ''),
    page: (_instrument, ask) => calibrationPage(ask),
  })

  resource.write({
    path: '/instruments/:instrumentId/calibrations',
    command: recordCalibration,
    status: 201,
    upload: 'certificate',
    json: async ({ instrument, calibration }, ask) => {
      const { criteria } = await findPolicy(ask.scope)
      const uses = (await usesOf(ask.scope, [instrument], ask.now)).get(instrument.id)
      const files = await listCalibrationFiles(ask.scope, [calibration.id])
      return {
        ...calibrationJson(calibration, instrument.kind, files),
        confirmation: confirmationJson(confirmationOf(instrument, criteria, ask.now, uses)),
      }
    },
    page: {
      input: calibrationFrom,
      goTo: ({ instrument }) => `/instruments/${instrument.id}`,
      again: (form, _refusal, ask) => calibrationPage(ask, withRows(form)),
    },
  })

  resource.write({
    path: '/instruments/:instrumentId/uses',
    command: countUsesByHand,
    status: 201,
    json: (row) => ({
      id: row.id,
      instrumentId: row.instrumentId,
      uses: row.uses,
      at: instant(row.at),
      note: row.note,
      recordedBy: row.recordedBy,
      recordedAt: instant(row.recordedAt),
    }),
    page: {
      goTo: (row) => `/instruments/${row.instrumentId}`,
      again: async (form, _refusal, ask) =>
        instrumentPage(ask, await findInstrument(ask.scope, ask.params.instrumentId ?? ''), {
          of: 'uses',
          form,
        }),
    },
  })
}

async function answerOf(instrument: KeptInstrument, ask: Ask) {
  const { criteria } = await findPolicy(ask.scope)
  const uses = (await usesOf(ask.scope, [instrument], ask.now)).get(instrument.id) ?? null
  const files = await filesOf(ask, instrument)
  return {
    ...instrumentJson(instrument, confirmationOf(instrument, criteria, ask.now, uses), uses),
    calibrations: instrument.calibrations.map((calibration) =>
      calibrationJson(calibration, instrument.kind, files.get(calibration.id) ?? []),
    ),
  }
}

const filesOf = async ({ scope }: Ask, { calibrations }: KeptInstrument) =>
  grouped(
    await listCalibrationFiles(
      scope,
      calibrations.map(({ id }) => id),
    ),
    ({ calibrationId }) => calibrationId,
  )

/** The unit a figure is answered in: SI of the instrument's quantity; leaks in the unit of leaks. */
const ANSWER_UNIT: Partial<Record<QuantityKind, Unit>> = {
  torque: 'N.m',
  pressure: 'Pa',
  'temperature-difference': 'K',
  mass: 'kg',
  'mass-rate': 'g/yr',
  length: 'm',
}

function figureJson(
  instrument: KeptInstrument,
  name: 'accuracyAbsolute' | 'resolution' | 'repeatability' | 'fullScale',
): QuantityJson | null {
  return instrument.typed[name] ?? siJson(instrument.kind, instrument[name])
}

function siJson(kind: InstrumentKind, si: number | null): QuantityJson | null {
  const quantity = QUANTITY_OF[kind]
  return quantityJson(quantity, si, (ANSWER_UNIT[quantity] ?? 'm') as UnitOf<typeof quantity>)
}

export const instrumentJson = (
  instrument: KeptInstrument,
  confirmation: ReturnType<typeof confirmationOf>,
  uses: UseCount | null,
) => ({
  id: instrument.id,
  kind: instrument.kind,
  name: instrument.name,
  serial: instrument.serial,
  accuracyPercent: instrument.accuracyPercent,
  accuracyAbsolute: figureJson(instrument, 'accuracyAbsolute'),
  resolution: figureJson(instrument, 'resolution'),
  repeatability: figureJson(instrument, 'repeatability'),
  fullScale: figureJson(instrument, 'fullScale'),
  compound: instrument.compound,
  calibrationIntervalDays: instrument.calibrationIntervalDays,
  active: instrument.active,
  createdAt: instant(instrument.createdAt),
  confirmation: confirmationJson(confirmation),
  uses: uses === null ? null : usesJson(uses),
})

const confirmationJson = (confirmation: ReturnType<typeof confirmationOf>) => ({
  state: confirmation.state,
  confirmed: confirmation.confirmed,
  confirmedUntil: instantOrNull(confirmation.confirmedUntil),
  dueSoon: confirmation.dueSoon,
  intervalDays: confirmation.intervalDays,
  reason: confirmation.reason,
})

const calibrationJson = (
  calibration: CalibrationRow,
  kind: InstrumentKind,
  files: readonly CalibrationFileRow[],
) => ({
  id: calibration.id,
  instrumentId: calibration.instrumentId,
  at: instant(calibration.at),
  result: calibration.result,
  basis: calibration.basis,
  points: calibration.points.map((point, index) => ({
    nominal: calibration.typed?.[`points.${index}.nominal`] ?? siJson(kind, point.nominal),
    asFoundErrorPercent: point.asFoundErrorPercent,
    asLeftErrorPercent: point.asLeftErrorPercent,
    inWords: saidOfError(kind, point.asFoundErrorPercent),
  })),
  uncertainty: calibration.typed?.uncertainty ?? siJson(kind, calibration.uncertainty),
  reference: calibration.reference,
  certificates: files.map(calibrationFileJson),
  recordedBy: calibration.recordedBy,
  recordedAt: instant(calibration.recordedAt),
})

/** "applies 9 % less than it shows" for a wrench, "shows 2 % too much" for what only measures. */
function saidOfError(kind: InstrumentKind, errorPercent: number): string {
  const words = errorInWords(errorPercent, kind === 'torque-wrench' ? 'applies' : 'measures')
  return (
    words ??
    (kind === 'torque-wrench' ? say.instruments.appliesWhatItShows : say.instruments.showsWhatThereIs)
  )
}

/** The worst of what a check found: "applies 8.3 % less than it shows". */
export function foundOff(kind: InstrumentKind, { points }: Pick<CalibrationRow, 'points'>): string {
  const [worst] = points.toSorted((a, b) => Math.abs(b.asFoundErrorPercent) - Math.abs(a.asFoundErrorPercent))
  return worst ? saidOfError(kind, worst.asFoundErrorPercent) : say.instruments.wasOutOfTolerance
}

// ---------------------------------------------------------------- forms

/** The edit form shows all that is known, so what comes back empty was taken away. */
function changesOf(fields: Fields): Record<string, unknown> {
  return {
    ...expand(fields),
    active: fields['active?'] === 'yes',
    compound: fields['compound?'] === 'true',
    accuracyPercent: numberOrNull(fields['accuracyPercent#']),
    accuracyAbsolute: quantityOrNull(fields, 'accuracyAbsolute'),
    resolution: quantityOrNull(fields, 'resolution'),
    repeatability: quantityOrNull(fields, 'repeatability'),
    fullScale: quantityOrNull(fields, 'fullScale'),
    calibrationIntervalDays: numberOrNull(fields['calibrationIntervalDays#']),
  }
}

const POINT = /^points\.(\d{1,2})\.(?:nominal\.value|asFoundErrorPercent#)$/

const filledPoints = (fields: Fields): number[] =>
  [
    ...new Set(
      Object.keys(fields).flatMap((name) => {
        const match = POINT.exec(name)
        return match && (fields[name] ?? '').trim() !== '' ? [Number(match[1])] : []
      }),
    ),
  ].toSorted((a, b) => a - b)

function calibrationFrom(fields: Fields): Record<string, unknown> {
  const { points: _points, ...input } = expand(fields)
  const rows = filledPoints(fields)
  if (rows.length === 0) return input
  return {
    ...input,
    points: rows.map((row) => {
      const left = numberOrNull(fields[`points.${row}.asLeftErrorPercent#`])
      return {
        nominal: quantityOrNull(fields, `points.${row}.nominal`),
        asFoundErrorPercent: numberOrNull(fields[`points.${row}.asFoundErrorPercent#`]),
        ...(left === null ? {} : { asLeftErrorPercent: left }),
      }
    }),
  }
}

/** What was refused names the place among the filled rows; the form knows them by where they stand. */
function withRows(form: FormState): FormState {
  const rows = filledPoints(form.values)
  return {
    ...form,
    errors: form.errors.map((error) => {
      const match = /^points\.(\d+)(.*)$/.exec(error.path)
      const row = match ? rows[Number(match[1])] : undefined
      return match && row !== undefined ? { ...error, path: `points.${row}${match[2]}` } : error
    }),
  }
}

// ---------------------------------------------------------------- pages

function newPage({ actor, query }: Ask, form?: FormState) {
  const asked = instrumentKind.safeParse(form?.values.kind ?? query.kind)
  return NewInstrument({
    shell: shellOf(actor, '/instruments'),
    id: form?.values.id ?? newId(),
    kind: asked.success ? asked.data : null,
    form,
  })
}

async function editPage(ask: Ask, form?: FormState) {
  const instrument = await findInstrument(ask.scope, ask.params.instrumentId ?? '')
  const { criteria } = await findPolicy(ask.scope)
  const figures = instrumentJson(instrument, confirmationOf(instrument, criteria, ask.now), null)
  return EditInstrument({
    shell: shellOf(ask.actor, '/instruments'),
    instrument: {
      id: instrument.id,
      kind: instrument.kind,
      name: instrument.name,
      active: instrument.active,
      compound: instrument.compound,
      accuracyPercent: instrument.accuracyPercent,
      calibrationIntervalDays: instrument.calibrationIntervalDays,
      accuracyAbsolute: figures.accuracyAbsolute,
      resolution: figures.resolution,
      repeatability: figures.repeatability,
      fullScale: figures.fullScale,
    },
    policyDays: criteria.confirmationDays[instrument.kind],
    form,
  })
}

async function calibrationPage(ask: Ask, form?: FormState) {
  const { id, kind, name, serial } = await findInstrument(ask.scope, ask.params.instrumentId ?? '')
  return CalibrationPage({
    shell: shellOf(ask.actor, '/instruments'),
    id: form?.values.id ?? newId(),
    instrument: { id, kind, name, serial },
    form,
  })
}

/** With a form that was refused: the one of the uses, or the one of a check's certificate by the id of the check. */
export async function instrumentPage(
  ask: Ask,
  instrument: KeptInstrument,
  refused?: { of: string; form: FormState },
) {
  const { criteria } = await findPolicy(ask.scope)
  const uses = (await usesOf(ask.scope, [instrument], ask.now)).get(instrument.id) ?? null
  const files = await filesOf(ask, instrument)
  const confirmation = confirmationOf(instrument, criteria, ask.now, uses)
  const said = (quantity: QuantityJson | null) =>
    quantity === null
      ? null
      : `${Number(quantity.value.toPrecision(6))} ${UNIT_LABELS[quantity.unit as Unit] ?? quantity.unit}`
  return InstrumentPage({
    shell: shellOf(ask.actor, '/instruments'),
    instrument: {
      id: instrument.id,
      kindWords: instrumentKindWords()[instrument.kind],
      name: instrument.name,
      serial: instrument.serial,
      active: instrument.active,
      compound: instrument.compound,
      accuracy:
        instrument.accuracyPercent === null
          ? said(figureJson(instrument, 'accuracyAbsolute'))
          : say.instruments.ofWord(
              instrument.accuracyPercent,
              instrument.fullScale === null ? say.instruments.theReading : say.instruments.fullScale2,
            ),
      resolution: said(figureJson(instrument, 'resolution')),
      repeatability: said(figureJson(instrument, 'repeatability')),
      fullScale: said(figureJson(instrument, 'fullScale')),
    },
    confirmation,
    uses,
    usesForm: refused?.of === 'uses' ? refused.form : undefined,
    freshId: newId(),
    calibrations: instrument.calibrations.toReversed().map((calibration) => ({
      id: calibration.id,
      at: calibration.at,
      result: calibration.result,
      basis: calibration.basis,
      reference: calibration.reference,
      files: (files.get(calibration.id) ?? []).map(({ id, bytes, mediaType }) => ({
        id,
        bytes,
        ending: mediaType.replace(/^.*\//, '').toUpperCase(),
      })),
      freshId: newId(),
      form: refused?.of === calibration.id ? refused.form : undefined,
      errors: calibration.points.map((point) => ({
        at: calibration.points.length === 1 ? null : nominalWords(instrument.kind, point.nominal),
        found: saidOfError(instrument.kind, point.asFoundErrorPercent),
        left:
          point.asLeftErrorPercent === null ? null : saidOfError(instrument.kind, point.asLeftErrorPercent),
      })),
    })),
    recalled: recallSpans(asInstrument(instrument, instrument.calibrations)).length > 0,
    mayKeep: may(ask.actor, 'keep-instruments'),
  })
}

function nominalWords(kind: InstrumentKind, nominal: number): string {
  const quantity = siJson(kind, nominal)
  return quantity ? formatQuantity(quantity.value, quantity.unit as Unit) : ''
}
