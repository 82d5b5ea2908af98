// Which fields does a callback take, what do they make of its record, and which findings are facts?

import { z } from 'zod'
import { malformedField, missingField } from '../../refusals.ts'
import type { CallbackRow, FindingRow } from '../../store/queries/callbacks.ts'
import { findSite } from '../../store/queries/sites.ts'
import { listPlacedJoints, type SystemRow } from '../../store/queries/systems.ts'
import { appendFact, type FactSeal, salted } from '../../store/record.ts'
import type { Scope } from '../../store/store.ts'
import type { CallbackDetail } from '../../store/tables/callbacks.ts'
import {
  CALLBACK_OUTCOMES,
  CALLBACK_PARTS,
  CLAIM_STATUSES,
  LEAK_CAUSES,
  LEAK_CHECK_METHODS,
  LEAK_PLACES,
  RESPONSIBILITIES,
} from '../../vocabulary.ts'
import { say } from '../../words/say.ts'
import type { Context } from '../command.ts'
import { id, moment, ownId, text } from '../fields.ts'
import { asTyped, mass, time } from '../quantities.ts'

const oneOf = <const Words extends readonly [string, ...string[]]>(words: Words) =>
  z.enum(words, { error: () => say.callbacks.useOneOf(words.join(', ')) })

const finding = z.strictObject({
  id: ownId,
  part: oneOf(CALLBACK_PARTS),
  jointId: id.optional(),
  where: oneOf(LEAK_PLACES).optional(),
  method: oneOf(LEAK_CHECK_METHODS),
  cause: text(200).meta({
    description: `One of ${LEAK_CAUSES.join(', ')}; or in words where none of them is it.`,
  }),
  size: text(80)
    .optional()
    .meta({ description: 'As it was seen or measured: "12 g/yr", "one bubble a second".' }),
})

export const outcome = oneOf(CALLBACK_OUTCOMES)

/** What may be said when it is taken in, later, or when it is closed. */
export const callbackFields = {
  reportedBy: text(120).nullable().optional().meta({
    description: 'Who said so: a name, or "the tenant". Never part of the chain but as a salted hash.',
  }),
  found: z
    .array(finding)
    .max(50)
    .optional()
    .meta({ description: 'Findings to add: they are facts, and stay beside those that were there before.' }),
  responsibility: oneOf(RESPONSIBILITIES).nullable().optional(),
  refrigerantRecovered: mass().nullable().optional(),
  refrigerantAdded: mass().nullable().optional(),
  labourTime: time().nullable().optional(),
  partsReplaced: z
    .array(
      z.strictObject({
        part: text(120),
        oldSerial: text(120).optional(),
        newSerial: text(120).optional(),
      }),
    )
    .max(50)
    .optional(),
  claim: z
    .strictObject({
      maker: text(120),
      number: text(120).optional().meta({ description: 'The maker’s; left out until there is one.' }),
      status: oneOf(CLAIM_STATUSES),
      sentAt: moment.optional(),
      dueAt: moment.optional(),
      amount: text(40).optional().meta({ description: 'With its currency, as the claim says it.' }),
    })
    .nullable()
    .optional(),
}
const schema = z.object(callbackFields)
type CallbackInput = z.output<typeof schema>

const NOTHING: CallbackDetail = {
  reportedBy: null,
  responsibility: null,
  refrigerantRecoveredKg: null,
  refrigerantAddedKg: null,
  labourS: null,
  partsReplaced: [],
  claim: null,
  typed: {},
}

const QUANTITIES = ['refrigerantRecovered', 'refrigerantAdded', 'labourTime'] as const

