// What is asked for the next step of a joint, and with what to choose from?

import type { LaterStepsProps } from '../../views/joints/later-steps.tsx'
import type { PortsFormProps } from '../../views/joints/ports-form.tsx'
import type { JointPageProps } from '../../views/joints/show.tsx'
import type { StepFormProps, TorqueWanted } from '../../views/joints/step-forms.tsx'
import { stepTitles } from '../../views/joints/step-words.ts'
import type { FormState } from '../../views/parts/field.tsx'
import { unitOptions } from '../../views/section-tests/unit-options.ts'
import { newId } from '../ids.ts'
import type { Joint, Make } from '../rules/dossier.ts'
import { judgeInstrument } from '../rules/judge-instrument.ts'
import { torqueRangeOf } from '../rules/judge-torque.ts'
import { pointsFor } from '../rules/points.ts'
import { currentMake, isPort, type NextStep, nextStep, stepsFor } from '../rules/scope.ts'
import { listActiveInstruments } from '../store/queries/instruments.ts'
import { asInstrument } from '../store/queries/instruments-used.ts'
import { findToolsAtHand, handFirst } from '../store/queries/tools-at-hand.ts'
import { formatNumber, fromNewtonMetres, UNIT_LABELS } from '../trade/units.ts'
import { CLOSING_POINTS, type InstrumentKind, type StepKind } from '../vocabulary.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import type { Ask } from './resource.ts'
import type { SeenJoint } from './seen-joint.ts'

export async function stepForm(
  ask: Ask,
  seen: SeenJoint,
  make: Make,
  next: NextStep,
  jobId: string,
  form?: FormState,
): Promise<JointPageProps['nextStep']> {
  const kind = next.step
  if (!kind) return null
  const { accuracyPercent, ...choices } = await stepChoices(ask, seen)
  const torque = kind === 'torque' ? torqueWanted(seen, accuracyPercent) : null
  return {
    title: stepTitles()[kind],
    why: whyOf(kind, next, torque, seen),
    form: {
      kind,
      action: `/makes/${make.id}/${kind}`,
      freshId: newId(),
      jobId,
      form,
      ...choices,
      torque: torque?.wanted ?? null,
      points: pointsFor(kind, seen.joint.kind),
      together: togetherFor(seen, make, kind),
    } satisfies StepFormProps,
  }
}

/** The leak check of a joint that was there before and stays closed: it asks for no making. */
export async function checkForm(
  ask: Ask,
  seen: SeenJoint,
  jobId: string,
  form?: FormState,
): Promise<NonNullable<JointPageProps['nextStep']>> {
  const { accuracyPercent: _, ...choices } = await stepChoices(ask, seen)
  return {
    title: stepTitles()['leak-check'],
    why: say.joints.itWasThereBefore,
    form: {
      kind: 'leak-check',
      action: `/joints/${seen.joint.id}/leak-checks`,
      freshId: newId(),
      jobId,
      form,
      ...choices,
      torque: null,
      together: null,
    } satisfies StepFormProps,
  }
}

/** What stands where the phone puts in the making that it started itself. */
const SOME_MAKE = '~make'
const SOME_PARTNER = '~partner'

/**
 * The forms of all steps, for a phone that goes on without a signal: which are left of this making, which another
 * making begins with, and how far the other joint at the unit is, so that both can go on together.
 */
