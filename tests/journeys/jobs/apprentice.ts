// An apprentice makes the joints under a qualified fitter; one joint nobody watched.

import { job } from '../language.ts'

export default job({
  title: 'An apprentice makes the joints under a qualified fitter; one joint nobody watched',
  policy: (builtIn) => ({ ...builtIn, handlerSchemes: ['refrigerant handling'] }),
  async tell(it) {
    const fitter = await it.hires('Nils', 'refrigerant handling')
    const apprentice = await it.hires('Ida')
    await it.lays('Kitchen')
    const watched = { performedBy: apprentice, supervisedBy: fitter }
    for (const end of ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid'])
      await it.makes(`Kitchen ${end}`, watched)
    await it.makes('Kitchen indoor-gas', { performedBy: apprentice })
    it.asPerformedBy = fitter
    await it.finishesTheRest()
  },
  expects: { signable: false, 'handler-qualified': { Ida: 'open', Nils: 'met' } },
})
