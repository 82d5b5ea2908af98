// The charge of a system: what it should hold, what was let in and taken out, and what that comes to.

import { h } from 'preact'
import { CHARGE_FIELDS, ChargeFields, ChargePage, chargeWords } from '../../views/charging/charge.tsx'
import { Button } from '../../views/parts/button.tsx'
import { type FormState, OtherErrors } from '../../views/parts/field.tsx'
import { may } from '../access/capabilities.ts'
import { recordCharge } from '../commands/charging/record-charge.ts'
import { newId } from '../ids.ts'
import type { Refusal } from '../refusals.ts'
import type { EquipmentSheet, System } from '../rules/dossier.ts'
import { judgeCharge, requiredChargeOf } from '../rules/judge-charge.ts'
import { judgeRoom } from '../rules/judge-room.ts'
import { circuitCharge, hasFlammableRefrigerant, roomsOf } from '../rules/room-large-enough.ts'
import { kilograms, quantity, sheetSource } from '../rules/wording.ts'
import { listCharges, type RecordedCharge } from '../store/queries/charges.ts'
import { listInstrumentsById } from '../store/queries/instruments-used.ts'
import { loadForJudging, type SystemForJudging } from '../store/queries/judging.ts'
import { sameTubeSize } from '../trade/tube.ts'
import { formatNumber } from '../trade/units.ts'
import { say } from '../words/say.ts'
import { correctedFact } from './correction-form.ts'
import { explainCharge } from './explanations.ts'
import { quantityJson, whoJson } from './json.ts'
import { recordedFacts, typedValues } from './recorded-facts.ts'
import type { Ask, Resource } from './resource.ts'
import { crewOptions, instrumentOptions, jobOptions, refusedWhole } from './section-tests.ts'
import { shellOf } from './shell.ts'

export function chargesResource(resource: Resource): void {
  resource.read({
    path: '/systems/:systemId/charge',
    name: 'charge',
    summary: 'What a system should hold and what is in it, with limits, rooms and CO₂-equivalent.',
    load: (ask) => loadCharge(ask, ask.params.systemId ?? ''),
    json: chargeStandJson,
    page: (stand, ask) => chargePage(ask, stand),
  })

  resource.write({
    path: '/systems/:systemId/charges',
    command: recordCharge,
    status: 201,
    json: chargeJson,
    page: {
      goTo: (charge) => `/systems/${charge.systemId}/charge?jobId=${charge.jobId}`,
      again: async (form, refusal, ask) =>
        chargePage(ask, await loadCharge(ask, ask.params.systemId ?? ''), form, refusal),
    },
  })
}

interface ChargeStand extends SystemForJudging {
  charges: RecordedCharge[]
  judgement: ReturnType<typeof judgeCharge>
  rooms: { id: string; name: string; judgement: ReturnType<typeof judgeRoom> }[]
  scaleNames: Map<string, string>
}

async function loadCharge(ask: Ask, systemId: string): Promise<ChargeStand> {
  const loaded = await loadForJudging(ask.scope, systemId)
  const { system, policy } = loaded
  const charges = (await listCharges(ask.scope, [systemId])).get(systemId) ?? []
  const instruments = await listInstrumentsById(
    ask.scope,
    charges.flatMap((charge) => charge.scaleInstrumentId ?? []),
  )
  return {
    ...loaded,
    charges,
    judgement: judgeCharge(system, { policy: policy.criteria, instruments }),
    rooms: roomStand(system),
    scaleNames: new Map(instruments.map((one) => [one.id, one.name])),
  }
}

function roomStand(system: System): ChargeStand['rooms'] {
  const charge = hasFlammableRefrigerant(system) ? circuitCharge(system) : null
  if (charge === null) return []
  return roomsOf(system).map(({ line, room }) => ({
    id: line.id,
    name: line.name,
    judgement: judgeRoom(system.refrigerant, charge.massKg, room),
  }))
}

export const chargeJson = (charge: RecordedCharge) => ({
  id: charge.id,
  systemId: charge.systemId,
  jobId: charge.jobId,
  direction: charge.direction,
  mass: charge.typed.mass ?? null,
  scaleInstrumentId: charge.scaleInstrumentId,
  source: charge.source,
  cylinderId: charge.cylinderId,
  ...whoJson(charge),
})

function chargeStandJson({ system, judgement, rooms, charges }: ChargeStand) {
  const mass = (massKg: number | null | undefined) => quantityJson('mass', massKg, 'kg')
  const { net, required, maximum, co2e } = judgement
  return {
    systemId: system.id,
    refrigerant: system.refrigerant,
    verdict: judgement.verdict,
    reason: judgement.reason,
    factory: mass(required?.factoryKg ?? net.factoryKg),
    additional: mass(required?.additionalKg),
    required: mass(required?.totalKg),
    requiredSource: required?.source ?? null,
    weighed: mass(net.weighedInKg - net.takenOutKg),
    total: mass(net.totalKg),
    difference: mass(judgement.differenceKg),
    limits: {
      tolerance: mass(judgement.toleranceKg),
      toleranceSource: judgement.toleranceSource,
      maximum: mass(maximum?.massKg),
      maximumSource: maximum?.source ?? null,
    },
    rooms: rooms.map(({ id, judgement: room }) => ({
      lineSetId: id,
      verdict: room.verdict,
      minimumFloorArea: quantityJson('area', room.minimumFloorAreaM2, 'm2'),
      largestCharge: mass(room.largestChargeKg),
      source: room.source,
      reason: room.reason,
    })),
    co2e: co2e && { value: co2e.kg, unit: 'kg', gwp: co2e.gwp, basis: co2e.basis, source: co2e.source },
    charges: charges.map(chargeJson),
  }
}

