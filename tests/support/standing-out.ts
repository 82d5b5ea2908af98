// A company of which five of eight indoor gas ends leaked and nothing else did: that place stands out.

import { closeCallback } from '../../server/commands/callbacks/close-callback.ts'
import { openCallback } from '../../server/commands/callbacks/open-callback.ts'
import { signOffJob } from '../../server/commands/release/sign-off-job.ts'
import { submitJob } from '../../server/commands/release/submit-job.ts'
import { type Cast, DAY } from './cast.ts'
import { aWholeJob, type Whole } from './worked.ts'

export const LEAKED = 5
export const MADE = 8
export const GROUP = { by: 'position', key: 'indoor-gas/gas' } as const

/** The jobs in the order of their sign-off, of which the first came back; the last two stand at one site. */
export async function aPlaceThatStandsOut(cast: Cast): Promise<{ works: Whole[]; callbacks: string[] }> {
  const works: Whole[] = []
  const callbacks: string[] = []
  for (let n = 1; n <= MADE; n += 1) {
    const work = await aWholeJob(cast, `M${n}`)
    works.push(work)
    await cast.run(cast.tess, submitJob, { jobId: work.jobId })
    await cast.run(cast.sam, signOffJob, { jobId: work.jobId })
    cast.clock.pass(DAY)
  }
  for (const { zone } of works.slice(0, LEAKED)) {
    cast.clock.pass(20 * DAY)
    const callback = await cast.run(cast.wren, openCallback, {
      systemId: zone.systemId,
      symptom: 'Cools no more',
      found: [
        {
          part: 'joint',
          jointId: zone.joints.indoorGas,
          where: 'flare-face',
          method: 'bubble',
          cause: 'misaligned',
        },
      ],
    })
    callbacks.push(callback.id)
    await cast.run(cast.wren, closeCallback, { callbackId: callback.id, outcome: 'found' })
  }
  const [one, two] = works.slice(-2).map(({ zone }) => zone.systemId)
  await cast.store.store.execute(
    `update systems set site_id = (select site_id from systems where id = '${one}') where id = '${two}'`,
  )
  // Nobody stays signed in for so long.
  for (const player of [cast.tess, cast.sam, cast.wren])
    player.cookie = await cast.deps.sessions
      .start(player.personId, player.companyId)
      .then((secret) => `jointkeep_session=${secret}`)
  return { works, callbacks }
}
