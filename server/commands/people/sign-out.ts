// Ends this browser's session; the one who mounts it takes the cookie back.

import { z } from 'zod'
import { definePublicCommand } from '../command.ts'

export const signOut = definePublicCommand({
  name: 'sign-out',
  summary: 'End this session.',
  input: z.strictObject({}),
  handle: async (): Promise<{ signedIn: false }> => ({ signedIn: false }),
})
