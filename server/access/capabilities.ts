// Who may do what? One table, used by commands and pages alike.

import type { Role } from '../vocabulary.ts'
import type { Actor } from './actor.ts'

const EVERYBODY: Role[] = ['technician', 'manager', 'warranty', 'owner']
const CREW: Role[] = ['technician', 'manager', 'owner']
const DESK: Role[] = ['manager', 'owner']

export const CAPABILITIES = {
  read: EVERYBODY,
  /** Calculators, own tokens, own sessions. */
  'use-own': EVERYBODY,
  'open-job': CREW,
  'change-job': DESK,
  /** Sites, systems, units, line sets, joints: set up where the work is. */
  'set-up-system': CREW,
  'edit-sheet': CREW,
  'record-work': CREW,
  'submit-job': CREW,
  'audit-job': DESK,
  /** Take in a callback, say what was found, close it. */
  'handle-callback': ['manager', 'warranty', 'owner'],
  'keep-instruments': CREW,
  'keep-crew': DESK,
  'set-policy': DESK,
  /** Tables of everything out, tables of many things in. */
  'move-data': DESK,
  /** Which other programs are told of what happens, and with which secret. */
  'keep-webhooks': DESK,
  'move-company': ['owner'],
  'manage-members': ['owner'],
} as const satisfies Record<string, readonly Role[]>

export type Capability = keyof typeof CAPABILITIES

export const may = (actor: Pick<Actor, 'role'>, capability: Capability): boolean =>
  (CAPABILITIES[capability] as readonly Role[]).includes(actor.role)
