// How much does it carry, how fast does it answer, judge, recall and start, and how much memory does it take? Measured and printed, nothing asserted.

import { type ChildProcess, spawn } from 'node:child_process'
import { mkdirSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { cpus, totalmem } from 'node:os'
import { join } from 'node:path'
import { ROOT } from '../../server/root.ts'
import { BUILT, type Home, type Service, startService } from '../durability/built-server.ts'
import { audit } from './audit.ts'
import { dashboards } from './dashboards.ts'
import { firstLoad } from './first-load.ts'
import { largeJob } from './large-job.ts'
import type { Load, Measured } from './load.ts'
import { EMAIL, PASSWORD, type Prepared, prepare } from './prepare.ts'
import { rules } from './rules.ts'

const SECONDS = Number(process.env.BENCH_SECONDS ?? 6)
const JOINTS = 4000
const here = (file: string) => join(ROOT, 'tests', 'bench', file)
const say = (line = '') => process.stdout.write(`${line}\n`)
const started: ChildProcess[] = []

/** In the repository's own data folder: a folder for temporary files may be in memory, where nothing is synced. */
mkdirSync(join(ROOT, 'data'), { recursive: true })
const folder = mkdtempSync(join(ROOT, 'data', 'bench-'))
const home: Home = { folder, file: join(folder, 'jointkeep.db'), remove: () => {} }

async function measure() {
  const [cpu] = cpus()
  say(
    `machine   ${cpu?.model.trim() ?? 'unknown'}, ${cpus().length} cores, ${gib(totalmem())} GiB, Node ${process.version}`,
  )
  say(`database  SQLite file under data/, synchronous=FULL; load from a process of its own on the same cores`)
  const from = Date.now()
  const ready = await prepare(home.file, JOINTS)
  say(
    `prepared  ${ready.makes.length} joints ready to be torqued, in ${((Date.now() - from) / 1000).toFixed(1)} s`,
  )

  say()
  await startUps()

  const commits = join(folder, 'commits.json')
  const service = keep(
    await startService(home, {
      nodeOptions: ['--require', here('count-commits.cjs')],
      environment: { BENCH_ROOT: join(ROOT, 'package.json'), BENCH_COMMITS: commits },
    }),
  )
  const bare = await startBare()
  await torques(service, bare, ready, commits)
  bare.process.kill('SIGTERM')
  await pages(service, ready)
  await firstLoad(say, service.address, await signIn(service), `/jobs/${ready.jobId}`)
  await recall(service, ready)
  rules(say)
  await largeJob(say)
  await audit(say)
  // The histories take some minutes to write; 0 leaves them out.
  const histories = Number(process.env.BENCH_HISTORIES ?? 1_000_000)
  if (histories > 0) await dashboards(say, histories)
  const server = process.env.BENCH_POSTGRES
  if (histories > 0 && server) await dashboards(say, histories, server)
  say()
  say(`memory    after the run ${mib(residentOf(service.process))} MiB resident`)
  await service.stop()
}

async function startUps() {
  const times: number[] = []
  let idle = 0
  for (let turn = 0; turn < 5; turn += 1) {
    const from = performance.now()
    const service = keep(await startService(home))
    const first = await fetch(`${service.address}/sign-in`)
    await first.text()
    if (first.status !== 200) throw new Error(`The first answer was ${first.status}.`)
    times.push(performance.now() - from)
    if (turn === 4) {
      await new Promise((resolve) => setTimeout(resolve, 3000))
      idle = residentOf(service.process)
    }
    await service.stop()
  }
  times.sort((a, b) => a - b)
  say(
    `start     to the first 200 of /sign-in: median ${(times[2] ?? 0).toFixed(0)} ms of ${times.map((time) => time.toFixed(0)).join(', ')}   (aim: below 1000)`,
  )
  say(`memory    idle ${mib(idle)} MiB resident   (aim: below 150)`)
}

interface Target {
  process: ChildProcess
  address: string
}

async function torques(service: Service, bare: Target, ready: Prepared, commits: string) {
  say()
  say(
    'durable torque POSTs, all below their range: each is judged, enters the register, and has its entries in the chain; beside a bare handler with one insert per commit',
  )
  say(
    'connections   ours/s   bare/s   ratio   p50 ms   p99 ms   CPU ms each (bare)   units/commit   commit ms (p99)',
  )
  const body = {
    indication: 'read',
    // Below the range, so that the same joint is torqued again and again.
    reading: { value: 10, unit: 'N.m' },
    instrumentId: ready.wrenchId,
  }
  const load = (target: Target, prefix: string, connections: number, seconds: number): Load => ({
    url: target.address,
    connections,
    seconds,
    headers: { authorization: `Bearer ${ready.token}`, 'content-type': 'application/json' },
    torque: { prefix, makes: ready.makes, body },
  })
  await underLoad(load(service, '/api/v1', 16, 2))
  await underLoad(load(bare, '', 16, 2))
  for (const connections of [1, 16, 64]) {
    await commitsOf(service, commits)
    const cpuBefore = cpuOf(service.process)
    const ours = await underLoad(load(service, '/api/v1', connections, SECONDS))
    const oursCpu = cpuOf(service.process) - cpuBefore
    const { commits: count, units, medianMs, p99Ms } = await commitsOf(service, commits)
    const bareBefore = cpuOf(bare.process)
    const theirs = await underLoad(load(bare, '', connections, SECONDS))
    const bareCpu = cpuOf(bare.process) - bareBefore
    say(
      [
        String(connections).padStart(11),
        ours.perSecond.toFixed(0).padStart(9),
        theirs.perSecond.toFixed(0).padStart(9),
        (ours.perSecond / theirs.perSecond).toFixed(2).padStart(8),
        ours.p50Ms.toFixed(1).padStart(9),
        ours.p99Ms.toFixed(1).padStart(9),
        `${(oursCpu / ours.requests).toFixed(2)} (${(bareCpu / theirs.requests).toFixed(2)})`.padStart(21),
        (units / Math.max(1, count)).toFixed(1).padStart(15),
        `${medianMs.toFixed(2)} (${p99Ms.toFixed(2)})`.padStart(18),
      ].join(''),
    )
    complain(ours, '201')
    complain(theirs, '201')
  }
  say('(aim: at 64 connections at least 2 times the bare handler)')
}

async function pages(service: Service, ready: Prepared) {
  say()
  say('pages, rendered whole for somebody who is signed in')
  say('page           most/s   at 100/s: p50 ms   p99 ms   max ms   (aim: p99 below 25)')
  const cookie = await signIn(service)
  for (const [name, path] of [
    ['job', `/jobs/${ready.jobId}`],
    ['joint', `/joints/${ready.jointId}`],
  ] as const) {
    const load = { url: service.address + path, headers: { cookie, 'accept-encoding': 'gzip, deflate, br' } }
    await underLoad({ ...load, connections: 4, seconds: 2 })
    const most = await underLoad({ ...load, connections: 8, seconds: SECONDS })
    const paced = await underLoad({ ...load, connections: 10, seconds: SECONDS + 4, rate: 100 })
    complain(most, '200')
    complain(paced, '200')
    say(
      [
        name.padEnd(11),
        most.perSecond.toFixed(0).padStart(10),
        paced.p50Ms.toFixed(1).padStart(19),
        paced.p99Ms.toFixed(1).padStart(9),
        paced.maxMs.toFixed(1).padStart(9),
      ].join(''),
    )
  }
}

/** Everything that was torqued above rests on one wrench: it is found off, and each reading is judged anew. */
async function recall(service: Service, ready: Prepared) {
  const headers = { authorization: `Bearer ${ready.token}`, 'content-type': 'application/json' }
  const url = `${service.address}/api/v1/instruments/${ready.wrenchId}`
  const check = await fetch(`${url}/calibrations`, {
    method: 'POST',
    headers,
    body: JSON.stringify({ result: 'out-of-tolerance', basis: 'certificate', asFoundErrorPercent: 9 }),
  })
  if (check.status !== 201) throw new Error(`The check was answered ${check.status}: ${await check.text()}`)
  const times: number[] = []
  let records = 0
  for (let round = 0; round < 9; round += 1) {
    const from = performance.now()
    const answer = await fetch(`${url}/recall?limit=200`, { headers })
    const { counts } = (await answer.json()) as { counts: Record<string, number> }
    times.push(performance.now() - from)
    records = Object.values(counts).reduce((sum, count) => sum + count, 0)
  }
  times.sort((a, b) => a - b)
  say()
  say(
    `recall    ${records} readings of one wrench judged anew, counted, and the worst 200 sent: ${(times[4] ?? 0).toFixed(0)} ms, median of 9 (${(times[8] ?? 0).toFixed(0)} at most)   (aim: below 200 for 20,000)`,
  )
}

function complain(measured: Measured, expected: string) {
  const others = Object.entries(measured.statuses).filter(([status]) => status !== expected)
  if (others.length > 0 || measured.errors > 0)
    say(`  not every answer was ${expected}: ${JSON.stringify(measured.statuses)}, ${measured.errors} errors`)
}

async function signIn(service: Service): Promise<string> {
  const answer = await fetch(`${service.address}/api/v1/session`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ email: EMAIL, password: PASSWORD }),
  })
  if (answer.status !== 201) throw new Error(`Signing in was answered ${answer.status}.`)
  return (answer.headers.get('set-cookie') ?? '').split(';')[0] ?? ''
}

