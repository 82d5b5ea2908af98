// Equipment sheets: what a model's manual says, each figure as typed beside SI, as pages and as JSON.

import { z } from 'zod'
import type { FormState } from '../../views/parts/field.tsx'
import { EditSheet, NewSheet } from '../../views/sheets/form.tsx'
import { SheetList } from '../../views/sheets/index.tsx'
import { type FigureLine, SheetPage } from '../../views/sheets/show.tsx'
import { may } from '../access/capabilities.ts'
import { addEquipmentSheet } from '../commands/places/add-equipment-sheet.ts'
import { changeEquipmentSheet } from '../commands/places/change-equipment-sheet.ts'
import { newId } from '../ids.ts'
import { tubeName } from '../rules/wording.ts'
import { findSheet, listSheets, type SheetRow } from '../store/queries/equipment-sheets.ts'
import {
  formatQuantity,
  fromKilogramsPerMetre,
  fromMetres,
  fromPascals,
  UNIT_LABELS,
  type Unit,
} from '../trade/units.ts'
import { say } from '../words/say.ts'
import type { Deps } from './deps.ts'
import { instant } from './json.ts'
import { type Ask, type ListQuery, listQuery, type Resource } from './resource.ts'
import { sheetFields, sheetFromForm, withRowErrors } from './sheet-form.ts'
import { shellOf } from './shell.ts'

export function equipmentSheetsResource(resource: Resource, _deps: Deps): void {
  resource.read({
    path: '/equipment-sheets',
    name: 'list-equipment-sheets',
    summary: 'The company’s equipment sheets, newest first.',
    query: listQuery,
    load: ({ scope, query }) => listSheets(scope, query as unknown as ListQuery),
    json: ({ items, nextCursor }) => ({ items: items.map(sheetJson), nextCursor }),
    page: ({ items, nextCursor }, { actor, query }) =>
      SheetList({
        shell: shellOf(actor, '/equipment-sheets'),
        sheets: items.map((sheet) => ({
          id: sheet.id,
          name: `${sheet.maker} ${sheet.model}`,
          kind: sheet.kind,
          refrigerant: sheet.refrigerant,
          source: say.sheets.page2(sheet.sourceDocument, sheet.sourcePage),
        })),
        isFirstPage: query.cursor === undefined,
        nextCursor,
        mayAdd: may(actor, 'edit-sheet'),
      }),
  })

  resource.read({
    path: '/equipment-sheets/new',
    name: 'new-equipment-sheet',
    summary: 'The form for a new equipment sheet.',
    capability: 'edit-sheet',
    load: async () => newId(),
    page: (id, { actor }) =>
      NewSheet({ shell: shellOf(actor, '/equipment-sheets'), id, start: sheetFields(null) }),
  })

  resource.write({
    path: '/equipment-sheets',
    command: addEquipmentSheet,
    status: 201,
    json: sheetJson,
    page: {
      input: (fields) => ({ id: fields.id, ...sheetFromForm(fields, 'new') }),
      goTo: (sheet) => `/equipment-sheets/${sheet.id}`,
      again: async (form, _refusal, { actor }) =>
        NewSheet({
          shell: shellOf(actor, '/equipment-sheets'),
          id: form.values.id ?? newId(),
          start: sheetFields(null),
          form: withRowErrors(form),
        }),
    },
  })

  resource.read({
    path: '/equipment-sheets/:sheetId',
    name: 'read-equipment-sheet',
    summary: 'One equipment sheet: what was typed, and the same in SI.',
    load: ({ scope, params }) => findSheet(scope, params.sheetId ?? ''),
    json: sheetJson,
    page: (sheet, { actor }) =>
      SheetPage({
        shell: shellOf(actor, '/equipment-sheets'),
        sheet: {
          id: sheet.id,
          name: `${sheet.maker} ${sheet.model}`,
          kind: sheet.kind,
          refrigerant: sheet.refrigerant,
          document: sheet.sourceDocument,
          page: sheet.sourcePage,
        },
        groups: figureGroups(sheet),
        mayChange: may(actor, 'edit-sheet'),
      }),
  })

  resource.read({
    path: '/equipment-sheets/:sheetId/edit',
    name: 'edit-equipment-sheet',
    summary: 'The form that changes an equipment sheet.',
    capability: 'edit-sheet',
    load: ({ scope, params }) => findSheet(scope, params.sheetId ?? ''),
    page: (_sheet, ask) => editPage(ask),
  })

  resource.write({
    method: 'PATCH',
    path: '/equipment-sheets/:sheetId',
    command: changeEquipmentSheet,
    json: sheetJson,
    page: {
      input: (fields) => sheetFromForm(fields, 'change'),
      goTo: (sheet) => `/equipment-sheets/${sheet.id}`,
      again: (form, _refusal, ask) => editPage(ask, withRowErrors(form)),
    },
  })
}

