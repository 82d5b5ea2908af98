// In which zone does the reader live? Told by the small script in a cookie; nobody is asked.

import type { FastifyRequest } from 'fastify'

export const ZONE_COOKIE = 'jointkeep_zone'

/** IANA name; null where nothing was said, or nothing that is a zone. */
export function zoneOf(request: FastifyRequest): string | null {
  const name = request.cookies[ZONE_COOKIE]
  return name !== undefined && isZone(name) ? name : null
}

const known = new Map<string, boolean>()
/** What browsers say is a few hundred names; whoever says more is not remembered. */
const MOST = 600

function isZone(name: string): boolean {
  if (name.length > 64) return false
  const kept = known.get(name)
  if (kept !== undefined) return kept
  let is = true
  try {
    new Intl.DateTimeFormat('en-GB', { timeZone: name })
  } catch {
    is = false
  }
  if (known.size < MOST) known.set(name, is)
  return is
}
