// What stands around a member's page: where to go, who is signed in.

import type { LayoutProps } from '../../views/layout.tsx'
import type { Actor } from '../access/actor.ts'
import { type Capability, may } from '../access/capabilities.ts'
import type { Role } from '../vocabulary.ts'

export type Shell = Pick<
  LayoutProps,
  'company' | 'person' | 'member' | 'roleWords' | 'nav' | 'more' | 'search' | 'signOut'
>

const PLACES: { href: string; label: string; capability: Capability }[] = [
  { href: '/jobs', label: 'Jobs', capability: 'read' },
  { href: '/audit-list', label: 'Audit', capability: 'audit-job' },
  { href: '/sites', label: 'Sites', capability: 'read' },
  { href: '/callbacks', label: 'Callbacks', capability: 'handle-callback' },
  { href: '/reliability', label: 'What comes back', capability: 'handle-callback' },
  { href: '/equipment-sheets', label: 'Sheets', capability: 'read' },
  { href: '/instruments', label: 'Instruments', capability: 'read' },
  { href: '/crew', label: 'Crew', capability: 'keep-crew' },
  { href: '/members', label: 'People', capability: 'manage-members' },
]

/** Gone to now and then: at the foot of every page. */
const SELDOM: typeof PLACES = [
  { href: '/reliability', label: 'What comes back', capability: 'read' },
  { href: '/recalls', label: 'Recalls', capability: 'read' },
  { href: '/calculators', label: 'Calculators', capability: 'use-own' },
  { href: '/policy', label: 'Criteria', capability: 'set-policy' },
]

export const ROLE_WORDS: Record<Role, string> = {
  technician: 'technician',
  manager: 'service manager',
  warranty: 'warranty desk',
  owner: 'owner',
}

/** `here` is the path of the place that this page belongs to. */
export function shellOf(actor: Actor, here: string): Shell {
  const places = PLACES.filter((place) => may(actor, place.capability))
  return {
    company: actor.companyName,
    person: actor.name,
    member: actor.memberId,
    roleWords: ROLE_WORDS[actor.role],
    nav: places.map(({ href, label }) => ({
      href,
      label,
      current: here === href,
    })),
    more: SELDOM.filter(
      (place) => may(actor, place.capability) && !places.some(({ href }) => href === place.href),
    ).map(({ href, label }) => ({ href, label })),
    search: '/search',
    signOut: '/sign-out',
  }
}
