// When was that, in the reader's zone?

import type { JSX } from 'preact'

export interface WhenProps {
  /** ISO 8601 instant or milliseconds. */
  at: string | number
  /** IANA name; default UTC. */
  zone?: string | undefined
  show?: 'day' | 'time' | 'both' | undefined
  /** Certificates show the offset: "4 March 2026, 16:10 (UTC+1)". */
  offset?: boolean | undefined
  /** Says it in words instead, such as "yesterday 16:05"; the instant stays in the markup. */
  words?: string | undefined
}

const formats = new Map<string, Intl.DateTimeFormat>()

/** Making a format costs a thousand times what using it does. */
function formatFor(options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat {
  const key = JSON.stringify(options)
  let format = formats.get(key)
  if (!format) {
    format = new Intl.DateTimeFormat('en-GB', options)
    formats.set(key, format)
  }
  return format
}

export function formatWhen(props: Omit<WhenProps, 'words'>): string {
  const moment = new Date(props.at)
  if (Number.isNaN(moment.getTime())) return 'time not known'
  const timeZone = props.zone ?? 'UTC'
  const show = props.show ?? 'both'
  const parts: string[] = []
  if (show !== 'time') {
    parts.push(formatFor({ day: 'numeric', month: 'long', year: 'numeric', timeZone }).format(moment))
  }
  if (show !== 'day') {
    parts.push(formatFor({ hour: '2-digit', minute: '2-digit', timeZone }).format(moment))
  }
  const text = parts.join(', ')
  return props.offset === true ? `${text} (${zoneOffset(moment, timeZone)})` : text
}

function zoneOffset(moment: Date, timeZone: string): string {
  const part = formatFor({ timeZone, timeZoneName: 'shortOffset' })
    .formatToParts(moment)
    .find((one) => one.type === 'timeZoneName')
  return (part?.value ?? 'UTC').replace('GMT', 'UTC')
}

export function When(props: WhenProps): JSX.Element {
  const moment = new Date(props.at)
  const iso = Number.isNaN(moment.getTime()) ? undefined : moment.toISOString()
  return <time dateTime={iso}>{props.words ?? formatWhen(props)}</time>
}
