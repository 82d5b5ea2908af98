// What is a thing found by? Terms of what is named, and keys under which a mistyped term is found. Drawn from the record;
// it can be thrown away and made anew.

import type { SearchKind } from '../../vocabulary.ts'
import type { Kit } from '../kit.ts'
import type { definePeople } from './people.ts'

export function defineSearch(kit: Kit, { companies }: ReturnType<typeof definePeople>) {
  /** Folded: lower case, no marks above letters, and in serials and tags no signs that look alike. */
  const searchTerms = kit.table(
    'search_terms',
    {
      companyId: kit.text('company_id').notNull(),
      term: kit.text('term').notNull(),
      kind: kit.text('kind').$type<SearchKind>().notNull(),
      /** A unit, a system, a job or a site, by its kind. */
      subjectId: kit.text('subject_id').notNull(),
    },
    (t) => [
      kit.primaryKey({ columns: [t.companyId, t.kind, t.term, t.subjectId] }),
      kit.foreignKey({
        name: 'search_terms_company_fk',
        columns: [t.companyId],
        foreignColumns: [companies.id],
      }),
      kit.index('search_terms_subject_index').on(t.companyId, t.subjectId),
    ],
  )

  /** A term under each of what is left of it when one sign is left out; two that share a key differ by little. */
  const searchKeys = kit.table(
    'search_keys',
    {
      companyId: kit.text('company_id').notNull(),
      key: kit.text('key').notNull(),
      term: kit.text('term').notNull(),
    },
    (t) => [
      kit.primaryKey({ columns: [t.companyId, t.key, t.term] }),
      kit.foreignKey({
        name: 'search_keys_company_fk',
        columns: [t.companyId],
        foreignColumns: [companies.id],
      }),
    ],
  )

  return { searchTerms, searchKeys }
}
