// How is it said what becomes of a record whose instrument was found off?

import type { RecallDisposition, RecallJudgementWord } from '../../server/vocabulary.ts'
import { say } from '../../server/words/say.ts'
import type { FindingOutcome } from '../parts/mark.tsx'

export const theGroups = (): readonly {
  judgement: RecallJudgementWord
  title: string
  lead: string
  outcome: FindingOutcome
}[] => [
  {
    judgement: 'fails',
    title: say.recalls.fails,
    lead: say.recalls.withTheErrorTaken,
    outcome: 'failed',
  },
  {
    judgement: 'doubtful',
    title: say.recalls.doubtful,
    lead: say.recalls.withTheErrorTakenOut,
    outcome: 'open',
  },
  {
    judgement: 'stands',
    title: say.recalls.stands,
    lead: say.recalls.itIsGoodWith,
    outcome: 'met',
  },
]

export const dispositionWords = (): Record<RecallDisposition, string> => ({
  stands: say.recalls.standsByItsNumbers,
  'left-as-is': say.recalls.leftAsItIs,
  'put-right': say.recalls.putRightOnSite,
  'follow-up': say.recalls.aJobWasOpened,
})
