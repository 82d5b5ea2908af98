// What came back? How somebody rang, what was found, how it was repaired, and how the callback was closed.

import { changeCallback } from '../server/commands/callbacks/change-callback.ts'
import { closeCallback } from '../server/commands/callbacks/close-callback.ts'
import { openCallback } from '../server/commands/callbacks/open-callback.ts'
import { openJob } from '../server/commands/jobs/open-job.ts'
import { recordJointLeakCheck } from '../server/commands/joints/record-steps.ts'
import { signOffJob } from '../server/commands/release/sign-off-job.ts'
import { submitJob } from '../server/commands/release/submit-job.ts'
import type { CallbackPart, LeakCause, LeakPlace, Responsibility } from '../server/vocabulary.ts'
import type { Kit } from './equipment.ts'
import { DAY, type Hands, HOUR, iso, MINUTE } from './hands.ts'
import type { JobStory } from './story.ts'
import { type AtWork, memberOf, momentOf, type OnRecord } from './tell.ts'
import * as work from './work.ts'

interface Found {
  part: CallbackPart
  /** By name, where it is a joint of ours. */
  joint?: string
  where?: LeakPlace
  cause: LeakCause | 'a worn seal' | 'a rubbed tube in the coil'
  size?: string
}

export interface CallbackStory {
  /** After the visit that made it. */
  daysAfter: number
  symptom: string
  /** Left out while nobody has been there yet: the callback stands open. */
  closes?: Closing
}

export interface Closing {
  found: readonly Found[]
  responsibility: Responsibility
  /** How much of the charge was still in it; left out where the maker’s own people repaired it. */
  repair?: { left: number }
  partsReplaced?: readonly { part: string; oldSerial?: string; newSerial?: string }[]
  claim?: { maker: string; number: string; status: 'accepted' | 'paid'; amount: string }
}

/** From the telephone to the closed callback; yields as `tellJob` does. */
export async function* tellCallback(
  company: AtWork,
  story: JobStory,
  came: CallbackStory,
  { job: installation, laid: installed, first }: OnRecord,
): AsyncGenerator<number, void, void> {
  const { run, clock, now } = company
  const desk = memberOf(company, 'wanda')
  const office = memberOf(company, 'marek')
  // A repair is done with one's own tools, whatever was borrowed for the installation.
  const kit = company.kits[story.crew[0]]
  if (!kit) throw new Error(`${story.reference} is repaired by somebody without a kit.`)
  const rangAt = momentOf(story.visit, now) + came.daysAfter * DAY + 2 * HOUR

  yield rangAt
  const callback = await run(desk, openCallback, { systemId: installed.systemId, symptom: came.symptom })
  const { closes } = came
  if (!closes) return

  const found = closes.found.map(({ joint, where, size, ...one }) => {
    const named = joint === undefined ? null : jointNamed(installed, joint)
    return {
      ...one,
      method: 'refrigerant-detector' as const,
      ...(named ? { jointId: named.id } : {}),
      ...(where ? { where } : {}),
      ...(size ? { size } : {}),
    }
  })
  const said = {
    responsibility: closes.responsibility,
    ...(closes.partsReplaced ? { partsReplaced: [...closes.partsReplaced] } : {}),
    ...(closes.claim ? { claim: closes.claim } : {}),
  }
  if (!closes.repair) {
    yield rangAt + 9 * DAY
    await run(desk, changeCallback, { callbackId: callback.id, found })
    yield rangAt + 30 * DAY
    await run(desk, closeCallback, { callbackId: callback.id, outcome: 'found', ...said })
    return
  }

  clock.pass(25 * MINUTE)
  const job = await run(office, openJob, {
    siteId: installation.siteId,
    kind: 'repair',
    reference: `${story.reference} R`,
    systemIds: [installed.systemId],
    callbackId: callback.id,
    assignedTo: first.memberId,
    scheduledFor: iso(rangAt + 2 * DAY),
  })

  yield rangAt + 2 * DAY
  const hands: Hands = { ...company, by: first }
  const laid = { ...installed, jobId: job.id }
  const { left } = closes.repair
  for (const { joint } of closes.found) if (joint) await findLeak(hands, laid, kit, jointNamed(laid, joint))
  const leftKg = left * work.fullChargeKg(laid)
  await work.recover(hands, laid, kit, leftKg)
  for (const { joint } of closes.found) {
    if (!joint) continue
    clock.pass(8 * MINUTE)
    const again = 'It leaked: cut off, and made anew.'
    await work.recordJoint(hands, laid, jointNamed(laid, joint), kit, { again })
  }
  clock.pass(10 * MINUTE)
  await work.testPressure(hands, laid, kit, story.pressure)
  clock.pass(6 * MINUTE)
  // How much had gone nobody weighed: with the outdoor unit empty too, the count begins from nothing.
  await work.evacuate(hands, laid, kit, { ...work.DRY, throughOutdoorUnit: true }, story.pressure.toC)
  await work.refill(hands, laid, kit, `CYL-${story.reference.slice(-3)}R`)
  await work.checkWithDetector(hands, laid, kit, story.running.roomC)
  await work.closePorts(hands, laid, kit, 'Opened for the repair.')
  await work.checkRunning(hands, laid, story.running)
  clock.pass(5 * MINUTE)
  await run(first, submitJob, { jobId: job.id })

  yield rangAt + 3 * DAY
  await run(office, signOffJob, { jobId: job.id })
  clock.pass(30 * MINUTE)
  await run(desk, changeCallback, { callbackId: callback.id, found })
  clock.pass(4 * MINUTE)
  const fullKg = work.fullChargeKg(laid)
  await run(desk, closeCallback, {
    callbackId: callback.id,
    outcome: 'found',
    ...said,
    refrigerantRecovered: { value: grams(leftKg), unit: 'g' },
    refrigerantAdded: { value: grams(fullKg), unit: 'g' },
    labourTime: { value: 5.5, unit: 'h' },
  })
}

const grams = (massKg: number) => Math.round(massKg * 200) * 5

function jointNamed(laid: work.Laid, name: string): work.LaidJoint {
  const joint = laid.joints.find((one) => one.name === name)
  if (!joint) throw new Error(`Nothing on ${laid.sheet.input.model} is called ${name}.`)
  return joint
}

const findLeak = (hands: Hands, laid: work.Laid, kit: Kit, joint: work.LaidJoint) => {
  hands.clock.pass(15 * MINUTE)
  return hands.run(hands.by, recordJointLeakCheck, {
    jointId: joint.id,
    jobId: laid.jobId,
    method: 'refrigerant-detector',
    medium: 'refrigerant',
    instrumentId: kit.leakDetector,
    sensitivity: { value: 3, unit: 'g/yr' },
    sensitivitySource: 'trial-leak',
    checkedOnTrialLeak: true,
    result: 'found',
  })
}
