// All tables of the record, in the order in which they refer to each other.

import { type Dialect, kitFor } from '../kit.ts'
import { defineAudit } from './audit.ts'
import { defineCallbacks } from './callbacks.ts'
import { defineCertificates } from './certificates.ts'
import { defineFollowUps } from './follow-ups.ts'
import { defineService } from './in-service.ts'
import { defineInstruments } from './instruments.ts'
import { defineJobs } from './jobs.ts'
import { defineJoints } from './joints.ts'
import { definePeople } from './people.ts'
import { definePlaces } from './places.ts'
import { defineRecord } from './record.ts'
import { defineSearch } from './search.ts'
import { defineSectionTests } from './section-tests.ts'
import { defineSigningIn } from './signing-in.ts'
import { defineWebhooks } from './webhooks.ts'

export function defineTables(dialect: Dialect) {
  const kit = kitFor(dialect)
  const people = definePeople(kit)
  const places = definePlaces(kit, people)
  const instruments = defineInstruments(kit, people)
  const jobs = defineJobs(kit, people, places)
  const joints = defineJoints(kit, people, places, jobs, instruments)
  const tests = defineSectionTests(kit, people, places, jobs, instruments)
  const record = defineRecord(kit, people)
  const certificates = defineCertificates(kit, people, jobs)
  const callbacks = defineCallbacks(kit, people, places, joints)
  const followUps = defineFollowUps(kit, people, jobs, joints, callbacks)
  const service = defineService(kit, people, places, jobs, joints)
  const audit = defineAudit(kit, people, jobs)
  const search = defineSearch(kit, people)
  const signingIn = defineSigningIn(kit, people)
  const webhooks = defineWebhooks(kit, people)
  return {
    ...people,
    ...places,
    ...instruments,
    ...jobs,
    ...joints,
    ...tests,
    ...record,
    ...certificates,
    ...callbacks,
    ...followUps,
    ...service,
    ...audit,
    ...search,
    ...signingIn,
    ...webhooks,
  }
}

export type Tables = ReturnType<typeof defineTables>
