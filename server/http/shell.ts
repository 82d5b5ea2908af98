// What stands around a member's page: where to go, who is signed in.

import type { LayoutProps } from '../../views/layout.tsx'
import type { Actor } from '../access/actor.ts'
import { type Capability, may } from '../access/capabilities.ts'
import type { Role } from '../vocabulary.ts'
import { say } from '../words/say.ts'

export type Shell = Pick<
  LayoutProps,
  'company' | 'person' | 'member' | 'roleWords' | 'nav' | 'more' | 'search' | 'signOut'
>

const thePlaces = (): { href: string; label: string; capability: Capability }[] => [
  { href: '/jobs', label: say.page.jobs, capability: 'read' },
  { href: '/audit-list', label: say.page.audit, capability: 'audit-job' },
  { href: '/sites', label: say.page.sites, capability: 'read' },
  { href: '/callbacks', label: say.page.callbacks, capability: 'handle-callback' },
  { href: '/reliability', label: say.page.whatComesBack, capability: 'handle-callback' },
  { href: '/equipment-sheets', label: say.page.sheets, capability: 'read' },
  { href: '/instruments', label: say.page.instruments, capability: 'read' },
  { href: '/crew', label: say.page.crew, capability: 'keep-crew' },
  { href: '/members', label: say.page.people, capability: 'manage-members' },
]

/** Gone to now and then: at the foot of every page. */
const SELDOM: ReturnType<typeof thePlaces> = [
  {
    href: '/reliability',
    get label() {
      return say.page.whatComesBack
    },
    capability: 'read',
  },
  {
    href: '/nonconformities',
    get label() {
      return say.nonconformities.nonconformities
    },
    capability: 'audit-job',
  },
  {
    href: '/recalls',
    get label() {
      return say.page.recalls
    },
    capability: 'read',
  },
  {
    href: '/calculators',
    get label() {
      return say.page.calculators
    },
    capability: 'use-own',
  },
  {
    href: '/policy',
    get label() {
      return say.page.criteria
    },
    capability: 'set-policy',
  },
  {
    href: '/moving-data',
    get label() {
      return say.moving.dataInAndOut
    },
    capability: 'move-data',
  },
  {
    href: '/webhooks',
    get label() {
      return say.webhooks.webhooks
    },
    capability: 'keep-webhooks',
  },
]

export const theRoleWords = (): Record<Role, string> => ({
  technician: say.page.technician,
  manager: say.page.serviceManager,
  warranty: say.page.warrantyDesk,
  owner: say.page.owner,
})

/** `here` is the path of the place that this page belongs to. */
export function shellOf(actor: Actor, here: string): Shell {
  const places = thePlaces().filter((place) => may(actor, place.capability))
  return {
    company: actor.companyName,
    person: actor.name,
    member: actor.memberId,
    roleWords: theRoleWords()[actor.role],
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
