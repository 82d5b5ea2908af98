// A log read for a test that began two hours ago.

import type { LogKind } from '../../server/gauge-logs/columns.ts'
import { type LogChoices, readLog } from '../../server/gauge-logs/reading-log.ts'
import { tableOf } from '../../server/gauge-logs/table.ts'
import { textOf } from '../../server/gauge-logs/text.ts'
import { HOUR, NOON } from './cast.ts'

export async function readText(
  kind: LogKind,
  input: string | Uint8Array,
  choices: LogChoices = {},
  more: { zone?: string; now?: number; startedAt?: number } = {},
) {
  const bytes = typeof input === 'string' ? new TextEncoder().encode(input) : input
  return readLog(await tableOf(textOf(bytes)), choices, {
    kind,
    pressureUnit: kind === 'pressure' ? 'MPa' : 'micron',
    temperatureUnit: 'degC',
    startedAt: NOON - 2 * HOUR,
    zone: 'UTC',
    now: NOON,
    ...more,
  })
}