/** The page with a form as it was filled in, and what stands against it. */
export async function chargeAgain(ask: Ask, systemId: string, form: FormState, refusal: Refusal) {
  return chargePage(ask, await loadCharge(ask, systemId), form, refusal)
}

async function chargePage(ask: Ask, stand: ChargeStand, came?: FormState, refusal?: Refusal) {
  const form = correctedFact(came) === null ? came : undefined
  const { system, judgement, rooms, charges, scaleNames } = stand
  const required = requiredChargeOf(system)
  const jobs = await jobOptions(ask.scope, system.id, form?.values.jobId ?? ask.query.jobId)
  const jobId = form?.values.jobId ?? ask.query.jobId ?? jobs[0]?.value ?? ''
  const crew = await crewOptions(ask.scope)
  const scales = await instrumentOptions(ask.scope, ['scale'], {
    systemId: system.id,
    memberId: ask.actor.memberId,
  })
  const shown = (charge: RecordedCharge) => ({
    id: charge.id,
    at: charge.performedAt,
    direction: charge.direction,
    massKg: charge.massKg,
    source: charge.source,
    cylinderId: charge.cylinderId,
    scale: scaleNames.get(charge.scaleInstrumentId ?? '') ?? null,
    typed: charge.typed,
  })
  const recorded = await recordedFacts(ask, {
    table: 'charges',
    facts: charges.map((charge) => ({ jobId: charge.jobId, fact: charge })),
    words: (charge) => chargeWords(shown(charge)),
    at: (charge) => charge.performedAt,
    address: `/systems/${system.id}/charge${jobId === '' ? '' : `?jobId=${jobId}`}`,
    page: `charge:${system.id}`,
    values: (charge) => ({
      direction: charge.direction,
      ...typedValues('mass', charge.typed.mass),
      scaleInstrumentId: charge.scaleInstrumentId,
      source: charge.source,
      cylinderId: charge.cylinderId,
    }),
    fields: (own, charge) => [
      h(OtherErrors, { form: own, fields: CHARGE_FIELDS }),
      h(ChargeFields, { form: own, scales, crew, direction: charge.direction, kept: true }),
      h(Button, { children: say.charging.recordTheCorrection }),
    ],
    came,
  })
  return ChargePage({
    shell: shellOf(ask.actor, '/jobs'),
    system: {
      id: system.id,
      name: system.name,
      refrigerant: system.refrigerant,
      flammable: hasFlammableRefrigerant(system),
    },
    jobs,
    jobId,
    freshId: form?.values.id ?? newId(),
    crew,
    scales,
    judgement,
    arithmetic: required.known && system.sheet ? arithmeticOf(system, system.sheet) : [],
    worked: explainCharge(system, judgement, (liquidOdM) => adderOf(system.sheet, liquidOdM)),
    unknown: required.known ? null : required.because,
    charges: charges.map(shown),
    recorded,
    rooms: rooms.map(({ name, judgement: room }) => ({ name, judgement: room })),
    mayRecord: may(ask.actor, 'record-work'),
    form,
    refused: refusedWhole(refusal),
  })
}

const adderOf = (sheet: EquipmentSheet | null, liquidOdM: number): number =>
  sheet?.chargeAdders.find((row) => sameTubeSize(row.liquidOdM, liquidOdM))?.kgPerM ?? 0

/** How the mass to add comes about, with its own numbers: "Kitchen: 10 m − 7.5 m = 2.5 m, × 20 g/m = 0.050 kg". */
export function arithmeticOf(system: Pick<System, 'lineSets' | 'units'>, sheet: EquipmentSheet): string[] {
  const metres = (lengthM: number) => quantity(lengthM, 'm')
  const product = (name: string, lengthM: number, kgPerM: number): string => {
    const prechargedM = sheet.prechargedLengthM ?? 0
    if (lengthM <= prechargedM) return say.charging.isNoLongerThan(name, metres(lengthM), metres(prechargedM))
    const moreM = lengthM - prechargedM
    return say.charging.preChargedGM(
      name,
      metres(lengthM),
      metres(prechargedM),
      metres(moreM),
      formatNumber(kgPerM * 1000),
      kilograms(moreM * kgPerM),
    )
  }
  const lines: string[] = []
  if (sheet.chargeScheme === 'maker-table')
    lines.push(say.charging.fromTheMakersTable(kilograms(sheet.makerTableChargeKg ?? 0), sheetSource(sheet)))
  else if (sheet.chargeScheme === 'total-length') {
    const totalM = system.lineSets.reduce((sum, line) => sum + line.lengthM, 0)
    lines.push(product(say.charging.allLines, totalM, adderOf(sheet, system.lineSets[0]?.liquidOdM ?? 0)))
  } else
    for (const line of system.lineSets)
      lines.push(product(line.name, line.lengthM, adderOf(sheet, line.liquidOdM)))
  for (const unit of system.units) {
    if (unit.role !== 'indoor' || unit.removedAt !== null) continue
    const own = sheet.perIndoorUnit.find((row) => row.model === unit.model)
    if (own) lines.push(say.charging.indoorUnit(unit.model, kilograms(own.massKg)))
  }
  return lines
}
