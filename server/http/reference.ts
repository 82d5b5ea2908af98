// Where does the interface explain itself? The OpenAPI document, the same as a page, and the codes of refusals.

import { ProblemsPage } from '../../views/reference/problems.tsx'
import { ReferencePage } from '../../views/reference/reference.tsx'
import { versionOf } from '../root.ts'
import type { Deps } from './deps.ts'
import { type OpenApi, openApiOf } from './openapi.ts'
import { PROBLEM_CODES } from './problem-codes.ts'
import { API, type Resource, type RouteRecord } from './resource.ts'

export function referenceResource(resource: Resource, { config }: Deps, routes: RouteRecord[]): void {
  // Made when first asked for: by then every route is mounted, and the start is not held up.
  let made: OpenApi | undefined
  const document = async () => {
    made ??= openApiOf(routes, { version: versionOf(), publicUrl: config.publicUrl })
    return made
  }

  resource.publicRead({
    path: '/openapi.json',
    name: 'openapi',
    summary: 'This interface as an OpenAPI 3.1 document.',
    load: document,
    json: (openApi) => openApi,
  })

  resource.publicRead({
    path: `${API}/docs`,
    name: 'reference',
    summary: 'This interface as a page.',
    load: document,
    page: (openApi) => ReferencePage({ document: openApi }),
  })

  resource.publicRead({
    path: '/problems',
    name: 'problem-codes',
    summary: 'Every code of a refusal, what it means and what to do.',
    load: async () => PROBLEM_CODES,
    json: (codes) => ({ items: codes, nextCursor: null }),
    page: (codes) => ProblemsPage({ codes }),
  })
}
