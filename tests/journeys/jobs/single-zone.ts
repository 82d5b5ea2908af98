// A single-zone heat pump, done by the book.

import { job } from '../language.ts'

export default job({
  title: 'A single-zone heat pump, done by the book',
  onPages: 'browser too',
  async tell(it) {
    await it.lays('Kitchen')
    await it.makesEveryJoint()
    await it.finishesTheRest()
  },
  expects: {
    signable: true,
    'every-joint-made': 'met',
    'joint-torque-in-range': 'met',
    'joint-leak-checked': 'met',
    'ports-and-caps-closed': 'met',
    'standing-pressure-held': 'met',
    'vacuum-held': 'met',
    'charge-matches': 'met',
    'room-large-enough': 'met',
    'order-of-work': 'met',
  },
})
