// How is a system drawn from its own facts? Each joint where it is, with its state by word.

import type { PipeStripJoint, PipeStripLineSet, PipeStripProps } from '../../views/parts/pipe-strip.tsx'
import type { Dossier, Joint, LineSet, System, Unit } from '../rules/dossier.ts'
import { judgeTorqueStep } from '../rules/judge-torque.ts'
import { currentMake, isRetired, leakChecksOf, nextStep, stepsOf } from '../rules/scope.ts'
import { liesIn, staleForJoint, staleLeakCheck } from '../rules/staleness.ts'
import { newtonMetres, stepWords, tubeName } from '../rules/wording.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'

export interface StripOptions {
  hrefOf?(joint: Joint): string
  currentJointId?: string | undefined
  size?: 'full' | 'small'
  caption?: 'shown' | 'hidden'
}

type Judged = Pick<Dossier, 'policy' | 'instruments' | 'at'>

export function stripOf(system: System, judged: Judged, options: StripOptions = {}): PipeStripProps {
  const outdoor = system.units.find((unit) => unit.role === 'outdoor' && unit.removedAt === null)
  const branches = system.units.filter((unit) => unit.role === 'branch' && unit.removedAt === null)
  return {
    label: say.joints.asPiped(system.name),
    outdoor: { name: outdoor ? say.joints.outdoorModel(outdoor.model) : say.joints.outdoorUnitWord },
    lineSets: system.lineSets.map((line) => lineOf(system, line, branches, judged, options)),
    ...(branches.length > 0 ? { branches: branches.map((unit) => branchOf(unit, branches, system)) } : {}),
    size: options.size,
    caption: options.caption,
  }
}

/** Two branch units of one model are told apart by what runs to each. */
function branchOf(unit: Unit, branches: readonly Unit[], system: System) {
  const trunk = system.lineSets.find((line) => line.toUnitId === unit.id)
  const isOneOfMany = branches.filter((other) => other.model === unit.model).length > 1
  return {
    id: unit.id,
    name: isOneOfMany && trunk ? `${unit.model}, ${trunk.name}` : unit.model,
  }
}

function lineOf(
  system: System,
  line: LineSet,
  branches: readonly Unit[],
  judged: Judged,
  options: StripOptions,
): PipeStripLineSet {
  const isBranch = (id: string | null) => branches.some((unit) => unit.id === id)
  const joints = system.joints.filter((joint) => joint.lineSetId === line.id)
  const mounting = line.room?.mounting
  const area = line.room ? `${brief(line.room.floorAreaM2)} m²` : undefined
  return {
    id: line.id,
    name: line.name,
    detail: [mounting && coded(mounting), area].filter(Boolean).join(', ') || undefined,
    liquidLabel: say.joints.liquid(tubeName(line.liquidOdM)),
    gasLabel: say.joints.gas(tubeName(line.gasOdM)),
    lengthLabel: `${brief(line.lengthM)} m`,
    from: isBranch(line.fromUnitId) ? (line.fromUnitId ?? undefined) : undefined,
    to: isBranch(line.toUnitId) ? (line.toUnitId ?? undefined) : undefined,
    joints: joints.map((joint) => jointOf(joint, joints, system, judged, options)),
  }
}

/** Three figures at most, and no noughts that nobody measured. */
const brief = (value: number) => String(Number(value.toPrecision(3)))

function jointOf(
  joint: Joint,
  others: readonly Joint[],
  system: System,
  judged: Judged,
  options: StripOptions,
): PipeStripJoint {
  const { state, words } = stateOf(joint, system, judged)
  return {
    id: joint.id,
    tag: joint.tag,
    place: placeWords(joint, system.units),
    line: joint.line,
    at: placeOnLine(joint, others),
    onStub: joint.kind === 'service-port' || joint.kind === 'valve-cap',
    state,
    words,
    current: joint.id === options.currentJointId,
    href: options.hrefOf?.(joint),
  }
}