export async function laterSteps(ask: Ask, seen: SeenJoint, jobId: string): Promise<LaterStepsProps> {
  const { joint, judging } = seen
  const partner = partnerOf(seen)
  const mine = aheadOf(joint, judging)
  const { accuracyPercent, ...choices } = await stepChoices(ask, seen)
  const kinds = new Set([...mine.now, ...mine.anew])
  return {
    ...mine,
    partner: partner ? { id: partner.id, ...aheadOf(partner, judging) } : null,
    forms: [...kinds].map((kind) => {
      const torque = kind === 'torque' ? torqueWanted(seen, accuracyPercent) : null
      return {
        title: stepTitles()[kind],
        why: whyOf(kind, { step: kind, reason: '' }, torque, seen),
        form: {
          kind,
          action: `/makes/${SOME_MAKE}/${kind}`,
          freshId: '',
          jobId,
          form: { values: {}, errors: [], scope: `later-${kind}` },
          ...choices,
          torque: torque?.wanted ?? null,
          points: pointsFor(kind, joint.kind),
          together:
            partner && ALIKE.has(kind)
              ? { ids: `${SOME_MAKE} ${SOME_PARTNER}`, tag: partner.tag, jointId: joint.id, key: '' }
              : null,
        },
      }
    }),
  }
}

/** What is left to do for the making that counts, and what a new one would begin with. */
function aheadOf(joint: Joint, judging: SeenJoint['judging']) {
  const make = currentMake(joint)
  const next = make ? nextStep(joint, make, judging).step : null
  const steps = stepsFor(joint, judging.sheet, make)
  return {
    make: make?.id ?? null,
    now: next === null ? [] : steps.includes(next) ? steps.slice(steps.indexOf(next)) : [next],
    anew: stepsFor(joint, judging.sheet, { number: (make?.number ?? 0) + 1 }),
  }
}

interface StepChoices extends Pick<StepFormProps, 'instruments' | 'units' | 'lubrication' | 'flareMethod'> {
  accuracyPercent: number | undefined
}

/** Asked once for a look at a joint, however many forms its page has. */
const chosen = new WeakMap<SeenJoint, Promise<StepChoices>>()

/** What the form of any step is filled in with, and the accuracy of the wrench that stands first. */
export function stepChoices(ask: Ask, seen: SeenJoint): Promise<StepChoices> {
  const known = chosen.get(seen) ?? loadChoices(ask, seen)
  chosen.set(seen, known)
  return known
}

async function loadChoices(ask: Ask, seen: SeenJoint): Promise<StepChoices> {
  const atHand = await findToolsAtHand(ask.scope, {
    systemId: seen.row.systemId,
    memberId: ask.actor.memberId,
  })
  const active = await listActiveInstruments(ask.scope, [
    'torque-wrench',
    'flaring-tool',
    'press-tool',
    'leak-detector',
  ])
  const rows = handFirst(active, atHand.instrumentIds)
  const isConfirmed = (row: (typeof rows)[number]) =>
    judgeInstrument(
      asInstrument(row, row.calibrations),
      [{ at: ask.now, evidenceId: '', triedOnTheDay: false }],
      seen.judging.policy,
    ).confirmed
  const choices = (wanted: InstrumentKind) =>
    rows
      .filter((row) => row.kind === wanted)
      .map((row) => ({
        value: row.id,
        label: `${row.name}, ${isConfirmed(row) ? say.joints.confirmedWord : say.joints.notConfirmed}`,
      }))
  return {
    instruments: {
      flaringTools: choices('flaring-tool'),
      wrenches: choices('torque-wrench'),
      pressTools: choices('press-tool'),
      detectors: choices('leak-detector'),
    },
    units: {
      torque: unitOptions('torque', ['N.m', 'ft.lbf', 'in.lbf', 'kgf.cm']),
      length: unitOptions('length', ['mm', 'in']),
      pressure: unitOptions('gauge-pressure', ['MPa', 'psi', 'bar']),
    },
    lubrication: seen.system.sheet?.flareLubrication ?? null,
    flareMethod: atHand.flareMethod,
    accuracyPercent: rows.find((row) => row.kind === 'torque-wrench')?.accuracyPercent ?? undefined,
  }
}

/** Steps with nothing to read off: both joints at a unit can be done in one go. */
const ALIKE: ReadonlySet<StepKind> = new Set(['preparation', 'flare', 'inspection', 'assembly'])

