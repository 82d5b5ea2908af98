// How is it said what becomes of a record whose instrument was found off?

import type { RecallDisposition, RecallJudgementWord } from '../../server/vocabulary.ts'
import type { FindingOutcome } from '../parts/mark.tsx'

export const GROUPS: readonly {
  judgement: RecallJudgementWord
  title: string
  lead: string
  outcome: FindingOutcome
}[] = [
  {
    judgement: 'fails',
    title: 'Fails',
    lead: 'With the error taken out it is outside what is wanted.',
    outcome: 'failed',
  },
  {
    judgement: 'doubtful',
    title: 'Doubtful',
    lead: 'With the error taken out nobody can say that it is within what is wanted.',
    outcome: 'open',
  },
  {
    judgement: 'stands',
    title: 'Stands',
    lead: 'It is good with the error taken out, or never rested on it.',
    outcome: 'met',
  },
]

export const DISPOSITION_WORDS: Record<RecallDisposition, string> = {
  stands: 'Stands by its numbers',
  'left-as-is': 'Left as it is',
  'put-right': 'Put right on site',
  'follow-up': 'A job was opened',
}
