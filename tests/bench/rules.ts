// How much server time does it take to judge the largest job? Processor time of this process; nothing asserted.

import { evaluate } from '../../server/rules/index.ts'
import { naivelySignable } from '../rules/naive-checker.ts'
import { aJob } from '../support/dossiers.ts'

const ZONES = 16
const WARMING = 80
const ROUNDS = 40

export function rules(say: (line?: string) => void) {
  const dossier = largeJob()
  const judged = cpuMsEach(() => evaluate(dossier))
  const naive = cpuMsEach(() => naivelySignable(dossier))
  const joints = dossier.systems.flatMap((system) => system.joints)
  const findings = evaluate(dossier)
  say()
  say(
    `rules     ${ZONES} zones, ${joints.length} joints with all their steps, ${findings.length} findings, ${findings.filter((finding) => finding.outcome === 'met').length} of them met`,
  )
  say(
    `          evaluate: ${judged.median.toFixed(1)} ms of processor time, median of ${ROUNDS} once warm (${judged.most.toFixed(1)} at most; the first in a fresh process ${judged.first.toFixed(1)})   (aim: at most 15)`,
  )
  say(`          the tests' naive checker, which only says yes or no: ${naive.median.toFixed(1)} ms`)
}

/** Every line set with its four ends and six couplings on the way, all steps of each, tested, evacuated and charged once. */
function largeJob() {
  const job = aJob().withSystem()
  for (let zone = 0; zone < ZONES; zone += 1) {
    job.withLineSet().flareComplete()
    for (let more = 0; more < 6; more += 1) {
      const place = `Coupling ${zone}-${more}`
      job.withJoint({ kind: 'flare', place, line: more % 2 === 0 ? 'gas' : 'liquid' }).flareComplete()
    }
  }
  return job.pressureTested().evacuated().charged().ran().build()
}

function cpuMsEach(work: () => unknown) {
  const times = Array.from({ length: WARMING + ROUNDS }, () => {
    const from = process.cpuUsage()
    work()
    const { user, system } = process.cpuUsage(from)
    return (user + system) / 1000
  })
  const sorted = times.slice(WARMING).toSorted((a, b) => a - b)
  return { first: times[0] ?? 0, median: sorted[ROUNDS / 2] ?? 0, most: sorted.at(-1) ?? 0 }
}
