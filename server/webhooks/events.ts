// What does a message say? One schema for each event; never a customer's name, address or words, only what names a thing.

import { z } from 'zod'
import { CALLBACK_OUTCOMES, CALLBACK_PARTS, type WebhookEvent } from '../vocabulary.ts'

const id = z.string().meta({ format: 'uuid', description: 'UUIDv7' })
const moment = z.string().meta({ format: 'date-time' })
const address = z.string().meta({ format: 'uri', description: 'Of the thing in this interface.' })

const certificate = z.strictObject({ id, revision: z.int(), url: address })

/** What stands in `data`, by event. Fields may be added; none is taken away or changes its meaning. */
export const WEBHOOK_DATA = {
  'job.signed_off': z
    .strictObject({
      jobId: id,
      reference: z.string().nullable().meta({ description: 'What the company calls the job.' }),
      systemIds: z.array(id),
      verdict: z
        .enum(['released', 'released-with-concessions'])
        .meta({ description: 'Whether every requirement was met, or some were conceded.' }),
      certificate,
      url: address,
    })
    .meta({ description: 'A job was signed off and a certificate issued.' }),
  'certificate.superseded': z.strictObject({ jobId: id, certificate, url: address }).meta({
    description:
      'A sealed job was opened again: its certificate no longer holds. A new one follows its next sign-off.',
  }),
  'callback.opened': z
    .strictObject({
      callbackId: id,
      systemId: id,
      reportedAt: moment,
      outcome: z.enum(CALLBACK_OUTCOMES),
      url: address,
    })
    .meta({ description: 'Somebody says that a system leaks, or a maker asks.' }),
  'callback.closed': z
    .strictObject({
      callbackId: id,
      systemId: id,
      outcome: z.enum(CALLBACK_OUTCOMES),
      findings: z.array(z.strictObject({ part: z.enum(CALLBACK_PARTS), jointId: id.nullable() })),
      url: address,
    })
    .meta({ description: 'A callback was closed with its outcome.' }),
  'recall.opened': z
    .strictObject({
      recallId: id,
      instrumentId: id,
      calibrationId: id.meta({ description: 'The check that found the instrument off.' }),
      recordsToDecide: z.int().meta({ description: 'How many records do not stand by themselves.' }),
      url: address,
    })
    .meta({ description: 'An instrument was found off, and every record that rests on it is judged anew.' }),
  'webhook.test': z
    .strictObject({ webhookId: id, url: address })
    .meta({ description: 'Sent by hand, to see whether messages get through.' }),
} as const satisfies Record<WebhookEvent | 'webhook.test', z.ZodType>

export type MessageType = keyof typeof WEBHOOK_DATA
export type DataOf<Type extends MessageType> = z.output<(typeof WEBHOOK_DATA)[Type]>

/** The whole of what is posted. */
export const messageSchema = (type: MessageType) =>
  z.strictObject({
    type: z.literal(type),
    timestamp: moment.meta({ description: 'When it happened, not when it was sent.' }),
    data: WEBHOOK_DATA[type],
  })

/** The bytes that are signed and sent. */
export const messageOf = <Type extends MessageType>(type: Type, at: number, data: DataOf<Type>): string =>
  JSON.stringify({ type, timestamp: new Date(at).toISOString(), data })
