// Which label hangs on an instrument, and where does its picture lead? One, or a sheet of many.

import { InstrumentLabelsPage, OtherCompanysInstrument } from '../../views/instruments/labels.tsx'
import { missing } from '../refusals.ts'
import { findInstrumentByNumber, listActiveInstruments } from '../store/queries/instruments.ts'
import { type Membership, membershipsOf } from '../store/queries/people.ts'
import { findPolicy } from '../store/queries/policy.ts'
import { scopeOf } from '../store/store.ts'
import { say } from '../words/say.ts'
import { confirmationOf } from './confirmation.ts'
import { usesOf } from './instruments-due.ts'
import { instantOrNull } from './json.ts'
import { drawQr } from './qr.ts'
import type { Ask, Resource } from './resource.ts'
import { shellOf } from './shell.ts'
import { companyCode } from './tag-link.ts'

/** Short enough to be read aloud; the end of an id is its random part. */
export const instrumentNumber = (instrumentId: string): string => instrumentId.slice(-8)

const labelLink = (publicUrl: string, companyId: string, instrumentId: string): string =>
  new URL(`/i/${companyCode(companyId)}/${instrumentNumber(instrumentId)}`, publicUrl).href

export function instrumentLabelsResource(resource: Resource): void {
  resource.read({
    path: '/instruments/labels',
    name: 'instrument-labels',
    summary:
      'The labels of the instruments in use: number, when it is due, and where the printed picture leads.',
    load: async (ask) => {
      const instruments = await listActiveInstruments(ask.scope)
      const { criteria } = await findPolicy(ask.scope)
      const uses = await usesOf(ask.scope, instruments, ask.now)
      return instruments.map((instrument) => ({
        instrument,
        confirmation: confirmationOf(instrument, criteria, ask.now, uses.get(instrument.id)),
      }))
    },
    json: (labels, { deps, actor }) => ({
      items: labels.map(({ instrument, confirmation }) => ({
        instrumentId: instrument.id,
        number: instrumentNumber(instrument.id),
        name: instrument.name,
        serial: instrument.serial,
        confirmedUntil: instantOrNull(confirmation.confirmedUntil),
        link: labelLink(deps.config.publicUrl, actor.companyId, instrument.id),
      })),
      nextCursor: null,
    }),
    page: async (labels, { deps, actor, query }) => {
      const marked = labels.filter(({ instrument }) => query[`_instrument.${instrument.id}`] === 'yes')
      const shown = marked.length > 0 ? marked : labels
      return InstrumentLabelsPage({
        shell: shellOf(actor, '/instruments'),
        all: labels.map(({ instrument }) => ({
          id: instrument.id,
          words: `${instrument.name}, ${instrument.serial}`,
          marked: marked.some((one) => one.instrument === instrument),
        })),
        labels: await Promise.all(
          shown.map(async ({ instrument, confirmation }) => ({
            id: instrument.id,
            number: instrumentNumber(instrument.id),
            name: instrument.name,
            serial: instrument.serial,
            confirmation,
            qr: await drawQr(labelLink(deps.config.publicUrl, actor.companyId, instrument.id)),
          })),
        ),
      })
    },
  })

  resource.read({
    path: '/i/:companyCode/:instrumentNumber',
    name: 'follow-instrument-label',
    summary: 'Where the picture on an instrument’s label leads: to the instrument, in its company.',
    load: followLabel,
    page: ({ company, instrument }, ask) =>
      company.companyId === ask.actor.companyId
        ? `/instruments/${instrument.id}`
        : OtherCompanysInstrument({
            shell: shellOf(ask.actor, ''),
            name: instrument.name,
            here: ask.actor.companyName,
            company: { id: company.companyId, name: company.companyName },
            action: `/session/company?next=${encodeURIComponent(`/i/${ask.params.companyCode}/${ask.params.instrumentNumber}`)}`,
          }),
  })
}

/** In the person's own company that the code means, the one they work in first. */
async function followLabel({ deps, actor, params }: Ask) {
  const reader = deps.machinery.store.reader()
  const own: Membership[] = (await membershipsOf(reader, actor.personId))
    // A token speaks for its member in one company alone.
    .filter(({ companyId }) => actor.via === 'session' || companyId === actor.companyId)
    .filter(({ companyId }) => companyCode(companyId) === params.companyCode?.toLowerCase())
    .sort((a, b) => Number(b.companyId === actor.companyId) - Number(a.companyId === actor.companyId))
  for (const company of own) {
    const instrument = await findInstrumentByNumber(
      scopeOf(reader, company.companyId),
      params.instrumentNumber ?? '',
    )
    if (instrument) return { company, instrument }
  }
  throw missing(say.instrumentCare.thisLabel)
}
