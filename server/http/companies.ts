// How does a company come to be?

import { SignUpPage } from '../../views/people/sign-up.tsx'
import { registerCompany, signUpIsOpen } from '../commands/people/register-company.ts'
import { newId } from '../ids.ts'
import { anyCompany } from '../store/queries/people.ts'
import type { Deps } from './deps.ts'
import { instant } from './json.ts'
import type { Resource } from './resource.ts'
import { ENTRANCE_LIMIT, letIn, messageOf } from './session.ts'

export function companiesResource(resource: Resource, deps: Deps): void {
  resource.publicRead({
    path: '/sign-up',
    name: 'sign-up',
    summary: 'The page to found a company on.',
    load: async () => {
      const reader = deps.machinery.store.reader()
      return { open: await signUpIsOpen(reader, deps.machinery), empty: !(await anyCompany(reader)) }
    },
    page: ({ open, empty }) => SignUpPage({ open, empty, id: newId() }),
  })

  resource.publicWrite({
    path: '/companies',
    command: registerCompany,
    status: 201,
    rateLimit: ENTRANCE_LIMIT,
    after: (result, ask) => letIn(ask, result.person.id, result.company.id, 'sign-up'),
    json: ({ company, person, memberId }) => ({
      id: company.id,
      name: company.name,
      createdAt: instant(company.createdAt),
      owner: { memberId, personId: person.id, name: person.name, email: person.email, role: 'owner' },
    }),
    page: {
      path: '/sign-up',
      goTo: () => '/jobs',
      again: async (form, refusal) =>
        SignUpPage({
          open: refusal.code !== 'sign-up-closed',
          id: form.values.id ?? newId(),
          form,
          refused: messageOf(refusal),
        }),
    },
  })
}