async function editPage(ask: Ask, form?: FormState) {
  const sheet = await findSheet(ask.scope, ask.params.sheetId ?? '')
  return EditSheet({
    shell: shellOf(ask.actor, '/equipment-sheets'),
    sheet: { id: sheet.id, name: `${sheet.maker} ${sheet.model}` },
    start: sheetFields(typedOf(sheet)),
    form,
  })
}

export const sheetJson = (sheet: SheetRow) => ({
  id: sheet.id,
  ...sheet.typed,
  si: sheet.figures,
  createdAt: instant(sheet.createdAt),
})

// What was typed has the shape that was checked when it came in; a figure that is missing was not given.
const quantity = z.object({ value: z.number(), unit: z.string() })
const span = z.object({ low: z.number(), high: z.number(), unit: z.string() })
const sizedSpan = span.extend({ tubeOd: quantity })
const typedShape = z.object({
  maker: z.string(),
  model: z.string(),
  kind: z.string(),
  refrigerant: z.string(),
  chargeScheme: z.string().optional(),
  flareLubrication: z.string().optional(),
  factoryCharge: quantity.optional(),
  maxCharge: quantity.optional(),
  prechargedLength: quantity.optional(),
  makerTableCharge: quantity.optional(),
  minLength: quantity.optional(),
  maxLength: quantity.optional(),
  maxTotalLength: quantity.optional(),
  maxRise: quantity.optional(),
  maxRiseOutdoorAbove: quantity.optional(),
  maxRiseOutdoorBelow: quantity.optional(),
  testPressureGauge: quantity.optional(),
  maxPressureGauge: quantity.optional(),
  vacuumTarget: quantity.optional(),
  vacuumLimit: quantity.optional(),
  vacuumHoldMinutes: z.number().optional(),
  chargeAdders: z.array(z.object({ liquidOd: quantity, perLength: quantity })).default([]),
  perIndoorUnit: z.array(z.object({ model: z.string(), mass: quantity })).default([]),
  torque: z.array(sizedSpan).default([]),
  flareDiameter: z.array(sizedSpan).default([]),
  subcooling: span.optional(),
  superheat: span.optional(),
  temperatureSplit: span.optional(),
  source: z.object({ document: z.string(), page: z.string() }),
})
export type TypedSheet = z.output<typeof typedShape>
const typedOf = (sheet: SheetRow): TypedSheet => typedShape.parse(sheet.typed)

const label = (unit: string) => UNIT_LABELS[unit as Unit] ?? unit
const asTyped = (typed: { value: number; unit: string } | undefined) =>
  typed ? `${typed.value} ${label(typed.unit)}` : ''
const spanTyped = (typed: { low: number; high: number; unit: string } | undefined) =>
  typed ? `${typed.low}–${typed.high} ${label(typed.unit)}` : ''

export const schemeWords = (): Record<string, string> => ({
  'per-line': say.sheets.forEachLineBeyond,
  'total-length': say.sheets.forAllLinesTogetherBeyond,
  'maker-table': say.sheets.byTheMakersTable,
})
export const lubricationWords = (): Record<string, string> => ({
  face: say.sheets.oilOnTheFlare,
  'face-and-back': say.sheets.oilOnFaceAnd,
  none: say.sheets.noOil,
  sealant: say.sheets.sealant,
})

/** "1/4 in", kept on one line. */
const sizeName = (odM: number) => tubeName(odM).replaceAll(' ', '\u00a0')

