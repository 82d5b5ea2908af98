// The claim packet of a system: a page that says what is in it and what may be left out, and the zip itself.

import { z } from 'zod'
import { ClaimPacketPage } from '../../views/systems/claim-packet.tsx'
import { noteClaimPacket } from '../commands/claims/note-claim-packet.ts'
import { listEntriesAbout } from '../store/queries/entries.ts'
import { findSystem } from '../store/queries/systems.ts'
import { say } from '../words/say.ts'
import { type ClaimRecord, loadClaimRecord, roughBytes } from './claims/claim-record.ts'
import { packetOf } from './claims/packet.ts'
import { zipOf } from './claims/zip.ts'
import { instant } from './json.ts'
import type { Ask, Resource } from './resource.ts'
import { shellOf } from './shell.ts'

const packetQuery = z.object({
  redact: z
    .enum(['contact'], { error: () => say.claims.useContact })
    .or(z.literal('').transform(() => undefined))
    .optional()
    .meta({ description: 'What is left out of every file: contact, or nothing.' }),
})
type PacketQuery = z.output<typeof packetQuery>

export function claimPacketResource(resource: Resource): void {
  resource.read({
    path: '/systems/:systemId/claim-packet',
    name: 'claim-packet',
    summary:
      'Everything the record holds of a system as one zip to hand over with a claim; that it was taken goes on record.',
    capability: 'handle-callback',
    query: packetQuery,
    load: (ask) => loadClaimRecord(ask, ask.params.systemId ?? ''),
    page: claimPacketPage,
    file: {
      path: '/systems/:systemId/claim-packet.zip',
      mediaType: 'application/zip',
      noted: true,
      make: makePacket,
    },
  })
}

async function makePacket(record: ClaimRecord, ask: Ask) {
  const { redact } = ask.query as PacketQuery
  const { id, tagPrefix } = await findSystem(ask.scope, record.system.id)
  const { content, bytes } = await zipOf(await packetOf(ask, record, redact))
  await noteClaimPacket(ask.deps.machinery, ask.actor, { systemId: id, redact })
  return { content, bytes, fileName: `claim-packet-${tagPrefix}-${instant(ask.now).slice(0, 10)}.zip` }
}

async function claimPacketPage(record: ClaimRecord, ask: Ask) {
  const { system, certificates, photos, entries, callbacks, pressureTests, evacuations, people } = record
  const before = await listEntriesAbout(ask.scope, system.id)
  return ClaimPacketPage({
    shell: shellOf(ask.actor, '/search'),
    system: { id: system.id, name: system.name },
    redact: (ask.query as PacketQuery).redact === 'contact',
    counts: {
      certificates: certificates.length,
      photos: photos.length,
      readings: [...pressureTests, ...evacuations].reduce((all, { test }) => all + test.readings.length, 0),
      entries: entries.length,
      callbacks: callbacks.length,
    },
    megabytes: (roughBytes(record) / 1e6).toFixed(1),
    before: before
      .filter(({ kind }) => kind === 'claim-packet-made')
      .toReversed()
      .map(({ id, at, memberId, body }) => ({
        id,
        at,
        who: people.members.get(memberId ?? '') ?? say.claims.somebody,
        redacted: Array.isArray(body.redacted) && body.redacted.includes('contact'),
      })),
  })
}