/** The other joint at the same unit, where it waits for the same step. */
function togetherFor(seen: SeenJoint, make: Make, kind: StepKind): StepFormProps['together'] {
  const partner = partnerOf(seen)
  const other = partner && currentMake(partner)
  if (!partner || !other || !ALIKE.has(kind)) return null
  if (nextStep(partner, other, seen.judging).step !== kind) return null
  return { ids: `${make.id} ${other.id}`, tag: partner.tag, jointId: seen.joint.id, key: newId() }
}

/** The ports and caps of this line set that are in the line, to be closed together. */
export async function portsForm(
  ask: Ask,
  { joint, system }: SeenJoint,
  jobId: string,
  form?: FormState,
): Promise<PortsFormProps> {
  const ports = system.joints.filter(
    (one) => isPort(one) && one.lineSetId === joint.lineSetId && one.retiredAt === null,
  )
  const detectors = await listActiveInstruments(ask.scope, ['leak-detector'])
  return {
    jobId,
    jointId: joint.id,
    key: newId(),
    ids: ports
      .map((one) =>
        [
          one.id,
          currentMake(one)?.id ?? '',
          newId(),
          // What a cap has not, nobody answers for.
          CLOSING_POINTS.filter((code) => !pointsFor('closing', one.kind).includes(code)).join(','),
        ].join(':'),
      )
      .join(' '),
    tags: ports.map((one) => one.tag),
    detectors: detectors.map((row) => ({ value: row.id, label: row.name })),
    form,
  }
}

/** The joint of the other line at the same end of the same line set. */
export function partnerOf({ joint, system }: SeenJoint): Joint | null {
  const end = /^(outdoor|indoor)-/.exec(joint.place)?.[1]
  if (!end) return null
  return (
    system.joints.find(
      (one) =>
        one.id !== joint.id &&
        one.lineSetId === joint.lineSetId &&
        one.place.startsWith(`${end}-`) &&
        one.kind === joint.kind &&
        one.retiredAt === null,
    ) ?? null
  )
}

interface Wanted {
  wanted: TorqueWanted
  sentence: string
}

/** Every joint's own range, in the unit that the sheet and the wrench speak: N·m. */
function torqueWanted(
  { joint, judging, system }: SeenJoint,
  accuracyPercent: number | undefined,
): Wanted | null {
  const range = torqueRangeOf(joint, system.sheet, judging.policy)
  if (!range) return null
  const unit = 'N.m' as const
  const low = fromNewtonMetres(range.lowNm, unit)
  const high = fromNewtonMetres(range.highNm, unit)
  return {
    wanted: { low, high, unit, unitLabel: UNIT_LABELS[unit], accuracyPercent },
    sentence: say.joints.wantedNMSet(
      formatNumber(low),
      formatNumber(high),
      shortSource(range.source),
      formatNumber((low + high) / 2),
    ),
  }
}

/** "sheet, page 14": the document's name is on the sheet's own page. */
const shortSource = (source: string) =>
  source.replace(/^equipment sheet, .*, page /, 'equipment sheet, page ')

function whyOf(kind: string, next: NextStep, torque: Wanted | null, { system }: SeenJoint): string {
  if (kind === 'torque')
    return say.joints.holdTheBodyWith(
      torque?.sentence ?? say.joints.neitherTheSheetNor,
      next.reason === 'Torque the nut.' ? '' : next.reason,
    )
  if (kind === 'assembly' && system.sheet?.flareLubrication)
    return say.joints.theSheetSays(coded(system.sheet.flareLubrication))
  const why: Record<string, string> = {
    preparation: say.joints.aCrookedCutOr,
    flare: say.joints.theToolFormsThe,
    inspection: say.joints.lookAtTheWhole,
    assembly: say.joints.oilTheFacesKeep,
    'leak-check': say.joints.bubblesAtTestPressure,
  }
  return kind === 'inspection' && next.reason.startsWith('The torque was')
    ? next.reason
    : (why[kind] ?? next.reason)
}
