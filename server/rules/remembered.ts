// Was this very computation done before? A curve fit costs milliseconds, and a job's readings are judged at every look.

import { languageNow } from '../words/say.ts'

/** Enough for the tests of the jobs that a company works on in a day; a judgement is a few kilobytes. */
const KEPT = 500

/**
 * The same function, remembering its last answers by the whole of its input, so that nothing else can change them.
 * Only for pure functions of plain data; what is thrown is not remembered. Answers are shared: they are read only.
 */
export function remembered<Input, Output>(compute: (input: Input) => Output): (input: Input) => Output {
  const answers = new Map<string, Output>()
  return (input) => {
    // What is said of it belongs to the answer.
    const key = languageNow() + JSON.stringify(input)
    const known = answers.get(key)
    if (known !== undefined) {
      // The one used last goes to the end, so that the one at the front may be forgotten.
      answers.delete(key)
      answers.set(key, known)
      return known
    }
    const answer = compute(input)
    answers.set(key, answer)
    const oldest = answers.keys().next()
    if (answers.size > KEPT && !oldest.done) answers.delete(oldest.value)
    return answer
  }
}
