// Running checks: what the system showed while it ran, against its sheet.

import { h } from 'preact'
import { Button } from '../../views/parts/button.tsx'
import { type FormState, OtherErrors } from '../../views/parts/field.tsx'
import {
  RUNNING_FIELDS,
  RunningChecksPage,
  RunningFields,
  type ShownCheck,
} from '../../views/running-checks/running-checks.tsx'
import { may } from '../access/capabilities.ts'
import { recordRunningCheck } from '../commands/charging/record-running-check.ts'
import { inPlainWords } from '../commands/command.ts'
import { newId } from '../ids.ts'
import type { Refusal } from '../refusals.ts'
import type { RunningCheck, System } from '../rules/dossier.ts'
import { judgeRunningCheck, type RunningJudgement } from '../rules/judge-running-check.ts'
import type { Policy } from '../rules/policy.ts'
import { loadForJudging, type SystemForJudging } from '../store/queries/judging.ts'
import { listRunningChecks, type RecordedRunningCheck } from '../store/queries/running-checks.ts'
import { absoluteFromGauge } from '../trade/atmosphere.ts'
import { saturationTemperature } from '../trade/saturation.ts'
import { formatNumber, type TemperatureUnit, UNIT_LABELS } from '../trade/units.ts'
import { say } from '../words/say.ts'
import { correctedFact } from './correction-form.ts'
import { explainRunning } from './explanations.ts'
import { expand } from './form.ts'
import { instant, quantityJson, whoJson } from './json.ts'
import { recordedFacts, typedValues } from './recorded-facts.ts'
import type { Ask, Resource } from './resource.ts'
import { crewOptions, jobOptions, orNull, refusedWhole, unitTyped } from './section-tests.ts'
import { shellOf } from './shell.ts'

export function runningChecksResource(resource: Resource): void {
  resource.read({
    path: '/systems/:systemId/running-checks',
    name: 'running-checks',
    summary:
      'The running checks of a system, newest first, with subcooling, superheat and temperature split.',
    load: (ask) => loadChecks(ask, ask.params.systemId ?? ''),
    json: ({ system, policy, checks }) => ({
      items: checks.map((check) => runningCheckJson(check, system, policy.criteria)),
      nextCursor: null,
    }),
    page: (loaded, ask) => checksPage(ask, loaded),
  })

  resource.write({
    path: '/systems/:systemId/running-checks',
    command: recordRunningCheck,
    status: 201,
    json: async (check, ask) => {
      const { system, policy } = await loadForJudging(ask.scope, check.systemId)
      return runningCheckJson(check, system, policy.criteria)
    },
    page: {
      goTo: (check) => `/systems/${check.systemId}/running-checks?jobId=${check.jobId}#check-${check.id}`,
      again: async (form, refusal, ask) =>
        checksPage(ask, await loadChecks(ask, ask.params.systemId ?? ''), form, refusal),
    },
  })
}

interface LoadedChecks extends SystemForJudging {
  checks: RecordedRunningCheck[]
}

async function loadChecks(ask: Ask, systemId: string): Promise<LoadedChecks> {
  const loaded = await loadForJudging(ask.scope, systemId)
  const checks = (await listRunningChecks(ask.scope, [systemId])).get(systemId) ?? []
  return { ...loaded, checks: [...checks].reverse() }
}

const MEASURED = [
  'liquidLinePressure',
  'liquidLineTemperature',
  'suctionPressure',
  'suctionTemperature',
  'supplyAir',
  'returnAir',
  'ambient',
] as const