/** What is named takes the place of what was there; null takes it away. */
export function detailAfter(input: CallbackInput, before: CallbackDetail = NOTHING): CallbackDetail {
  const {
    reportedBy,
    responsibility,
    refrigerantRecovered,
    refrigerantAdded,
    labourTime,
    partsReplaced,
    claim,
  } = input
  if (claim?.sentAt && claim.dueAt && claim.dueAt < claim.sentAt)
    throw malformedField('claim.dueAt', say.callbacks.theClaimWouldBe)
  const given = { refrigerantRecovered, refrigerantAdded, labourTime }
  const kept = Object.entries(before.typed).filter(
    ([path]) => !QUANTITIES.some((name) => name === path && given[name] !== undefined),
  )
  const si = (now: { si: number } | null | undefined, was: number | null) =>
    now === undefined ? was : (now?.si ?? null)
  return {
    reportedBy: reportedBy === undefined ? (before.reportedBy ?? null) : reportedBy,
    responsibility: responsibility === undefined ? before.responsibility : responsibility,
    refrigerantRecoveredKg: si(refrigerantRecovered, before.refrigerantRecoveredKg),
    refrigerantAddedKg: si(refrigerantAdded, before.refrigerantAddedKg),
    labourS: si(labourTime, before.labourS),
    partsReplaced:
      partsReplaced?.map(({ part, oldSerial, newSerial }) => ({
        part,
        oldSerial: oldSerial ?? null,
        newSerial: newSerial ?? null,
      })) ?? before.partsReplaced,
    claim:
      claim === undefined
        ? before.claim
        : claim && {
            maker: claim.maker,
            number: claim.number ?? null,
            status: claim.status,
            sentAt: claim.sentAt ?? null,
            dueAt: claim.dueAt ?? null,
            amount: claim.amount ?? null,
          },
    typed: { ...Object.fromEntries(kept), ...asTyped(given) },
  }
}

/** Findings are appended and sealed. A joint that one of them names must be of the system that came back. */
export async function appendFindings(
  scope: Scope,
  callback: Pick<CallbackRow, 'id' | 'systemId'>,
  found: CallbackInput['found'] = [],
  context: Context,
): Promise<{ rows: FindingRow[]; seals: FactSeal[] }> {
  const named = found.some(({ jointId }) => jointId !== undefined)
  const joints = named ? await listPlacedJoints(scope, callback.systemId) : []
  for (const [index, { jointId }] of found.entries())
    if (jointId !== undefined && !joints.some((joint) => joint.id === jointId))
      throw missingField(`found.${index}.jointId`, say.callbacks.thisJointOfThe)
  const rows: FindingRow[] = found.map((one) => ({
    companyId: scope.companyId,
    id: one.id ?? context.newId(),
    callbackId: callback.id,
    part: one.part,
    jointId: one.jointId ?? null,
    place: one.where ?? null,
    method: one.method,
    cause: one.cause,
    size: one.size ?? null,
    recordedBy: context.actor.memberId,
    recordedAt: context.now,
  }))
  const seals: FactSeal[] = []
  for (const row of rows) seals.push(await appendFact(scope, 'callbackFindings', row))
  return { rows, seals }
}

/** An outcome and the findings may not tell two stories. */
export function assertOutcomeFits(outcome: CallbackRow['outcome'], findings: number): void {
  if (outcome === 'found' && findings === 0) throw malformedField('outcome', say.callbacks.sayFirstWhatWas)
  if (outcome === 'none-found' && findings > 0) throw malformedField('outcome', say.callbacks.aLeakIsOn)
}

/** A callback as the chain carries it: what the customer said only as a hash with the site's salt. */
export async function callbackBody(
  scope: Scope,
  callback: CallbackRow,
  system: Pick<SystemRow, 'siteId'>,
): Promise<Record<string, unknown>> {
  const { salt } = await findSite(scope, system.siteId)
  const { typed: _typed, reportedBy, ...detail } = callback.detail
  return {
    reportedAt: callback.reportedAt,
    symptom: salted(salt, callback.symptom),
    ...(reportedBy == null ? {} : { reportedBy: salted(salt, reportedBy) }),
    outcome: callback.outcome,
    ...detail,
  }
}
