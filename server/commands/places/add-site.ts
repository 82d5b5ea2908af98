// Keeps a customer's address, where systems will stand for their life.

import { z } from 'zod'
import { newSecret } from '../../ids.ts'
import { findSite, type SiteRow, searchTextOf } from '../../store/queries/sites.ts'
import { holdChain } from '../../store/queries/systems.ts'
import { keepFindable, siteFoundBy } from '../../store/search-terms.ts'
import { defineCommand } from '../command.ts'
import { ownId, text } from '../fields.ts'
import { elevation } from '../quantities.ts'
import { saltedSite, townOf } from './site-fields.ts'

export const addSite = defineCommand({
  name: 'add-site',
  summary: 'Add a site: a customer at an address.',
  capability: 'set-up-system',
  input: z.strictObject({
    id: ownId,
    customerName: text(),
    address: text(500),
    town: text(120).optional().meta({
      description: 'Shown to anyone who checks a certificate. Default: what follows the last comma.',
    }),
    contact: text(500).optional(),
    elevation: elevation()
      .optional()
      .meta({ description: 'Above sea level; sets the air pressure that gauges are corrected by.' }),
  }),
  async handle(scope, input, context): Promise<SiteRow> {
    const { db, t, companyId } = scope
    const site: SiteRow = {
      companyId,
      id: input.id ?? context.newId(),
      customerName: input.customerName,
      address: input.address,
      town: input.town ?? townOf(input.address),
      contact: input.contact ?? null,
      elevationM: input.elevation?.si ?? null,
      searchText: '',
      salt: newSecret(),
      createdAt: context.now,
    }
    site.searchText = searchTextOf(site)
    // A word that comes and the same word that goes elsewhere, at once: one waits for the other.
    await holdChain(scope, companyId)
    await db.insert(t.sites).values(site)
    await keepFindable(scope, [siteFoundBy(site)])
    context.record({
      chainId: companyId,
      kind: 'site-added',
      subjectId: site.id,
      body: saltedSite(site),
    })
    return findSite(scope, site.id)
  },
})
