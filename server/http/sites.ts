// Sites: the company's customers and their addresses, as pages and as JSON.

import { z } from 'zod'
import { EditSite, NewSite } from '../../views/sites/form.tsx'
import { SiteList } from '../../views/sites/index.tsx'
import { SitePage } from '../../views/sites/show.tsx'
import { may } from '../access/capabilities.ts'
import { addSite } from '../commands/places/add-site.ts'
import { changeSite } from '../commands/places/change-site.ts'
import { newId } from '../ids.ts'
import { listJobs } from '../store/queries/jobs.ts'
import { findSite, listSites, type SiteRow } from '../store/queries/sites.ts'
import { listSystemsOfSites, type SystemRow } from '../store/queries/systems.ts'
import type { Deps } from './deps.ts'
import { emptyAsNull, quantityOrNull } from './form-fields.ts'
import { instant, quantityJson } from './json.ts'
import { type ListQuery, listQuery, type Resource } from './resource.ts'
import { shellOf } from './shell.ts'

const sitesQuery = listQuery.extend({
  q: z.string().max(200).optional().meta({ description: 'Part of the customer’s name, address or town.' }),
})
type SitesQuery = ListQuery & { q?: string | undefined }

export function sitesResource(resource: Resource, _deps: Deps): void {
  resource.read({
    path: '/sites',
    name: 'list-sites',
    summary: 'The company’s sites, newest first.',
    query: sitesQuery,
    load: ({ scope, query }) => listSites(scope, query as unknown as SitesQuery),
    json: ({ items, nextCursor }) => ({ items: items.map(siteJson), nextCursor }),
    page: async ({ items, nextCursor }, { actor, scope, query }) => {
      const q = query.q?.trim() ?? ''
      const systems = await listSystemsOfSites(
        scope,
        items.map((site) => site.id),
      )
      return SiteList({
        shell: shellOf(actor, '/sites'),
        q,
        sites: items.map((site) => ({
          id: site.id,
          customerName: site.customerName,
          address: site.address,
          systems: systems.filter((system) => system.siteId === site.id).map((system) => system.name),
        })),
        isFirstPage: query.cursor === undefined,
        nextCursor,
        mayAdd: may(actor, 'set-up-system'),
      })
    },
  })

  resource.read({
    path: '/sites/new',
    name: 'new-site',
    summary: 'The form for a new site.',
    capability: 'set-up-system',
    load: async () => newId(),
    page: (id, { actor }) => NewSite({ shell: shellOf(actor, '/sites'), id }),
  })

  resource.write({
    path: '/sites',
    command: addSite,
    status: 201,
    json: siteJson,
    page: {
      goTo: (site) => `/sites/${site.id}`,
      again: async (form, _refusal, { actor }) =>
        NewSite({ shell: shellOf(actor, '/sites'), id: form.values.id ?? newId(), form }),
    },
  })

  resource.read({
    path: '/sites/:siteId',
    name: 'read-site',
    summary: 'One site with its systems.',
    load: async ({ scope, params }) => {
      const site = await findSite(scope, params.siteId ?? '')
      return { site, systems: await listSystemsOfSites(scope, [site.id]) }
    },
    json: ({ site, systems }) => ({ ...siteJson(site), systems: systems.map(systemLineJson) }),
    page: async ({ site, systems }, { actor, scope }) => {
      const jobs = await listJobs(scope, { siteId: site.id, limit: 50 })
      return SitePage({
        shell: shellOf(actor, '/sites'),
        site: siteView(site),
        systems: systems.map(({ id, name, tagPrefix, refrigerant }) => ({
          id,
          name,
          tagPrefix,
          refrigerant,
        })),
        jobs: jobs.items.map(({ id, kind, reference, stage, openedAt }) => ({
          id,
          kind,
          reference,
          stage,
          openedAt,
        })),
        mayChange: may(actor, 'set-up-system'),
        mayOpenJob: may(actor, 'open-job'),
      })
    },
  })

  resource.read({
    path: '/sites/:siteId/edit',
    name: 'edit-site',
    summary: 'The form that changes a site.',
    capability: 'set-up-system',
    load: ({ scope, params }) => findSite(scope, params.siteId ?? ''),
    page: (site, { actor }) => EditSite({ shell: shellOf(actor, '/sites'), site: siteView(site) }),
  })

  resource.write({
    method: 'PATCH',
    path: '/sites/:siteId',
    command: changeSite,
    json: siteJson,
    page: {
      // The form shows all that is known, so what comes back empty was taken away.
      input: (fields) => ({
        customerName: fields.customerName,
        address: fields.address,
        ...(fields.town?.trim() ? { town: fields.town } : {}),
        contact: emptyAsNull(fields.contact),
        elevation: quantityOrNull(fields, 'elevation'),
      }),
      goTo: (site) => `/sites/${site.id}`,
      again: async (form, _refusal, { actor, scope, params }) =>
        EditSite({
          shell: shellOf(actor, '/sites'),
          site: siteView(await findSite(scope, params.siteId ?? '')),
          form,
        }),
    },
  })
}

export const siteJson = (site: SiteRow) => ({
  id: site.id,
  customerName: site.customerName,
  address: site.address,
  town: site.town,
  contact: site.contact,
  elevation: quantityJson('length', site.elevationM, 'm'),
  createdAt: instant(site.createdAt),
})

/** A system in a list. */
export const systemLineJson = (system: SystemRow) => ({
  id: system.id,
  siteId: system.siteId,
  name: system.name,
  tagPrefix: system.tagPrefix,
  refrigerant: system.refrigerant,
  equipmentSheetId: system.equipmentSheetId,
  createdAt: instant(system.createdAt),
})

const siteView = ({ id, customerName, address, town, contact, elevationM }: SiteRow) => ({
  id,
  customerName,
  address,
  town,
  contact,
  elevationM,
})
