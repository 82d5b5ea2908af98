// What carries this serial, tag, name, address or reference? One box, asked from every page.

import { z } from 'zod'
import { type FoundLine, SearchPage } from '../../views/search/index.tsx'
import { may } from '../access/capabilities.ts'
import { type SearchHit, search } from '../store/queries/search.ts'
import type { JobStage } from '../vocabulary.ts'
import { coded } from '../words/coded.ts'
import { say } from '../words/say.ts'
import { instant } from './json.ts'
import type { Ask, Resource } from './resource.ts'
import { shellOf } from './shell.ts'
import { placeWords } from './strip-of.ts'

const searchQuery = z.object({
  q: z
    .string()
    .max(200, { error: () => say.search.whatIsLookedFor })
    .default('')
    .meta({ description: 'A serial, a tag, a customer, an address or a job’s reference, whole or in part.' }),
})

export function searchResource(resource: Resource): void {
  resource.read({
    path: '/search',
    name: 'search',
    summary:
      'What a serial, tag, customer, address or job reference names: whole, in part, or with a slip or two in a serial or tag. The best first, each with what matched.',
    query: searchQuery,
    load: (ask) => search(ask.scope, ask.query.q ?? ''),
    json: ({ hits, more }) => ({ items: hits.map(hitJson), nextCursor: null, more }),
    page: ({ hits, more }, ask) =>
      SearchPage({
        shell: shellOf(ask.actor, '/search'),
        typed: ask.query.q ?? '',
        found: hits.map((hit) => lineOf(hit, ask)),
        more,
      }),
  })
}

function hitJson(hit: SearchHit): Record<string, unknown> {
  if (hit.kind !== 'job') return { ...hit }
  return { ...hit, openedAt: instant(hit.openedAt) }
}

const stageWords = (): Record<JobStage, string> => ({
  open: say.jobs.open,
  submitted: say.jobs.waitingForAudit,
  sealed: say.jobs.sealed,
})

/** A hit as a line of the page: where it leads depends on what its reader comes for. */
function lineOf(hit: SearchHit, { actor }: Ask): FoundLine {
  const records = may(actor, 'record-work')
  const handles = may(actor, 'handle-callback')
  const { matched } = hit
  if (hit.kind === 'instrument')
    return {
      kind: hit.kind,
      href: `/instruments/${hit.id}`,
      title: hit.name,
      where: null,
      matched,
      gone: !hit.active,
      links: [],
    }
  const where = `${hit.customerName}, ${hit.address}`
  const calledIn = (systemId: string) =>
    handles ? [{ href: `/callbacks/new?system=${systemId}`, to: 'callback' as const }] : []
  switch (hit.kind) {
    case 'joint': {
      const [work, history] = [`/joints/${hit.id}`, `/joints/${hit.id}/history`]
      return {
        kind: hit.kind,
        href: records ? work : history,
        title: say.search.line(placeWords(hit), coded(hit.line)),
        where: `${hit.systemName}, ${where}`,
        matched,
        gone: hit.retired,
        links: [
          records ? { href: history, to: 'history' } : { href: work, to: 'joint' },
          { href: `/systems/${hit.systemId}`, to: 'system' },
          ...calledIn(hit.systemId),
        ],
      }
    }
    case 'unit':
      return {
        kind: hit.kind,
        href: `/systems/${hit.systemId}`,
        title: `${hit.systemName}: ${hit.name}, ${hit.model}`,
        where,
        matched,
        gone: hit.removed,
        links: [{ href: `/systems/${hit.systemId}/history`, to: 'history' }, ...calledIn(hit.systemId)],
      }
    case 'system':
      return {
        kind: hit.kind,
        href: `/systems/${hit.id}`,
        title: hit.name,
        where,
        matched,
        gone: false,
        links: [{ href: `/systems/${hit.id}/history`, to: 'history' }, ...calledIn(hit.id)],
      }
    case 'site':
      return {
        kind: hit.kind,
        href: `/sites/${hit.id}`,
        title: hit.customerName,
        where: hit.address,
        matched,
        gone: false,
        links: hit.systems.slice(0, 6).map((system) => ({
          href: `/systems/${system.id}`,
          to: 'system',
          name: system.name,
        })),
      }
    case 'job':
      return {
        kind: hit.kind,
        href: `/jobs/${hit.id}`,
        title: say.search.jobAtStage(coded(hit.jobKind), stageWords()[hit.stage]),
        where,
        matched,
        gone: false,
        links: [{ href: `/sites/${hit.siteId}`, to: 'site' }],
      }
  }
}
