// A cracked flare is rejected, cut off and made again; the first making stays in the history.

import { job } from '../language.ts'

export default job({
  title: 'A cracked flare is rejected, cut off and made again; the first making stays in the history',
  onPages: 'browser too',
  async tell(it) {
    await it.lays('Kitchen')
    for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid']) await it.makes(`Kitchen ${end}`)
    const joint = await it.joint('Kitchen indoor-gas')
    const first = await it.starts(joint.id)
    for (const kind of ['preparation', 'flare'])
      await it.step(joint.id, first, kind, it.usual(kind, joint, {}))
    await it.step(joint.id, first, 'inspection', {
      points: { even: 'yes', smooth: 'yes', centred: 'yes', noCracks: 'no', noFlatSpots: 'yes' },
      reasons: { noCracks: 'Hairline crack at the rim.' },
      diameterCheck: 'not-checked',
      outcome: 'rejected',
    })
    await it.cannot(
      () => it.step(joint.id, first, 'assembly', it.usual('assembly', joint, {})),
      /step-out-of-order|has no form/,
    )
    const second = await it.starts(joint.id, 'Hairline crack at the rim.')
    await it.finishes('Kitchen indoor-gas', second)
    await it.finishesTheRest()
  },
  expects: { signable: true, 'flare-accepted': 'met' },
})
