// A company that arrives as an archive on a server that holds none yet: sent, looked through, taken up, all or nothing.

import { createWriteStream } from 'node:fs'
import { mkdir, readdir, rm } from 'node:fs/promises'
import { join } from 'node:path'
import { pipeline } from 'node:stream/promises'
import type { FastifyInstance, FastifyRequest } from 'fastify'
import { z } from 'zod'
import { type Arrival, TakeUpPage } from '../../views/moving/take-up.tsx'
import { addKeys } from '../certificate/signing-key.ts'
import { parse } from '../commands/command.ts'
import { email, newPassword } from '../commands/fields.ts'
import { resetPassword } from '../commands/people/reset-password.ts'
import { newSecret } from '../ids.ts'
import { BrokenArchive, importCompany, openArchive } from '../moving/import-company.ts'
import { conflict, forbidden, malformedField, Refusal } from '../refusals.ts'
import { anyCompany, memberOfPerson, personByEmail } from '../store/queries/people.ts'
import type { Scope } from '../store/store.ts'
import { asNow, say } from '../words/say.ts'
import type { Deps } from './deps.ts'
import type { Fields } from './form.ts'
import { refusalOf } from './problem.ts'
import { formOf, type Resource, sendPage, sendRefusedPage } from './resource.ts'
import { ENTRANCE_LIMIT, messageOf } from './session.ts'

/** More than any company's photos of ten years. */
const LARGEST_ARCHIVE = 64 * 1024 ** 3

/** Who sends it is nobody yet: each is known by a secret that its sender was told. */
const arrivals = new WeakMap<Deps, Map<string, Arrival>>()
function arrivalsOf(deps: Deps): Map<string, Arrival> {
  const known = arrivals.get(deps) ?? new Map<string, Arrival>()
  arrivals.set(deps, known)
  return known
}

async function standing({ machinery }: Deps): Promise<'open' | 'closed' | 'not-empty'> {
  if (await anyCompany(machinery.store.reader())) return 'not-empty'
  return machinery.settings.signup === 'closed' ? 'closed' : 'open'
}

export function takeUpResource(resource: Resource, deps: Deps): void {
  resource.publicRead({
    path: '/import-company',
    name: 'take-up-company',
    summary: 'The page on which an empty server takes up a company from its archive.',
    load: async (ask) => ({
      standing: await standing(deps),
      arrival: arrivalsOf(deps).get(ask.query.arrival ?? '') ?? null,
    }),
    page: (data) => TakeUpPage(data),
  })
}

const fieldsSchema = z.strictObject({ email, password: newPassword })

/** A file of gigabytes is not read into memory, so this form has a route of its own. */
export function takesUp(app: FastifyInstance, deps: Deps): void {
  const folder = join(deps.config.files, 'archives')
  const known = arrivalsOf(deps)
  let ending: Promise<unknown> = Promise.resolve()
  app.addHook('onClose', () => ending)

  app.post(
    '/import-company',
    { config: { takesFile: true, rateLimit: ENTRANCE_LIMIT } },
    async (request, reply) => {
      let fields: Fields = {}
      try {
        const now = await standing(deps)
        if (now !== 'open') {
          request.raw.resume()
          throw now === 'closed'
            ? forbidden(say.people.signUpIsClosedOn, 'sign-up-closed')
            : conflict('not-empty', say.moving.notEmpty)
        }
        if ([...known.values()].some(({ state }) => state === 'looking' || state === 'taking')) {
          request.raw.resume()
          throw conflict('not-empty', say.moving.oneIsArriving)
        }
        const id = newSecret()
        const place = join(folder, `arriving-${id}.tar`)
        const arrival: Arrival = { id, state: 'looking', done: 0, total: 0, name: null, why: null }
        known.set(id, arrival)
        try {
          await mkdir(folder, { recursive: true })
          await clearOld(folder)
          const sent = await receive(request, place)
          fields = sent.fields
          const who = parse(fieldsSchema, { email: fields.email, password: fields.password })
          if (sent.bytes === 0) throw malformedField('archive', say.moving.chooseTheArchive)
          ending = asNow(() => takeUp(deps, arrival, place, who, (problem) => app.log.error(problem)))()
        } catch (problem) {
          known.delete(id)
          await rm(place, { force: true })
          throw problem
        }
        return reply.redirect(`/import-company?arrival=${id}`, 303)
      } catch (problem) {
        const refusal = refusalOf(problem)
        if (refusal.kind !== 'malformed') return sendRefusedPage(deps, request, reply, refusal)
        const { password: _, ...values } = fields
        return sendPage(
          reply,
          refusal.status,
          TakeUpPage({
            standing: 'open',
            arrival: null,
            form: formOf(values, refusal),
            refused: messageOf(refusal),
          }),
        )
      }
    },
  )
}

/** Half of one that nobody finished. */
async function clearOld(folder: string): Promise<void> {
  for (const name of await readdir(folder))
    if (name.startsWith('arriving-')) await rm(join(folder, name), { force: true })
}

async function receive(request: FastifyRequest, place: string): Promise<{ fields: Fields; bytes: number }> {
  const fields: Fields = {}
  let bytes = 0
  if (!request.isMultipart()) throw malformedField('archive', say.moving.chooseTheArchive)
  const limits = { fileSize: LARGEST_ARCHIVE, files: 1, fields: 4, fieldSize: 1000, fieldNameSize: 100 }
  for await (const part of request.parts({ limits })) {
    if (part.type === 'field') fields[part.fieldname] = String(part.value)
    else if (part.fieldname !== 'archive') part.file.resume()
    else {
      part.file.on('data', (chunk: Buffer) => {
        bytes += chunk.length
      })
      await pipeline(part.file, createWriteStream(place, { mode: 0o600 }))
      if (part.file.truncated) throw malformedField('archive', say.moving.archiveTooLarge)
    }
  }
  return { fields, bytes }
}

/** Goes on after the answer; what it comes to stands in the arrival. */
async function takeUp(
  deps: Deps,
  arrival: Arrival,
  place: string,
  who: z.output<typeof fieldsSchema>,
  log: (problem: unknown) => void,
): Promise<void> {
  const { machinery, config } = deps
  try {
    const archive = await openArchive(place)
    try {
      arrival.state = 'taking'
      arrival.name = archive.manifest.company.name
      await importCompany(machinery.store, archive, {
        files: machinery.files,
        now: machinery.clock(),
        onProgress: ({ done, total }) => Object.assign(arrival, { done, total }),
        lastly: (scope) => assertOwner(scope, who.email),
      })
      await addKeys(config.signingKey, JSON.stringify({ keys: archive.about.keys }))
    } finally {
      archive.tar.close()
    }
    await resetPassword(machinery, who)
    arrival.state = 'done'
  } catch (problem) {
    if (!(problem instanceof BrokenArchive || problem instanceof Refusal)) log(problem)
    arrival.state = 'failed'
    arrival.why =
      problem instanceof BrokenArchive || problem instanceof Refusal
        ? [
            problem.message,
            ...(problem instanceof Refusal ? problem.errors.map((one) => one.message) : []),
          ].join(' ')
        : say.moving.takingFailed
  } finally {
    await rm(place, { force: true })
  }
}

/** Whoever comes with it has to be one of its owners, or nobody could get in. */
async function assertOwner(scope: Scope, address: string): Promise<void> {
  const person = await personByEmail(scope, address)
  const member = person ? await memberOfPerson(scope, person.id) : null
  if (member?.role !== 'owner' || !member.active) throw conflict('no-owner', say.moving.noOwnerSo)
}
