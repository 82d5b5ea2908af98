// How did the pressure run while a section was under test? From the frozen readings, as drawings for the paper.

import { scaleLinear } from 'd3-scale'
import type { Dossier, System } from '../rules/dossier.ts'
import { judgeEvacuationTest } from '../rules/judge-evacuation.ts'
import { judgePressureTest } from '../rules/judge-pressure-test.ts'
import { formatNumber, fromPascals } from '../trade/units.ts'
import { say } from '../words/say.ts'
import type { Plot } from './paper.ts'
import type { CertifiedSystem } from './payload.ts'
import {
  coverWords,
  dayWords,
  pressureTestLine,
  pressureVerdictWords,
  pressureWords,
  vacuumVerdictWords,
  vacuumWords,
} from './words.ts'

const MINUTE_MS = 60_000
const megapascals = (pressurePa: number) => fromPascals(pressurePa, 'MPa')
const capital = (words: string) => words.charAt(0).toUpperCase() + words.slice(1)
const micron = (pressurePa: number) => fromPascals(pressurePa, 'micron')

/** Of every test of a system with readings enough to draw, in the order of the certificate. */
export function curvesOf(system: CertifiedSystem, dossier: Dossier): Plot[] {
  const frozen = dossier.systems.find(({ id }) => id === system.id)
  if (!frozen) return []
  return [
    ...system.pressureTests.filter((test) => test.ofThisJob).map((test) => holdOf(test, frozen, dossier)),
    ...system.evacuations.filter((test) => test.ofThisJob).map((test) => decayOf(test, frozen, dossier)),
  ].filter((plot) => plot !== null)
}

function holdOf(
  test: CertifiedSystem['pressureTests'][number],
  frozen: System,
  dossier: Dossier,
): Plot | null {
  const raw = frozen.pressureTests.find(({ id }) => id === test.id)
  if (!raw) return null
  const judged = judgePressureTest(raw, frozen, dossier)
  const { startAtMs, endAtMs, startGaugePressurePa, expectedGaugePressurePa, changeUncertaintyPa } = judged
  const zero = startAtMs ?? raw.performedAt
  const readings = raw.readings
    .filter(({ stage }) => stage === 'hold')
    .map(({ at, gaugePressurePa }) => ({ x: (at - zero) / MINUTE_MS, y: megapascals(gaugePressurePa) }))
  if (readings.length < 2) return null
  const band =
    startAtMs === null ||
    endAtMs === null ||
    startGaugePressurePa === null ||
    expectedGaugePressurePa === null ||
    changeUncertaintyPa === null
      ? []
      : [
          { x: 0, low: megapascals(startGaugePressurePa), high: megapascals(startGaugePressurePa) },
          {
            x: (endAtMs - startAtMs) / MINUTE_MS,
            low: megapascals(expectedGaugePressurePa - changeUncertaintyPa),
            high: megapascals(expectedGaugePressurePa + changeUncertaintyPa),
          },
        ]
  const of = coverWords(test.covers)
  const verdict = test.verdict === null ? say.certificates.notConcluded : pressureVerdictWords()[test.verdict]
  const heights = [...readings.map(({ y }) => y), ...band.flatMap(({ low, high }) => [low, high])]
  const middle = (Math.min(...heights) + Math.max(...heights)) / 2
  // Never so close that the gauge's own steps look like a leak: at least 2 % of the pressure from bottom to top.
  const half = Math.max((Math.max(...heights) - Math.min(...heights)) * 0.62, middle * 0.01)
  return framed({
    title: say.certificates.pressureTestOf2(of, dayWords(test.at)),
    caption: say.certificates.shadedWhatTheTemperature(capital(verdict)),
    alt: say.certificates.curveOfThePressure(
      of,
      test.start && test.end
        ? say.certificates.fromTo(pressureWords(test.start.value), pressureWords(test.end.value))
        : say.certificates.withoutStartAndEnd,
      readings.length,
      pressureTestLine(test),
    ),
    xLabel: say.certificates.minutesOfHold,
    yLabel: say.certificates.mpaGauge,
    yFrom: middle - half,
    yTo: middle + half,
    readings,
    band: band.length === 0 ? undefined : { label: say.certificates.expected, points: band },
    lines: [],
    curve: { label: say.certificates.readings, points: readings },
  })
}

function decayOf(
  test: CertifiedSystem['evacuations'][number],
  frozen: System,
  dossier: Dossier,
): Plot | null {
  const raw = frozen.evacuations.find(({ id }) => id === test.id)
  if (!raw) return null
  const judged = judgeEvacuationTest(raw, frozen, dossier)
  const zero = judged.isolatedAtMs ?? raw.performedAt
  const readings = raw.readings
    .filter(({ phase }) => phase === 'decay')
    .map(({ at, absolutePressurePa }) => ({ x: (at - zero) / MINUTE_MS, y: micron(absolutePressurePa) }))
  if (readings.length < 2) return null
  const last = Math.max(...readings.map(({ x }) => x))
  const fitted = (judged.curve?.points ?? [])
    .filter(({ timeS }) => timeS / 60 <= last)
    .map(({ timeS, pressurePa }) => ({ x: timeS / 60, y: micron(pressurePa) }))
  const of = coverWords(test.covers)
  const verdict = test.verdict === null ? say.certificates.notConcluded : vacuumVerdictWords()[test.verdict]
  const limit = micron(test.limit.value)
  return framed({
    title: say.certificates.evacuationOf2(of, dayWords(test.at)),
    caption: `${capital(verdict)}. ${fitted.length > 1 ? say.certificates.lineTheCurveThat : ''}`,
    alt: say.certificates.curveOfTheEvacuation(
      of,
      test.lowest && test.rise
        ? say.certificates.downToRoseByWhile(vacuumWords(test.lowest.value), vacuumWords(test.rise.value))
        : say.certificates.withoutALowestReading,
      readings.length,
      verdict,
    ),
    xLabel: say.certificates.minutesIsolated,
    yLabel: say.certificates.micronAbsolute,
    yFrom: 0,
    yTo: Math.max(limit * 1.15, ...readings.map(({ y }) => y * 1.1)),
    readings,
    lines: [{ label: say.certificates.limitMicron(formatNumber(limit)), y: limit }],
    curve: { label: say.certificates.bestFit, points: fitted.length > 1 ? fitted : readings },
  })
}

type Unframed = Omit<Plot, 'x' | 'y' | 'xTicks' | 'yTicks'> & { yFrom: number; yTo: number }

function framed({ yFrom, yTo, ...plot }: Unframed): Plot {
  const last = Math.max(...plot.readings.map(({ x }) => x))
  const across = scaleLinear().domain([Math.min(0, ...plot.readings.map(({ x }) => x)), last || 1])
  const up = scaleLinear().domain([yFrom, yTo])
  const upFormat = up.tickFormat(4)
  return {
    ...plot,
    x: [across.domain()[0] ?? 0, across.domain()[1] ?? 1],
    y: [yFrom, yTo],
    xTicks: across.ticks(5).map((tick) => [tick, formatNumber(tick)]),
    yTicks: up.ticks(4).map((tick) => [tick, upFormat(tick).replaceAll(',', ' ').replace('−', '-')]),
  }
}
