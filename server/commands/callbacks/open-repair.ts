// Opens the job that repairs a system which came back: one step from the callback, on that system alone.

import { z } from 'zod'
import type { JobRow } from '../../store/queries/jobs.ts'
import { findSystem } from '../../store/queries/systems.ts'
import { defineCommand } from '../command.ts'
import { id, moment, ownId, text } from '../fields.ts'
import { openJob } from '../jobs/open-job.ts'
import { findOpenCallback } from './change-callback.ts'

export const openRepair = defineCommand({
  name: 'open-repair',
  summary: 'Open the repair job of an open callback, on the system that came back.',
  capability: 'handle-callback',
  input: z.strictObject({
    id: ownId,
    callbackId: id,
    reference: text(80).optional(),
    assignedTo: id.optional().meta({ description: 'A person of the crew, or a member.' }),
    scheduledFor: moment.optional(),
  }),
  async handle(scope, { callbackId, ...input }, context): Promise<JobRow> {
    const callback = await findOpenCallback(scope, callbackId)
    const { siteId } = await findSystem(scope, callback.systemId)
    return openJob.handle(
      scope,
      { ...input, siteId, kind: 'repair', systemIds: [callback.systemId], callbackId: callback.id },
      context,
    )
  },
})