/** Each figure that the sheet gives, as typed and in SI. */
function figureGroups(sheet: SheetRow): { title: string; lines: FigureLine[] }[] {
  const typed = typedOf(sheet)
  const si = sheet.figures
  const line = (name: string, as: string, inSi: string | null): FigureLine[] =>
    as === '' ? [] : [{ name, typed: as, si: inSi }]
  const kg = (value: number | null) => (value === null ? null : formatQuantity(value, 'kg'))
  const m = (value: number | null) => (value === null ? null : formatQuantity(value, 'm'))
  const mpa = (value: number | null) =>
    value === null ? null : formatQuantity(fromPascals(value, 'MPa'), 'MPa')
  const pa = (value: number | null) => (value === null ? null : formatQuantity(value, 'Pa'))
  const mm = (value: number) => formatQuantity(fromMetres(value, 'mm'), 'mm')
  const kelvin = (range: { low: number; high: number } | null) =>
    range && say.sheets.to(formatQuantity(range.low, 'K'), formatQuantity(range.high, 'K'))
  return [
    {
      title: say.sheets.charge,
      lines: [
        ...line(say.sheets.factoryCharge, asTyped(typed.factoryCharge), kg(si.factoryChargeKg)),
        ...line(say.sheets.largestCharge, asTyped(typed.maxCharge), kg(si.maxChargeKg)),
        ...line(say.sheets.preChargedFor, asTyped(typed.prechargedLength), m(si.prechargedLengthM)),
        ...line(
          say.sheets.moreCharge,
          typed.chargeScheme ? (schemeWords()[typed.chargeScheme] ?? '') : '',
          null,
        ),
        ...typed.chargeAdders.flatMap((adder, index) =>
          line(
            say.sheets.moreForLiquid(sizeName(si.chargeAdders[index]?.liquidOdM ?? 0)),
            asTyped(adder.perLength),
            formatQuantity(fromKilogramsPerMetre(si.chargeAdders[index]?.kgPerM ?? 0, 'g/m'), 'g/m'),
          ),
        ),
        ...typed.perIndoorUnit.flatMap((unit, index) =>
          line(
            say.sheets.moreFor(unit.model),
            asTyped(unit.mass),
            kg(si.perIndoorUnit[index]?.massKg ?? null),
          ),
        ),
        ...line(say.sheets.byTheMakersTable2, asTyped(typed.makerTableCharge), kg(si.makerTableChargeKg)),
      ],
    },
    {
      title: say.sheets.lineLengths,
      lines: [
        ...line(say.sheets.shortest, asTyped(typed.minLength), m(si.minLengthM)),
        ...line(say.sheets.longestEach, asTyped(typed.maxLength), m(si.maxLengthM)),
        ...line(say.sheets.longestAllTogether, asTyped(typed.maxTotalLength), m(si.maxTotalLengthM)),
        ...line(say.sheets.riseEitherWay, asTyped(typed.maxRise), m(si.maxRiseOutdoorAboveM)),
        ...line(
          say.sheets.riseOutdoorUnitAbove,
          asTyped(typed.maxRiseOutdoorAbove),
          m(si.maxRiseOutdoorAboveM),
        ),
        ...line(
          say.sheets.riseOutdoorUnitBelow,
          asTyped(typed.maxRiseOutdoorBelow),
          m(si.maxRiseOutdoorBelowM),
        ),
      ],
    },
    {
      title: say.sheets.pressureAndVacuum,
      lines: [
        ...line(say.sheets.testPressureGauge, asTyped(typed.testPressureGauge), mpa(si.testPressureGaugePa)),
        ...line(say.sheets.neverAboveGauge, asTyped(typed.maxPressureGauge), mpa(si.maxPressureGaugePa)),
        ...line(say.sheets.vacuumToReach, asTyped(typed.vacuumTarget), pa(si.vacuumTargetPa)),
        ...line(say.sheets.limitWhileIsolated, asTyped(typed.vacuumLimit), pa(si.vacuumLimitPa)),
        ...line(
          say.sheets.isolatedFor,
          typed.vacuumHoldMinutes === undefined ? '' : `${typed.vacuumHoldMinutes} min`,
          si.vacuumHoldS === null ? null : formatQuantity(si.vacuumHoldS, 's'),
        ),
      ],
    },
    {
      title: say.sheets.flaresAndTorque,
      lines: [
        ...typed.torque.flatMap((one, index) => {
          const range = si.torqueNm[index]
          return line(
            say.sheets.torque(sizeName(range?.tubeOdM ?? 0)),
            spanTyped(one),
            range
              ? say.sheets.to(formatQuantity(range.lowNm, 'N.m'), formatQuantity(range.highNm, 'N.m'))
              : null,
          )
        }),
        ...typed.flareDiameter.flatMap((one, index) => {
          const range = si.flareDiameterM[index]
          return line(
            say.sheets.flareDiameter2(sizeName(range?.tubeOdM ?? 0)),
            spanTyped(one),
            range ? say.sheets.to(mm(range.lowM), mm(range.highM)) : null,
          )
        }),
        ...line(
          say.sheets.onTheFlare,
          typed.flareLubrication ? (lubricationWords()[typed.flareLubrication] ?? '') : '',
          null,
        ),
      ],
    },
    {
      title: say.sheets.running,
      lines: [
        ...line(say.sheets.subcooling, spanTyped(typed.subcooling), kelvin(si.subcoolingK)),
        ...line(say.sheets.superheat, spanTyped(typed.superheat), kelvin(si.superheatK)),
        ...line(
          say.sheets.airReturnToSupply,
          spanTyped(typed.temperatureSplit),
          kelvin(si.temperatureSplitK),
        ),
      ],
    },
  ].filter((group) => group.lines.length > 0)
}
