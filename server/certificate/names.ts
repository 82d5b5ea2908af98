// Whose names may a certificate carry? Nobody's: people of the crew are known by id, in what is frozen and signed.

import type { CrewPerson, Dossier } from '../rules/dossier.ts'
import type { Finding } from '../rules/finding.ts'
import { say } from '../words/say.ts'

/** How a person is called where their name may not stand. */
export const crewLabel = (crewId: string): string => say.certificates.crew(crewId.slice(-6))

/** Replaces full names of the crew in a sentence; what people write by hand may name a colleague. */
export function nameless(text: string, crew: readonly CrewPerson[]): string {
  let cleared = text
  for (const person of crew) {
    const name = person.name.trim()
    if (name === '') continue
    const whole = new RegExp(`(?<![\\p{L}\\p{N}])${escaped(name)}(?![\\p{L}\\p{N}])`, 'gu')
    cleared = cleared.replace(whole, crewLabel(person.id))
  }
  return cleared
}

const escaped = (text: string) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')

/**
 * The dossier as it may be frozen: no names, no licence numbers, no job reference (which often is the customer's
 * name). A lawful request to erase somebody then never touches what was signed.
 */
export function withoutNames(dossier: Dossier): Dossier {
  const { company, crew, ...rest } = dossier
  return {
    ...clear({ ...rest, job: { ...rest.job, reference: null } }, crew),
    company,
    crew: crew.map((person) => ({
      ...person,
      name: '',
      credentials: person.credentials.map((credential) => ({ ...credential, number: '' })),
    })),
  }
}

export function findingsWithoutNames(findings: readonly Finding[], crew: readonly CrewPerson[]): Finding[] {
  return findings.map((finding) => ({
    ...clear(finding, crew),
    subject:
      finding.subject.kind === 'person'
        ? { ...finding.subject, name: crewLabel(finding.subject.id) }
        : clear(finding.subject, crew),
  }))
}

/** Every text in it, however deep; plain data only. */
function clear<T>(value: T, crew: readonly CrewPerson[]): T {
  if (typeof value === 'string') return nameless(value, crew) as T
  if (Array.isArray(value)) return value.map((item) => clear(item, crew)) as T
  if (typeof value !== 'object' || value === null) return value
  return Object.fromEntries(Object.entries(value).map(([name, item]) => [name, clear(item, crew)])) as T
}
