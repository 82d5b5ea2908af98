// In which few ways does the service say no? Each becomes one kind of problem answer (RFC 9457).

import type { Finding } from './rules/finding.ts'
import { say } from './words/say.ts'

export interface FieldError {
  /** Where in the body, for example `reading.value`. */
  path: string
  message: string
}

export type RefusalKind =
  | 'malformed'
  | 'signed-out'
  | 'forbidden'
  | 'missing'
  | 'conflict'
  | 'refused-by-rule'
  | 'too-many'
  | 'busy'

export const STATUS_OF: Record<RefusalKind, number> = {
  malformed: 400,
  'signed-out': 401,
  forbidden: 403,
  missing: 404,
  conflict: 409,
  'refused-by-rule': 422,
  'too-many': 429,
  busy: 503,
}

export class Refusal extends Error {
  readonly kind: RefusalKind
  /** Stable, kebab-case: what a program may decide by. */
  readonly code: string
  readonly errors: FieldError[]
  readonly findings: Finding[]

  constructor(
    kind: RefusalKind,
    code: string,
    detail: string,
    more: { errors?: FieldError[]; findings?: Finding[] } = {},
  ) {
    super(detail)
    this.name = say.refusals.refusal
    this.kind = kind
    this.code = code
    this.errors = more.errors ?? []
    this.findings = more.findings ?? []
  }

  get status(): number {
    return STATUS_OF[this.kind]
  }
}

export const malformed = (errors: FieldError[], detail = say.refusals.someFieldsNeedAnother) =>
  new Refusal('malformed', 'malformed', detail, { errors })
export const malformedField = (path: string, message: string) => malformed([{ path, message }], message)
export const signedOut = () => new Refusal('signed-out', 'signed-out', say.refusals.signInFirst)
export const forbidden = (detail = say.refusals.yourRoleDoesNot, code = 'forbidden') =>
  new Refusal('forbidden', code, detail)
export const missing = (what = say.refusals.that) =>
  new Refusal('missing', 'missing', say.refusals.wasNotFoundIn(what))
/** Something that a field names is not there, or not this company's: the two are not told apart. */
export const missingField = (path: string, what: string) =>
  new Refusal('missing', 'missing', say.refusals.wasNotFoundIn(what), {
    errors: [{ path, message: say.refusals.wasNotFoundIn(what) }],
  })
export const conflict = (code: string, detail: string, errors: FieldError[] = []) =>
  new Refusal('conflict', code, detail, { errors })
export const refusedByRule = (code: string, detail: string, findings: Finding[] = []) =>
  new Refusal('refused-by-rule', code, detail, { findings })
export const tooMany = (detail: string) => new Refusal('too-many', 'too-many', detail)
export const busy = (detail = say.refusals.theStoreIsBusy) => new Refusal('busy', 'busy', detail)