async function startBare(): Promise<Target> {
  const child = spawn(
    process.execPath,
    ['--import', 'tsx', here('bare-server.ts'), join(folder, 'bare.db')],
    {
      cwd: ROOT,
      stdio: ['ignore', 'pipe', 'inherit'],
    },
  )
  started.push(child)
  const address = await new Promise<string>((resolve, reject) => {
    child.stdout.on('data', (data) => {
      const found = /listens on (http:\/\/\S+)/.exec(String(data))?.[1]
      if (found) resolve(found)
    })
    child.once('exit', () => reject(new Error('The bare handler did not start.')))
  })
  return { process: child, address }
}

function underLoad(load: Load): Promise<Measured> {
  const child = spawn(process.execPath, ['--import', 'tsx', here('load.ts')], {
    cwd: ROOT,
    stdio: ['pipe', 'pipe', 'inherit'],
  })
  started.push(child)
  child.stdin.end(JSON.stringify(load))
  // It stops by itself; if it should not, it is stopped.
  const late = setTimeout(() => child.kill('SIGKILL'), (load.seconds + 30) * 1000)
  return new Promise((resolve, reject) => {
    let said = ''
    child.stdout.on('data', (data) => {
      said += String(data)
    })
    child.once('close', () => {
      clearTimeout(late)
      try {
        resolve(JSON.parse(said) as Measured)
      } catch {
        reject(new Error(`The load ended without a result: ${said.slice(0, 300)}`))
      }
    })
  })
}

