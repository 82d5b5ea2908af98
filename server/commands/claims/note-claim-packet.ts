// Puts on record that somebody took a system's claim packet: a note of the service itself, which nobody sends.

import type { Actor } from '../../access/actor.ts'
import { appendEntry } from '../../store/record.ts'
import { scopeOf } from '../../store/store.ts'
import type { Machinery } from '../command.ts'

/** The system is one of the actor's company. */
export async function noteClaimPacket(
  { store, clock }: Pick<Machinery, 'store' | 'clock'>,
  actor: Pick<Actor, 'companyId' | 'memberId'>,
  { systemId, redact }: { systemId: string; redact: 'contact' | undefined },
): Promise<void> {
  await store.transaction(async (session) => {
    await appendEntry(
      scopeOf(session, actor.companyId),
      {
        // On the company's chain: the system's goes into the packet, and the same record is to give the same packet.
        chainId: actor.companyId,
        kind: 'claim-packet-made',
        subjectId: systemId,
        body: { redacted: redact === undefined ? [] : [redact] },
      },
      { now: clock(), deviceAt: null, memberId: actor.memberId },
    )
  })
}
