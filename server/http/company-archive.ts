// The whole company in one archive: begun by an owner, written by itself, fetched when it is whole.

import { type CompanyArchive, CompanyArchivePage } from '../../views/moving/company.tsx'
import { writeOutCompany } from '../commands/moving/write-out-company.ts'
import { newId } from '../ids.ts'
import { exportCompany } from '../moving/export-company.ts'
import { type OnShelf, Shelf } from '../moving/shelf.ts'
import { missing } from '../refusals.ts'
import { versionOf } from '../root.ts'
import { say } from '../words/say.ts'
import type { Deps } from './deps.ts'
import { instant } from './json.ts'
import type { Ask, Resource } from './resource.ts'
import { shellOf } from './shell.ts'

const shelves = new WeakMap<Deps, Shelf>()
/** One for each service. */
export function shelfOf(deps: Deps): Shelf {
  const known = shelves.get(deps)
  if (known) return known
  const made = new Shelf(deps.config.files, () => deps.machinery.clock())
  shelves.set(deps, made)
  return made
}

export function companyArchiveResource(resource: Resource, deps: Deps): void {
  const shelf = shelfOf(deps)
  const begin = ({ actor }: Ask, id: string) =>
    shelf.begin(actor.companyId, id, async (write, onProgress) => {
      const { machinery, config } = deps
      const { bytes, manifest } = await exportCompany(machinery.store, actor.companyId, {
        files: machinery.files,
        about: { from: config.publicUrl, program: versionOf(), keys: machinery.signer.publicKeys },
        now: machinery.clock(),
        write,
        onProgress,
      })
      return { bytes, missing: manifest.missing.length }
    })

  resource.read({
    path: '/exports/company',
    name: 'company-archive',
    summary: 'How far the archive of the whole company is.',
    capability: 'move-company',
    load: (ask) => shelf.look(ask.actor.companyId),
    json: archiveJson,
    page: (archive, ask) =>
      CompanyArchivePage({
        shell: shellOf(ask.actor, '/moving-data'),
        freshId: newId(),
        archive: archive as CompanyArchive | null,
      }),
  })

  resource.write({
    path: '/exports/company',
    command: writeOutCompany,
    status: 201,
    json: async ({ id }, ask) => archiveJson(await begin(ask, id)),
    page: {
      goTo: ({ id }, ask) => {
        void begin(ask, id)
        return '/exports/company'
      },
    },
  })

  resource.read({
    path: '/exports/company.tar',
    name: 'company-archive-itself',
    summary: 'The archive, once it is whole.',
    capability: 'move-company',
    load: async (ask) => {
      const found = await shelf.take(ask.actor.companyId)
      if (!found) throw missing(say.moving.theArchive)
      return found
    },
    file: {
      // No type that the service would press together: it is as long as it says, so that a browser shows how far it is.
      mediaType: 'application/vnd.jointkeep.company',
      make: ({ content, bytes }, ask) => ({
        content,
        bytes,
        fileName: `company-${instant(ask.now).slice(0, 10)}.tar`,
      }),
    },
  })
}

const archiveJson = (archive: OnShelf | null) =>
  archive === null
    ? { state: 'none' }
    : {
        id: archive.id,
        state: archive.state,
        done: archive.done,
        total: archive.total,
        begunAt: instant(archive.begunAt),
        bytes: archive.bytes,
        missing: archive.missing,
        href: archive.state === 'whole' ? '/api/v1/exports/company.tar' : null,
      }