export function placeWords(
  joint: { place: string; unitId?: string | null },
  units: readonly Pick<Unit, 'id' | 'role' | 'model'>[] = [],
): string {
  const branch = units.find((unit) => unit.id === joint.unitId && unit.role === 'branch')
  // The place is called by its end of the pair; at a branch unit that is neither outdoors nor in the room.
  if (branch && /^(outdoor|indoor)-(liquid|gas)$/.test(joint.place))
    return say.joints.endAtBranchUnit(branch.model)
  if (/^outdoor-(liquid|gas)$/.test(joint.place)) return say.joints.outdoorEnd
  if (/^indoor-(liquid|gas)$/.test(joint.place)) return say.joints.indoorEnd
  if (/^outdoor-(liquid|gas)-cap$/.test(joint.place)) return say.joints.valveCap
  if (joint.place === 'outdoor-gas-port') return say.joints.servicePort
  return coded(joint.place)
}

/** Ends at the ends; what is in between is spread in the order of its number. */
function placeOnLine(joint: Joint, others: readonly Joint[]): number {
  if (joint.place.startsWith('outdoor-')) return 0
  if (joint.place.startsWith('indoor-')) return 1
  const between = others.filter(
    (other) => other.line === joint.line && !/^(outdoor|indoor)-/.test(other.place),
  )
  return (between.indexOf(joint) + 1) / (between.length + 1)
}

export function stateOf(
  joint: Joint,
  system: System,
  judged: Judged,
): Pick<PipeStripJoint, 'state' | 'words'> {
  if (isRetired(joint, judged.at)) return { state: 'retired', words: say.joints.takenOutOfThe }
  const make = currentMake(joint)
  if (!make) {
    if (joint.origin === 'existing') return { state: 'factory', words: say.joints.thereBefore }
    return {
      state: 'not-begun',
      words: joint.origin === 'factory' ? say.joints.factoryEndNotBegun : say.joints.notBegun,
    }
  }
  const judging = { policy: judged.policy, sheet: system.sheet, instruments: judged.instruments }
  const torque = stepsOf(make, 'torque').at(-1)
  const judgement = torque ? judgeTorqueStep(joint, torque.body, judging) : null
  const said =
    judgement?.appliedNm == null
      ? say.joints.making(make.number)
      : say.joints.torque2(newtonMetres(judgement.appliedNm))
  const next = nextStep(joint, make, judging)
  const rejected = stepsOf(make, 'inspection').at(-1)?.body.outcome === 'rejected'
  const leaks = leakChecksOf(joint).at(-1)?.body.result === 'found'
  if (rejected) return { state: 'refused', words: say.joints.flareRejectedCutOff }
  if (leaks) return { state: 'refused', words: say.joints.aLeakWasFound }
  if (judgement && (judgement.verdict === 'high' || judgement.verdict === 'low'))
    return { state: 'refused', words: judgement.reason }
  if (next.step === null) {
    const staleness = staleOf(joint, system)
    return staleness ? { state: 'stale', words: staleness } : { state: 'done', words: said }
  }
  const checkedBefore = leakChecksOf(joint).length > 0
  if (next.step === 'leak-check' && checkedBefore)
    return { state: 'stale', words: say.joints.changedAfterItsLeak }
  return { state: 'begun', words: say.joints.next(stepWords()[next.step]) }
}

/** Why what was proven of this joint no longer holds, if so. */
function staleOf(joint: Joint, system: System): string | null {
  const check = leakChecksOf(joint).at(-1)
  const staleCheck = check ? staleLeakCheck(check, joint, system) : null
  if (staleCheck) return staleCheck.reason
  for (const tests of [system.pressureTests, system.evacuations]) {
    const last = tests.filter((test) => test.concludedAt !== null).at(-1)
    const covered = last && liesIn(last, joint)
    const staleness = covered ? staleForJoint(last, joint, system) : null
    if (staleness) return staleness.reason
  }
  return null
}
