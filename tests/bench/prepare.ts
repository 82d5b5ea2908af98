// What stands in the database before anything is measured? A company with many joints ready to be torqued, and one whole job.

import type { Actor } from '../../server/access/actor.ts'
import { sealerOf } from '../../server/access/sealer.ts'
import { TOKEN_PREFIX } from '../../server/access/tokens.ts'
import { signerOf } from '../../server/certificate/signing-key.ts'
import { type Command, type Machinery, runCommand } from '../../server/commands/command.ts'
import { addInstrument } from '../../server/commands/instruments/add-instrument.ts'
import { recordCalibration } from '../../server/commands/instruments/record-calibration.ts'
import { openJob } from '../../server/commands/jobs/open-job.ts'
import { recordSeveral } from '../../server/commands/joints/record-steps.ts'
import { createOwner } from '../../server/commands/people/create-owner.ts'
import { addEquipmentSheet } from '../../server/commands/places/add-equipment-sheet.ts'
import { addJoint } from '../../server/commands/places/add-joint.ts'
import { addLineSet } from '../../server/commands/places/add-line-set.ts'
import { addSite } from '../../server/commands/places/add-site.ts'
import { addSystem } from '../../server/commands/places/add-system.ts'
import { newId, newSecret, sha256 } from '../../server/ids.ts'
import { localFiles } from '../../server/store/files.ts'
import { migrate } from '../../server/store/migrate.ts'
import { openSqlite } from '../../server/store/sqlite.ts'
import { TEST_KEY, TEST_SECRET } from '../support/cast.ts'
import { inches, metres, SHEET } from '../support/setups.ts'

export const PASSWORD = 'a long enough password'
export const EMAIL = 'ottilie@saltmarsh.example'

export interface Prepared {
  token: string
  makes: string[]
  wrenchId: string
  jobId: string
  jointId: string
}

export async function prepare(file: string, count: number): Promise<Prepared> {
  const store = openSqlite(file)
  await migrate(store)
  const machinery: Machinery = {
    store,
    files: localFiles(`${file}.files`),
    clock: () => Date.now(),
    signer: signerOf(TEST_KEY),
    sealer: sealerOf(TEST_SECRET),
    settings: { signup: 'closed', publicUrl: 'http://127.0.0.1' },
  }
  const owner = await createOwner(machinery, {
    companyName: 'Saltmarsh Heat & Cool',
    name: 'Ottilie Marsh',
    email: EMAIL,
    password: PASSWORD,
  })
  const actor: Actor = {
    personId: owner.personId,
    memberId: owner.memberId,
    companyId: owner.companyId,
    companyName: 'Saltmarsh Heat & Cool',
    name: 'Ottilie Marsh',
    role: 'owner',
    scopes: ['read', 'write'],
    via: 'session',
  }
  // biome-ignore lint/suspicious/noExplicitAny: each command's own schema checks what it is sent
  const run = async <Result>(command: Command<any, Result>, input: unknown) =>
    (await runCommand(machinery, command, input, { actor })).result

  const token = `${TOKEN_PREFIX}${newSecret()}`
  await store.transaction(({ db, t }) =>
    db.insert(t.tokens).values({
      companyId: owner.companyId,
      id: newId(),
      memberId: owner.memberId,
      name: 'bench',
      scopes: ['read', 'write'],
      tokenHash: sha256(token),
      createdAt: Date.now(),
      expiresAt: Date.now() + 86_400_000,
      revokedAt: null,
    }),
  )
  const tool = async (kind: string, more: object = {}) => {
    const { id } = await run(addInstrument, { kind, name: kind, serial: `${kind}-1`, ...more })
    await run(recordCalibration, { instrumentId: id, result: 'in-tolerance', basis: 'certificate' })
    return id
  }
  const wrenchId = await tool('torque-wrench', { accuracyPercent: 4 })
  const flaringToolId = await tool('flaring-tool')
  const site = await run(addSite, { customerName: 'Ida Fenwick', address: '14 Lantern Row, Brackwater' })
  const sheet = await run(addEquipmentSheet, SHEET)
  const zone = async (reference: string) => {
    const job = await run(openJob, { siteId: site.id, kind: 'installation', reference })
    const { system } = await run(addSystem, {
      jobId: job.id,
      name: reference,
      refrigerant: 'R-32',
      equipmentSheetId: sheet.id,
      outdoorModel: 'LS-35 outdoor',
      outdoorSerial: `OUT-${reference}`,
    })
    const { lineSet, joints } = await run(addLineSet, {
      systemId: system.id,
      jobId: job.id,
      name: reference,
      indoorModel: 'LS-35 indoor',
      indoorSerial: `IN-${reference}`,
      liquidOd: inches(0.25),
      gasOd: inches(0.375),
      length: metres(6.4),
      tubing: 'new',
      jointKind: 'flare',
    })
    return { jobId: job.id, systemId: system.id, lineSetId: lineSet.id, joints }
  }
  /** Up to the torque, as several steps at once. */
  const makeReady = async (jobId: string, jointId: string) => {
    const makeId = newId()
    await run(recordSeveral, {
      jobId,
      steps: [
        { step: 'make', id: makeId, jointId },
        { step: 'preparation', makeId, allAsListed: true },
        { step: 'flare', makeId, instrumentId: flaringToolId, method: 'powered', depthStopUsed: true },
        { step: 'inspection', makeId, allAsListed: true, diameterCheck: 'gauge-pass', outcome: 'accepted' },
        { step: 'assembly', makeId, allAsListed: true, lubricated: 'face' },
      ],
    })
    return makeId
  }

  // The job whose pages are looked at: a single zone with its four flares on the way.
  const seen = await zone('Living room')
  const flares = seen.joints.filter((joint) => joint.kind === 'flare')
  for (const joint of flares) await makeReady(seen.jobId, joint.id)

  // The joints that are torqued: spread over systems, as a company's day is.
  const makes: string[] = []
  const systems = 40
  for (let index = 0; index < systems; index += 1) {
    const { jobId, systemId, lineSetId } = await zone(`Bench ${index}`)
    const ready = await Promise.all(
      Array.from({ length: Math.ceil(count / systems) }, async (_, place) => {
        const joint = await run(addJoint, {
          systemId,
          jobId,
          lineSetId,
          place: `coupling ${place}`,
          line: 'gas',
          tubeOd: inches(0.375),
          kind: 'flare',
          origin: 'field',
        })
        return makeReady(jobId, joint.id)
      }),
    )
    makes.push(...ready)
  }
  await store.execute('pragma wal_checkpoint(truncate)')
  await store.close()
  // One after the other of different systems.
  const perSystem = makes.length / systems
  const mixed = makes.map(
    (_, index) => makes[(index % systems) * perSystem + Math.floor(index / systems)] ?? '',
  )
  return { token, makes: mixed, wrenchId, jobId: seen.jobId, jointId: flares[3]?.id ?? '' }
}