function runningCheckJson(check: RecordedRunningCheck, system: System, policy: Policy) {
  const judgement = judgeRunningCheck(check, system, policy)
  const temperatureUnit =
    unitTyped<TemperatureUnit>(check.typed, 'liquidLineTemperature') ??
    unitTyped<TemperatureUnit>(check.typed, 'suctionTemperature') ??
    unitTyped<TemperatureUnit>(check.typed, 'returnAir')
  const unit = temperatureUnit === 'degF' ? 'degF.diff' : 'K'
  const difference = (name: RunningJudgement['differences'][number]['name']) => {
    const found = judgement.differences.find((one) => one.name === name)
    return quantityJson('temperature-difference', found?.measuredK, unit)
  }
  const { bubbleK, dewK } = saturationOf(check, system)
  return {
    id: check.id,
    systemId: check.systemId,
    jobId: check.jobId,
    mode: check.mode,
    steadyMinutes: check.steadyS === null ? null : check.steadyS / 60,
    ...Object.fromEntries(MEASURED.map((name) => [name, check.typed[name] ?? null])),
    notPossible: check.notPossible && {
      reason: check.notPossible.reason,
      dueAt: instant(check.notPossible.dueAt),
    },
    subcooling: difference('subcooling'),
    superheat: difference('superheat'),
    split: difference('temperature split'),
    bubbleTemperature: quantityJson('temperature', bubbleK, temperatureUnit ?? 'K'),
    dewTemperature: quantityJson('temperature', dewK, temperatureUnit ?? 'K'),
    verdict: judgement.verdict,
    judged: judgement.differences.map((one) => ({
      name: one.name,
      verdict: one.verdict,
      low: quantityJson('temperature-difference', one.range?.lowK, unit),
      high: quantityJson('temperature-difference', one.range?.highK, unit),
      source: one.range?.source ?? null,
    })),
    reason: judgement.reason,
    ...whoJson(check),
  }
}

function saturationOf(check: RunningCheck, system: System): Pick<ShownCheck, 'bubbleK' | 'dewK'> {
  const at = (line: 'bubble' | 'dew', gaugePa: number | null) =>
    gaugePa === null
      ? null
      : orNull(() =>
          saturationTemperature(
            system.refrigerant,
            line,
            absoluteFromGauge(gaugePa, system.atmosphericPressurePa),
          ),
        )
  return {
    bubbleK: at('bubble', check.liquidLinePressureGaugePa),
    dewK: at('dew', check.suctionPressureGaugePa),
  }
}

const shown = (check: RunningCheck, system: System, policy: Policy): ShownCheck => ({
  mode: check.mode,
  judgement: judgeRunningCheck(check, system, policy),
  ...saturationOf(check, system),
  worked: explainRunning(check, system),
  notPossible: check.notPossible,
})

/** The page with a form as it was filled in, and what stands against it. */
export async function runningChecksAgain(ask: Ask, systemId: string, form: FormState, refusal: Refusal) {
  return checksPage(ask, await loadChecks(ask, systemId), form, refusal)
}

async function checksPage(ask: Ask, loaded: LoadedChecks, came?: FormState, refusal?: Refusal) {
  const form = correctedFact(came) === null ? came : undefined
  const { system, policy, checks } = loaded
  const tried = form ? null : triedOf(ask, system)
  const asked = form?.values.jobId ?? ask.query.jobId
  const jobs = await jobOptions(ask.scope, system.id, asked)
  const crew = await crewOptions(ask.scope)
  const recorded = await recordedFacts(ask, {
    table: 'runningChecks',
    facts: checks.map((check) => ({ jobId: check.jobId, fact: check })),
    words: runningWords,
    at: (check) => check.performedAt,
    address: `/systems/${system.id}/running-checks${asked ? `?jobId=${asked}` : ''}`,
    page: `running-check:${system.id}`,
    values: (check) => ({
      mode: check.mode,
      'steadyMinutes#': check.steadyS === null ? null : String(check.steadyS / 60),
      ...Object.assign({}, ...MEASURED.map((name) => typedValues(name, check.typed[name]))),
      'notPossible.reason': check.notPossible?.reason,
    }),
    kept: (check) =>
      check.notPossible === null
        ? []
        : [{ name: 'notPossible.dueAt', value: instant(check.notPossible.dueAt) }],
    fields: (own) => [
      h(OtherErrors, { form: own, fields: RUNNING_FIELDS }),
      h(RunningFields, { form: own, crew, kept: true }),
      h(Button, { children: say.running.recordTheCorrection }),
    ],
    came,
  })
  return RunningChecksPage({
    shell: shellOf(ask.actor, '/jobs'),
    system: { id: system.id, name: system.name, refrigerant: system.refrigerant },
    jobs,
    jobId: asked ?? jobs[0]?.value ?? '',
    freshId: form?.values.id ?? newId(),
    steadyMinutes: policy.criteria.running.steadyS / 60,
    crew,
    recorded,
    mayRecord: may(ask.actor, 'record-work'),
    tried: tried?.check ? shown(tried.check, system, policy.criteria) : null,
    checks: checks.map((check) => ({
      id: check.id,
      at: check.performedAt,
      ...shown(check, system, policy.criteria),
    })),
    form: form ?? tried?.form,
    refused: refusedWhole(refusal),
  })
}

