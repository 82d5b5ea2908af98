// What tells who a customer is, and how is it kept out of a text? The whole name, each line of the address, telephone, e-mail.

export interface Contact {
  customerName: string
  address: string
  /** Stands on every certificate's public page, so it is no secret of a packet that holds certificates. */
  town: string
  contact: string | null
}

export interface Redactor {
  /** Whether something of the customer stands in it, however deep; in names of fields too. */
  hides(value: unknown): boolean
  /** The same with every such place said to be withheld. */
  clear<T>(value: T): T
}

/** Shorter than that is a house number or a title, which stands in texts that are about something else. */
const LEAST_LETTERS = 4
const LEAST_DIGITS = 6

/** For who asks for nothing to be withheld. */
export const NOTHING_WITHHELD: Redactor = { hides: () => false, clear: (value) => value }

export function redactorOf(contact: Contact, instead: string): Redactor {
  const patterns = secretsOf(contact).map(patternOf)
  if (patterns.length === 0) return NOTHING_WITHHELD
  const any = new RegExp(patterns.join('|'), 'giu')
  const cleared = (text: string) => text.normalize('NFC').replace(any, instead)
  const hides = (value: unknown): boolean => {
    if (typeof value === 'string') return new RegExp(any.source, 'iu').test(value.normalize('NFC'))
    if (Array.isArray(value)) return value.some(hides)
    if (typeof value !== 'object' || value === null) return false
    return Object.entries(value).some(([name, item]) => hides(name) || hides(item))
  }
  const clear = <T>(value: T): T => {
    if (typeof value === 'string') return cleared(value) as T
    if (Array.isArray(value)) return value.map(clear) as T
    if (typeof value !== 'object' || value === null) return value
    return Object.fromEntries(Object.entries(value).map(([name, item]) => [name, clear(item)])) as T
  }
  return { hides, clear }
}

/** The longest first, so that a whole address is withheld as one. */
function secretsOf({ customerName, address, town, contact }: Contact): string[] {
  const parts = [
    customerName,
    address,
    ...address.split(/[\n,;]+/),
    contact ?? '',
    ...(contact ?? '').split(/[\n,;/|]+/),
    ...((contact ?? '').match(/[^\s,;<>()]+@[^\s,;<>()]+/g) ?? []),
    ...((contact ?? '').match(/\+?\d[\d\s().-]*\d/g) ?? []),
  ].map((part) => part.normalize('NFC').trim().replace(/\s+/g, ' '))
  const sameAsTown = (part: string) => part.toLowerCase() === town.trim().toLowerCase()
  return [...new Set(parts)]
    .filter((part) => isNumber(part) || part.length >= LEAST_LETTERS || part === customerName.trim())
    .filter((part) => part !== '' && !sameAsTown(part))
    .sort((a, b) => b.length - a.length)
}

const digitsIn = (part: string) => part.replace(/\D/g, '')
/** A telephone number, which everybody spaces in their own way. */
const isNumber = (part: string) => /^[+\d][\d\s().-]*$/.test(part) && digitsIn(part).length >= LEAST_DIGITS

/** Of a telephone number, without the codes that lead to it. */
const OWN_DIGITS = 8
const BETWEEN_DIGITS = '[\\s().-]*'

function patternOf(secret: string): string {
  if (isNumber(secret)) {
    // With the code of the country before it, or the nought instead: the end of it is the same.
    const own = [...digitsIn(secret).slice(-OWN_DIGITS)].join(BETWEEN_DIGITS)
    return `(?<!\\d)\\+?(?:[(]?\\d${BETWEEN_DIGITS}){0,6}${own}(?!\\d)`
  }
  const words = secret.split(/[\s,]+/).map((word) => word.replace(/[.*+?^${}()|[\]\\]/g, '\\$&'))
  // A name inside of a longer word is another word.
  return `(?<![\\p{L}\\p{N}])${words.join('[\\s,]+')}(?![\\p{L}\\p{N}])`
}
