// What of a site may go on the record's chain, and which part of its address is the town?

import type { SiteRow } from '../../store/queries/sites.ts'
import { salted } from '../../store/record.ts'

/** What follows the last comma. Without a comma nothing: the street must not end up on a public page. */
export function townOf(address: string): string {
  const parts = address.split(/[,\n]/).map((part) => part.trim())
  return parts.length < 2 ? '' : (parts.findLast((part) => part !== '') ?? '')
}

/** The site as the chain may carry it: hashes of what is personal. */
export const saltedSite = (site: SiteRow): Record<string, unknown> => ({
  customer: salted(site.salt, site.customerName),
  address: salted(site.salt, site.address),
  town: salted(site.salt, site.town),
  contact: site.contact === null ? null : salted(site.salt, site.contact),
  elevationM: site.elevationM,
})