const short = (): Record<(typeof MEASURED)[number], string> => ({
  liquidLinePressure: say.running.liquidLine,
  liquidLineTemperature: say.running.liquidLine,
  suctionPressure: say.running.suctionWord,
  suctionTemperature: say.running.suctionWord,
  supplyAir: say.running.airOut,
  returnAir: say.running.airIn,
  ambient: say.running.outdoorsWord,
})

/** "Cooling, 20 min steady, air in 24 °C, air out 13 °C" */
export function runningWords(check: RecordedRunningCheck): string {
  const read = MEASURED.flatMap((name) => {
    const typed = check.typed[name]
    return typed
      ? `${short()[name]} ${typed.value} ${UNIT_LABELS[typed.unit as TemperatureUnit] ?? typed.unit}`
      : []
  })
  return [
    check.mode === 'cooling' ? say.running.cooling : say.running.heating,
    check.steadyS === null ? null : say.running.minSteady(formatNumber(check.steadyS / 60)),
    ...read,
    check.notPossible === null
      ? null
      : say.running.notPossibleDue(check.notPossible.reason, instant(check.notPossible.dueAt).slice(0, 10)),
  ]
    .filter((part) => part !== null)
    .join(', ')
}

/** What the form's "work it out" asks: the readings come in the address, and nothing is written. */
function triedOf(ask: Ask, system: System): { form: FormState; check: RunningCheck | null } | null {
  const { id: _, _offset, ...values } = ask.query
  if (values.mode === undefined) return null
  const parsed = recordRunningCheck.input.safeParse(
    { ...expand({ ...values, _offset: _offset ?? '0' }), systemId: system.id },
    { error: inPlainWords },
  )
  if (!parsed.success)
    return {
      form: {
        values,
        errors: parsed.error.issues.map((issue) => ({ path: issue.path.join('.'), message: issue.message })),
      },
      check: null,
    }
  const { data } = parsed
  return {
    form: { values, errors: [] },
    check: {
      id: '',
      jobId: data.jobId,
      mode: data.mode,
      steadyS: data.steadyMinutes === undefined ? null : data.steadyMinutes * 60,
      liquidLinePressureGaugePa: data.liquidLinePressure?.si ?? null,
      liquidLineTemperatureK: data.liquidLineTemperature?.si ?? null,
      suctionPressureGaugePa: data.suctionPressure?.si ?? null,
      suctionTemperatureK: data.suctionTemperature?.si ?? null,
      supplyAirK: data.supplyAir?.si ?? null,
      returnAirK: data.returnAir?.si ?? null,
      ambientK: data.ambient?.si ?? null,
      notPossible: data.notPossible ?? null,
      performedBy: '',
      supervisedBy: null,
      witnessedBy: null,
      performedAt: ask.now,
      recordedBy: ask.actor.memberId,
      recordedAt: ask.now,
      deviceAt: null,
    },
  }
}