interface Commits {
  commits: number
  units: number
  medianMs: number
  p99Ms: number
}

/** Since it was last asked. */
async function commitsOf(service: Service, file: string): Promise<Commits> {
  rmSync(file, { force: true })
  service.process.kill('SIGUSR2')
  for (let tries = 0; tries < 200; tries += 1) {
    await new Promise((resolve) => setTimeout(resolve, 10))
    try {
      return JSON.parse(readFileSync(file, 'utf8')) as Commits
    } catch {
      // Not written yet.
    }
  }
  throw new Error(`${BUILT} did not tell how many commits there were.`)
}

function keep<Kept extends Service>(service: Kept): Kept {
  started.push(service.process)
  return service
}

/** Milliseconds of processor time that a process has used (Linux; elsewhere not a number). */
function cpuOf(child: ChildProcess): number {
  try {
    const fields = readFileSync(`/proc/${child.pid}/stat`, 'utf8')
      .replace(/^.*\) /, '')
      .split(' ')
    return (Number(fields[11]) + Number(fields[12])) * 10
  } catch {
    return Number.NaN
  }
}

function residentOf(child: ChildProcess): number {
  try {
    return Number(/VmRSS:\s+(\d+) kB/.exec(readFileSync(`/proc/${child.pid}/status`, 'utf8'))?.[1]) * 1024
  } catch {
    return Number.NaN
  }
}

const mib = (bytes: number) => (bytes / 2 ** 20).toFixed(0)
const gib = (bytes: number) => (bytes / 2 ** 30).toFixed(1)

try {
  await measure()
} finally {
  for (const child of started) if (child.exitCode === null) child.kill('SIGKILL')
  rmSync(folder, { recursive: true, force: true })
}
