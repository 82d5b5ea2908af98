// What does every resource get handed?

import type { Sessions } from '../access/sessions.ts'
import type { Machinery } from '../commands/command.ts'
import type { Config } from '../config.ts'

export interface Deps {
  config: Config
  machinery: Machinery
  sessions: Sessions
}
