// How much server time does the audit page of a job with forty joints take, and the list that leads to it? Printed, nothing asserted.

import { readFileSync } from 'node:fs'
import { signOffJob } from '../../server/commands/release/sign-off-job.ts'
import { submitJob } from '../../server/commands/release/submit-job.ts'
import { isPort } from '../../server/rules/scope.ts'
import { loadDossier } from '../../server/store/queries/dossier.ts'
import { scopeOf } from '../../server/store/store.ts'
import { aCast, asBrowser } from '../support/cast.ts'
import { aWholeJob, heldOn } from '../support/worked.ts'
import { aWholeLargeJob } from './large-job.ts'

const ZONES = 10
const SIGNED_OFF = 8
const WARMING = 10
const ROUNDS = 40

export async function audit(say: (line?: string) => void) {
  const cast = await aCast('sqlite')
  try {
    // Some jobs to compare with: what the crew usually gets.
    for (let number = 0; number < SIGNED_OFF; number += 1) {
      const { jobId } = await aWholeJob(cast, `before-${number}`)
      await cast.run(cast.tess, submitJob, { jobId })
      await cast.run(cast.sam, signOffJob, { jobId })
    }
    const { jobId } = await aWholeLargeJob(cast, ZONES, 0)
    // So large a system is beyond its sheet: what does not meet is asked for, which the page then shows too.
    const held = await heldOn(cast, jobId)
    const requests = held.map(({ requirement, subject }) => ({
      requirement,
      subjectId: subject.id,
      reason: 'For the bench.',
    }))
    await cast.run(cast.tess, submitJob, { jobId, requests })
    const scope = scopeOf(cast.store.store.reader(), cast.tess.companyId)
    const { systems } = await loadDossier(scope, jobId, cast.clock.now)
    const joints = systems.flatMap((system) => system.joints)
    const server = await cast.server()
    const get = async (url: string) => {
      const answer = await server.inject({ url, headers: asBrowser(cast.sam) })
      if (answer.statusCode !== 200) throw new Error(`${url} answered ${answer.statusCode}`)
      return answer.body.length
    }
    const page = await timed(() => get(`/jobs/${jobId}/audit`))
    const inList = await timed(() => get(`/jobs/${jobId}/audit?list=`))
    const list = await timed(() => get('/audit-list'))
    say()
    say(
      `audit     a job with ${joints.filter((joint) => !isPort(joint)).length} joints and ${joints.filter(isPort).length} ports and caps, ${Math.round(page.bytes / 1000)} kB of page, median of ${ROUNDS} once warm`,
    )
    say(`          audit page: ${words(page)}   (aim: below 50)`)
    say(`          the same, come to from the list: ${words(inList)}`)
    say(`          the list: ${words(list)}`)
  } finally {
    await cast.remove()
  }
}

const words = ({ wall, cpu, main, first }: Timed) =>
  [
    `${wall.toFixed(1)} ms`,
    `${main === null ? '' : `${main.toFixed(1)} ms of the thread that answers, `}${cpu.toFixed(1)} ms of processor time with the threads that collect garbage`,
    `the first in a fresh process ${first.toFixed(0)}`,
  ].join('; ')

/** Milliseconds that this process's first thread ran, which waiting for a busy machine does not lengthen; Linux only. */
function mainThreadMs(): number | null {
  try {
    const [ran] = readFileSync(`/proc/self/task/${process.pid}/schedstat`, 'utf8').split(' ')
    return Number(ran) / 1e6
  } catch {
    return null
  }
}

interface Timed {
  wall: number
  cpu: number
  /** Of all rounds; null where it can't be known. */
  main: number | null
  first: number
  bytes: number
}

async function timed(work: () => Promise<number>): Promise<Timed> {
  const walls: number[] = []
  const cpus: number[] = []
  let first = 0
  let begunAt: number | null = null
  let bytes = 0
  for (let turn = 0; turn < WARMING + ROUNDS; turn += 1) {
    if (turn === WARMING) begunAt = mainThreadMs()
    const from = process.cpuUsage()
    const begun = performance.now()
    bytes = await work()
    const wall = performance.now() - begun
    const { user, system } = process.cpuUsage(from)
    if (turn === 0) first = wall
    if (turn < WARMING) continue
    walls.push(wall)
    cpus.push((user + system) / 1000)
  }
  const endedAt = mainThreadMs()
  const main = begunAt === null || endedAt === null ? null : (endedAt - begunAt) / ROUNDS
  const median = (all: number[]) => all.toSorted((a, b) => a - b)[Math.floor(all.length / 2)] ?? 0
  return { wall: median(walls), cpu: median(cpus), main, first, bytes }
}
