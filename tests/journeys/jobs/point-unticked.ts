// The tube was not cut square, and says so; a point that does not apply says why; the manager releases the first.

import { job } from '../language.ts'

export default job({
  title:
    'The tube was not cut square, and says so; a point that does not apply says why; the manager releases the first',
  async tell(it) {
    await it.lays('Kitchen')
    for (const end of ['outdoor-liquid', 'outdoor-gas']) await it.makes(`Kitchen ${end}`)
    await it.makes('Kitchen indoor-liquid', {
      steps: {
        preparation: {
          allAsListed: undefined,
          points: { squareCut: 'no', deburred: 'yes', burrsKeptOut: 'yes', tubeClean: 'yes', nutOn: 'yes' },
          reasons: { squareCut: 'The tube stands too close to the wall for the cutter.' },
        },
      },
    })
    await it.makes('Kitchen indoor-gas', {
      steps: {
        preparation: {
          allAsListed: undefined,
          points: {
            squareCut: 'yes',
            deburred: 'yes',
            burrsKeptOut: 'yes',
            tubeClean: 'yes',
            nutOn: 'not-applicable',
          },
          reasons: { nutOn: 'The nut came on the tube.' },
        },
      },
    })
    await it.finishesTheRest()
    const { id } = await it.joint('Kitchen indoor-liquid')
    await it.submits([{ requirement: 'joint-prepared', subjectId: id, reason: 'The flare came out sound.' }])
    await it.concedes('joint-prepared', id, 'Seen on the photo: even all round.')
    await it.signsOff()
  },
  expects: {
    signable: true,
    'joint-prepared': { 'Kitchen indoor-liquid': 'conceded' },
    'joint-assembled': 'met',
  },
})
