// When was that, in the reader's zone?

import { createContext, type JSX } from 'preact'
import { useContext } from 'preact/hooks'
import type { Language } from '../../server/vocabulary.ts'
import { languageNow, say } from '../../server/words/say.ts'

/** The reader's zone by its IANA name; null where the browser did not say, and then times are UTC and say so. */
export const ReaderZone = createContext<string | null>(null)

export interface WhenProps {
  /** ISO 8601 instant or milliseconds. */
  at: string | number
  /** IANA name; left out, the reader's. */
  zone?: string | null | undefined
  show?: 'day' | 'time' | 'both' | undefined
  /** Certificates show the offset: "4 March 2026, 16:10 (UTC+1)". */
  offset?: boolean | undefined
  /** Says it in words instead, such as "yesterday 16:05"; the instant stays in the markup. */
  words?: string | undefined
}

/** How days and times are written, where a language has more than one way. */
const LOCALES: Record<Language, string> = { en: 'en-GB', es: 'es' }

const formats = new Map<string, Intl.DateTimeFormat>()

/** Making a format costs a thousand times what using it does. */
function formatFor(options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat {
  const locale = LOCALES[languageNow()]
  const key = locale + JSON.stringify(options)
  let format = formats.get(key)
  if (!format) {
    format = new Intl.DateTimeFormat(locale, options)
    formats.set(key, format)
  }
  return format
}

export function formatWhen(props: Omit<WhenProps, 'words'>): string {
  const moment = new Date(props.at)
  if (Number.isNaN(moment.getTime())) return say.parts.timeNotKnown
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
  if (props.offset === true) return `${text} (${zoneOffset(moment, timeZone)})`
  return show === 'day' || props.zone ? text : `${text} UTC`
}

function zoneOffset(moment: Date, timeZone: string): string {
  const part = formatFor({ timeZone, timeZoneName: 'shortOffset' })
    .formatToParts(moment)
    .find((one) => one.type === 'timeZoneName')
  return (part?.value ?? 'UTC').replace('GMT', 'UTC')
}

/** For attributes and drawings; use inside a component only. */
export function useWhen(): (props: Omit<WhenProps, 'words'>) => string {
  const zone = useContext(ReaderZone)
  return (props) => formatWhen({ zone, ...props })
}

export function When(props: WhenProps): JSX.Element {
  const when = useWhen()
  const moment = new Date(props.at)
  const iso = Number.isNaN(moment.getTime()) ? undefined : moment.toISOString()
  return <time dateTime={iso}>{props.words ?? when(props)}</time>
}
