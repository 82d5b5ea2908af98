// Are the lines laid here as long and as steep as the equipment allows?

import { say } from '../words/say.ts'
import { failed, jobSubject, lineSetSubject, met, notApplicable, open, systemSubject } from './answers.ts'
import type { Dossier, EquipmentSheet, LineSet, System } from './dossier.ts'
import type { Answer, JudgedNumber, Requirement } from './finding.ts'
import { standingLines } from './scope.ts'
import { list, quantity, sheetSource } from './wording.ts'

const metres = (lengthM: number) => quantity(lengthM, 'm')

/** Slack for a length that was typed in feet and compared in metres. */
const EDGE_M = 1e-6

function hasLimits(sheet: EquipmentSheet): boolean {
  return [
    sheet.minLengthM,
    sheet.maxLengthM,
    sheet.maxTotalLengthM,
    sheet.maxRiseOutdoorAboveM,
    sheet.maxRiseOutdoorBelowM,
  ].some((limit) => limit !== null)
}

/** The limit for the way this line runs: the indoor end above the outdoor unit, or below it. */
function riseLimit(line: LineSet, sheet: EquipmentSheet): number | null {
  if (line.riseM === null) return null
  return line.riseM >= 0 ? sheet.maxRiseOutdoorBelowM : sheet.maxRiseOutdoorAboveM
}

function askLine(line: LineSet, sheet: EquipmentSheet): Answer {
  const subject = lineSetSubject(line)
  const source = sheetSource(sheet)
  const limit = riseLimit(line, sheet)
  const height = line.riseM === null ? null : Math.abs(line.riseM)
  const numbers: JudgedNumber[] = [
    {
      name: say.rules.length,
      value: line.lengthM,
      unit: 'm',
      low: sheet.minLengthM ?? undefined,
      high: sheet.maxLengthM ?? undefined,
      source,
    },
    { name: say.rules.heightBetweenTheUnits, value: height, unit: 'm', high: limit ?? undefined, source },
  ]
  const problems: string[] = []
  if (sheet.minLengthM !== null && line.lengthM < sheet.minLengthM - EDGE_M) {
    problems.push(say.rules.isShorterThan(metres(line.lengthM), metres(sheet.minLengthM)))
  }
  if (sheet.maxLengthM !== null && line.lengthM > sheet.maxLengthM + EDGE_M) {
    problems.push(say.rules.isLongerThan(metres(line.lengthM), metres(sheet.maxLengthM)))
  }
  if (height !== null && limit !== null && height > limit + EDGE_M) {
    const which = (line.riseM ?? 0) >= 0 ? 'below' : 'above'
    problems.push(say.rules.withTheOutdoorUnit(metres(height), which, metres(limit)))
  }
  const evidence = [line.id]
  if (problems.length > 0) {
    return failed(subject, {
      reason: `${list(problems)} (${source}).`,
      numbers,
      evidence,
      next: say.rules.rerouteTheLineCorrect,
      concedable: true,
    })
  }
  const risesLimited = sheet.maxRiseOutdoorAboveM !== null || sheet.maxRiseOutdoorBelowM !== null
  if (height === null && risesLimited) {
    return open(subject, {
      reason: say.rules.theHeightBetweenThe,
      numbers,
      evidence,
      next: say.rules.measureTheHeightBetween,
      concedable: true,
    })
  }
  return met(subject, { reason: say.rules.isWithin(metres(line.lengthM), source), numbers, evidence })
}

function askTotal(system: System, sheet: EquipmentSheet): Answer[] {
  if (sheet.maxTotalLengthM === null) return []
  const standing = standingLines(system)
  const total = standing.reduce((sum, line) => sum + line.lengthM, 0)
  const said = {
    numbers: [
      {
        name: say.rules.lengthOfAllLines,
        value: total,
        unit: 'm',
        high: sheet.maxTotalLengthM,
        source: sheetSource(sheet),
      },
    ],
    evidence: standing.map(({ id }) => id),
  }
  const subject = systemSubject(system)
  if (total <= sheet.maxTotalLengthM + EDGE_M) {
    return [met(subject, { ...said, reason: say.rules.allLinesTogetherAre(metres(total)) })]
  }
  return [
    failed(subject, {
      ...said,
      reason: say.rules.allLinesTogetherAreLong(metres(total), metres(sheet.maxTotalLengthM)),
      next: say.rules.rerouteTheLinesCorrect,
      concedable: true,
    }),
  ]
}

function askSystem(dossier: Dossier, system: System): Answer[] {
  const lines = standingLines(system).filter((line) => line.jobId === dossier.job.id)
  if (lines.length === 0) return []
  const { sheet } = system
  if (!sheet || !hasLimits(sheet)) {
    return [notApplicable(systemSubject(system), say.rules.noEquipmentSheetLimits)]
  }
  return [...lines.map((line) => askLine(line, sheet)), ...askTotal(system, sheet)]
}

export const lineSetWithinLimits: Requirement = {
  code: 'line-set-within-limits',
  get title() {
    return say.rules.theLinesAreWithin
  },
  get source() {
    return say.rules.equipmentSheet
  },
  check(dossier) {
    const answers = dossier.systems.flatMap((system) => askSystem(dossier, system))
    if (answers.length > 0) return answers
    return [notApplicable(jobSubject(dossier), say.rules.noLineWasLaid)]
  },
}
