// Puts on record that an owner takes everything of the company out; the archive is written afterwards, by itself.

import { z } from 'zod'
import { defineCommand } from '../command.ts'
import { ownId } from '../fields.ts'

export const writeOutCompany = defineCommand({
  name: 'write-out-company',
  summary:
    'Begin to write everything of the company into an archive. It takes a while: ask how far it is, then fetch it.',
  capability: 'move-company',
  input: z.strictObject({ id: ownId }),
  async handle(scope, input, context): Promise<{ id: string }> {
    const id = input.id ?? context.newId()
    context.record({ chainId: scope.companyId, kind: 'company-written-out', subjectId: scope.companyId })
    return { id }
  },
})
