// Changes what is known of a site: a new customer, a corrected address, a contact.

import { and, eq } from 'drizzle-orm'
import { z } from 'zod'
import { findSite, type SiteRow, searchTextOf } from '../../store/queries/sites.ts'
import { holdChain } from '../../store/queries/systems.ts'
import { replaceFindable, siteFoundBy } from '../../store/search-terms.ts'
import { defineCommand } from '../command.ts'
import { id, text } from '../fields.ts'
import { elevation } from '../quantities.ts'
import { saltedSite, townOf } from './site-fields.ts'

export const changeSite = defineCommand({
  name: 'change-site',
  summary: 'Change a site’s customer, address, town, contact or elevation.',
  capability: 'set-up-system',
  input: z.strictObject({
    siteId: id,
    customerName: text().optional(),
    address: text(500).optional(),
    town: text(120).optional(),
    contact: text(500).nullable().optional(),
    elevation: elevation().nullable().optional(),
  }),
  async handle(scope, input, context): Promise<SiteRow> {
    const { db, t, companyId } = scope
    // A word that goes and the same word that comes elsewhere, at once: one waits for the other.
    await holdChain(scope, companyId)
    const before = await findSite(scope, input.siteId)
    const after = {
      ...before,
      customerName: input.customerName ?? before.customerName,
      address: input.address ?? before.address,
      contact: input.contact === undefined ? before.contact : input.contact,
      elevationM: input.elevation === undefined ? before.elevationM : (input.elevation?.si ?? null),
    }
    // A town that was read from the old address follows the new one; one that was typed stays.
    after.town = input.town ?? (before.town === townOf(before.address) ? townOf(after.address) : before.town)
    const { customerName, address, town, contact, elevationM } = after
    await db
      .update(t.sites)
      .set({ customerName, address, town, contact, elevationM, searchText: searchTextOf(after) })
      .where(and(eq(t.sites.companyId, companyId), eq(t.sites.id, before.id)))
    await replaceFindable(scope, siteFoundBy(before), siteFoundBy(after))
    context.record({
      chainId: companyId,
      kind: 'site-changed',
      subjectId: before.id,
      body: saltedSite(after),
    })
    return findSite(scope, before.id)
  },
})
