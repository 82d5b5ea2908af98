// What can whoever runs this server do at its console? Migrate, back up, restore, verify, let people in.

import { existsSync } from 'node:fs'
import { open, readFile, rename, rm } from 'node:fs/promises'
import { createInterface } from 'node:readline/promises'
import { parseArgs } from 'node:util'
import { loadSealer } from './access/sealer.ts'
import { addKeys, changeKey, findSigner, forgetKey, loadSigner } from './certificate/signing-key.ts'
import { verifyRecord } from './certificate/verify-record.ts'
import { dayWords, fingerprintWords } from './certificate/words.ts'
import type { Machinery } from './commands/command.ts'
import { createOwner } from './commands/people/create-owner.ts'
import { resetPassword } from './commands/people/reset-password.ts'
import { resetSecondStepOf } from './commands/people/reset-second-step.ts'
import { enterOldRecord } from './commands/release/enter-old-record.ts'
import { type Config, readConfig } from './config.ts'
import type { Manifest, MovingProgress } from './moving/archive-form.ts'
import { exportCompany } from './moving/export-company.ts'
import { importCompany, openArchive } from './moving/import-company.ts'
import { Refusal } from './refusals.ts'
import { versionOf } from './root.ts'
import { copyStore } from './store/copy.ts'
import { backUp, bringBeside, lookInto, removeWhole, takePlace } from './store/embedded-file.ts'
import { copyFiles, localFiles } from './store/files.ts'
import { migrate } from './store/migrate.ts'
import { openStore } from './store/open.ts'
import { listCompanies, rebuildRollups } from './store/rollups.ts'
import { rebuildSearch } from './store/search-terms.ts'
import type { Store } from './store/store.ts'

const USAGE = `Use: npm run jointkeep -- <verb>

  migrate                    bring the database up to this program
  backup FILE [--with-files FOLDER]
                             copy the embedded database while it runs; with the photos that FOLDER has not got yet
  restore FILE [--force]     put a backup in its place, after checking it; the service must be stopped
  copy-to URL                copy the whole record into another, empty database, and verify it there
  export-company ID FILE [--force]
                             write everything of one company into an archive, with its photos and logs
  import-company FILE [--with-keys]
                             take up a company from an archive, into an empty database, after checking every byte
  verify [--company ID]      walk every chain, check every certificate and the bytes of every photo; prints each fault
  rebuild-search             make anew what the search box finds things by; the service may run meanwhile
  rebuild-sums [--company ID]
                             make the sums of time in service anew from the facts; says whether any was wrong
  register [--company ID]    enter what was not met on jobs from before there was a register of it; the service
                             may run meanwhile
  keys                       list the keys that sign, and signed, certificates
  new-key                    sign with a new key from now on; what the old one signed stays good
  add-keys FILE              check with another server's public keys too (its jointkeep-keys.json)
  forget-key ID              check with an old key no more, after it was stolen
  create-owner --email A --name N (--company NAME | --company-id ID)
                             found a company, or give one an owner
  reset-password --email A   give somebody a new password and end their sessions
  reset-second-step --email A
                             let somebody in again who lost phone and recovery codes; ends their sessions

The settings are those of the service (DATABASE_URL, JOINTKEEP_SIGNING_KEY and so on). A password is asked for, or
read from the first line of what is piped in; never given as an argument, where others could see it.

Exit codes: 0 done, 1 something was found or refused, 2 not understood.
`

/** What the outside is to a verb; a test brings its own. */
export interface Console {
  environment: Record<string, string | undefined>
  now(): number
  say(line: string): void
  complain(line: string): void
  /** Asks for something that is not to be shown. */
  secret(question: string): Promise<string>
}

/** Something the operator got wrong or has to know: its words alone are shown. */
class Stopped extends Error {
  readonly code: number
  constructor(message: string, code: 1 | 2 = 1) {
    super(message)
    this.code = code
  }
}

export async function run(argv: readonly string[], console: Console): Promise<number> {
  const [verb, ...rest] = argv
  try {
    if (verb === undefined || verb === 'help' || verb === '--help' || verb === '-h') {
      console.say(USAGE)
      return verb === undefined ? 2 : 0
    }
    const act = VERBS[verb]
    if (!act) throw new Stopped(`There is no verb "${verb}".\n\n${USAGE}`, 2)
    return await act(rest, readConfig(console.environment), console)
  } catch (problem) {
    if (problem instanceof Refusal) {
      console.complain(problem.message)
      for (const error of problem.errors) console.complain(`  ${error.path}: ${error.message}`)
      return 1
    }
    console.complain(problem instanceof Error ? problem.message : String(problem))
    return problem instanceof Stopped ? problem.code : 1
  }
}

type Verb = (rest: string[], config: Config, console: Console) => Promise<number>

const VERBS: Record<string, Verb> = {
  async migrate(rest, config, { say }) {
    understood(rest, {}, 0)
    return withStore(config, async (store) => {
      const applied = await migrate(store)
      say(applied.length === 0 ? 'Nothing to do: up to date.' : `Applied: ${applied.join(', ')}.`)
      return 0
    })
  },

  async backup(rest, config, { say }) {
    const { files, options } = understood(rest, { 'with-files': { type: 'string' } }, 1)
    const { bytes } = await backUp(embedded(config, 'backed up'), files[0] ?? '')
    say(`Wrote ${files[0]}, ${bytes} bytes, checked.`)
    const folder = options['with-files']
    if (typeof folder !== 'string') {
      say(
        `It holds the database alone. Keep the signing key (${config.signingKey}), the secrets key (${config.secretsKey}) and the files (${config.files}) as well, apart from it.`,
      )
      return 0
    }
    // After the database: every photo that it names was kept before its row was.
    const { copied, alreadyThere, broken } = await copyFiles(config.files, folder)
    say(`Copied ${copied} files into ${folder}; ${alreadyThere} were there already.`)
    say(
      `Keep the signing key (${config.signingKey}) and the secrets key (${config.secretsKey}) as well, apart from it.`,
    )
    if (broken.length > 0)
      throw new Stopped(`Not copied, since they are not what they were:\n  ${broken.join('\n  ')}`)
    return 0
  },

  async restore(rest, config, console) {
    const { files, options } = understood(rest, { force: { type: 'boolean' } }, 1)
    const from = files[0] ?? ''
    const to = embedded(config, 'restored')
    const look = lookInto(from)
    if (look.faults.length > 0) throw new Stopped(`${from} is not sound:\n  ${look.faults.join('\n  ')}`)
    if (look.unknownMigrations.length > 0)
      throw new Stopped(
        `${from} is newer than this program: it has ${look.unknownMigrations.join(', ')}. Use a newer program.`,
      )
    if (!options.force && holdsCompanies(to))
      throw new Stopped(
        `${to} holds companies already. With --force it is replaced; what is there now is kept beside it.`,
      )
    const arriving = await bringBeside(from, to)
    try {
      const faults = await verifyBackup(arriving, config, console)
      if (faults > 0 && !options.force)
        throw new Stopped(`${from} has ${faults} faults. With --force it is restored all the same.`)
      const replaced = await takePlace(arriving, to, new Date(console.now()).toISOString())
      console.say(`Restored ${to} from ${from}: ${look.companies} companies.`)
      if (replaced) console.say(`What was there is now ${replaced}.`)
    } finally {
      removeWhole(arriving)
    }
    console.say('Start the service; it migrates if need be. Then run verify.')
    return 0
  },

  async 'copy-to'(rest, config, console) {
    const { files } = understood(rest, {}, 1)
    const url = files[0] ?? ''
    if (url === config.databaseUrl) throw new Stopped('That is the database itself.')
    return withStore(config, async (from) => {
      await assertMigrated(from)
      return withStore({ ...config, databaseUrl: url }, async (to) => {
        await migrate(from)
        await migrate(to)
        const counts = await copyStore(from, to)
        const rows = counts.reduce((sum, one) => sum + one.rows, 0)
        const signer = await findSigner(config.signingKey)
        const sum = await verifyRecord(to, {
          keys: signer?.publicKeys ?? [],
          files: localFiles(config.files),
          onFault: (fault) => console.complain(`${fault.companyName}: ${fault.of}: ${fault.what}`),
        })
        console.say(`Copied ${rows} rows of ${counts.length} tables, ${sum?.companies ?? 0} companies.`)
        if (sum?.faults) throw new Stopped(`The copy has ${sum.faults} faults. Do not use it.`)
        console.say('The copy verifies. Set DATABASE_URL to it and start; everybody signs in again.')
        return 0
      })
    })
  },

  async 'export-company'(rest, config, console) {
    const { files, options } = understood(rest, { force: { type: 'boolean' } }, 2)
    const [companyId = '', to = ''] = files
    if (existsSync(to) && !options.force)
      throw new Stopped(`${to} is there already. With --force it is replaced.`)
    return withStore(config, async (store) => {
      await migrate(store)
      const signer = await findSigner(config.signingKey)
      // Under another name first: what is there under its own is whole.
      const making = `${to}.part`
      const file = await open(making, 'w', 0o600)
      try {
        const { manifest, bytes } = await exportCompany(store, companyId, {
          files: localFiles(config.files),
          about: { from: config.publicUrl, program: versionOf(), keys: signer?.publicKeys ?? [] },
          now: console.now(),
          write: async (chunk) => {
            await file.writeFile(chunk)
          },
          onProgress: progressOn(console),
        })
        await file.sync()
        await file.close()
        await rename(making, to)
        console.say(
          `Wrote ${to}, ${bytes} bytes: ${rowsIn(manifest)} rows of ${manifest.tables.length} tables, ${manifest.files.length} files.`,
        )
        console.say('It holds names, addresses and photos as they are. Keep it where nobody else reads it.')
        if (manifest.missing.length === 0) return 0
        throw new Stopped(
          `The record names files that are not there, or not what they were:\n  ${manifest.missing.join('\n  ')}`,
        )
      } finally {
        await file.close()
        await rm(making, { force: true })
      }
    })
  },

  async 'import-company'(rest, config, console) {
    const { files, options } = understood(rest, { 'with-keys': { type: 'boolean' } }, 1)
    const archive = await openArchive(files[0] ?? '')
    try {
      return await withStore(config, async (store) => {
        await migrate(store)
        const kept = localFiles(config.files)
        const sum = await importCompany(store, archive, {
          files: kept,
          now: console.now(),
          onProgress: progressOn(console),
        })
        const { about, manifest } = archive
        console.say(
          `Took up ${about.company.name}, ${sum.companyId}: ${sum.rows} rows, ${sum.files} files; ${sum.chains} chains hold.`,
        )
        for (const one of manifest.missing) console.complain(`Missing when it was written: ${one}`)
        if (options['with-keys']) {
          await loadSigner(config.signingKey)
          const added = await addKeys(config.signingKey, JSON.stringify({ keys: about.keys }))
          console.say(`Added ${added} keys of ${about.from}. They check, and never sign.`)
        }
        const signer = await findSigner(config.signingKey)
        const check = await verifyRecord(store, {
          keys: signer?.publicKeys ?? [],
          files: kept,
          onFault: (fault) => console.complain(`${fault.of}: ${fault.what}`),
        })
        console.say('Nobody can sign in yet: give them passwords with reset-password --email A.')
        if (check?.faults) {
          if (!options['with-keys'])
            console.complain(
              `Certificates that ${about.from} signed are checked with its keys: add-keys takes its jointkeep-keys.json.`,
            )
          throw new Stopped(`${check.faults} faults.`)
        }
        console.say('All as it was written.')
        return 0
      })
    } finally {
      archive.tar.close()
    }
  },

  async verify(rest, config, console) {
    const { say } = console
    const { options } = understood(rest, { company: { type: 'string' } }, 0)
    return withStore(config, async (store) => {
      await assertMigrated(store)
      const signer = await findSigner(config.signingKey)
      const sum = await verifyRecord(store, {
        keys: signer?.publicKeys ?? [],
        companyId: options.company as string | undefined,
        files: localFiles(config.files),
        onFault: (fault) => console.say(`${fault.companyName}: ${fault.of}: ${fault.what}`),
      })
      if (!sum) throw new Stopped(`There is no company ${String(options.company)}.`)
      if (!signer && sum.certificates > 0)
        console.complain(`There is no signing key at ${config.signingKey}: signatures cannot be checked.`)
      say(
        `${sum.companies} companies, ${sum.chains} chains, ${sum.entries} entries, ${sum.certificates} certificates, ${sum.files} files: ` +
          (sum.faults === 0 ? 'all as it was written.' : `${sum.faults} faults.`),
      )
      if (sum.spareFiles > 0) say(`${sum.spareFiles} more files are named by nothing; they do no harm.`)
      return sum.faults === 0 ? 0 : 1
    })
  },

  async 'rebuild-search'(rest, config, { say }) {
    understood(rest, {}, 0)
    return withStore(config, async (store) => {
      await assertMigrated(store)
      const count = await rebuildSearch(store)
      say(`${count} units, systems, instruments, jobs and sites can be found.`)
      return 0
    })
  },

  async 'rebuild-sums'(rest, config, { say, now }) {
    const { options } = understood(rest, { company: { type: 'string' } }, 0)
    return withStore(config, async (store) => {
      await migrate(store)
      const only = options.company as string | undefined
      const companies = (await listCompanies(store)).filter((id) => only === undefined || id === only)
      if (companies.length === 0 && only !== undefined) throw new Stopped(`There is no company ${only}.`)
      let wrong = 0
      for (const companyId of companies) {
        const { lives, sums, differed } = await rebuildRollups(store, companyId, now())
        wrong += differed
        say(
          `${companyId}: ${lives} makings, ${sums} sums` +
            (differed === 0
              ? ', all as they were.'
              : `; ${differed} were not what the facts say, and are now.`),
        )
      }
      return wrong === 0 ? 0 : 1
    })
  },

  async register(rest, config, { say, now }) {
    const { options } = understood(rest, { company: { type: 'string' } }, 0)
    return withStore(config, async (store) => {
      await migrate(store)
      const only = options.company as string | undefined
      const companies = (await listCompanies(store)).filter((id) => only === undefined || id === only)
      if (companies.length === 0 && only !== undefined) throw new Stopped(`There is no company ${only}.`)
      for (const companyId of companies) {
        const { jobs, entered } = await enterOldRecord(store, companyId, now())
        say(`${companyId}: ${jobs} jobs looked at, ${entered} nonconformities entered.`)
      }
      return 0
    })
  },

  async keys(rest, config, { say }) {
    understood(rest, {}, 0)
    const signer = await findSigner(config.signingKey)
    if (!signer) throw new Stopped(`There is no signing key at ${config.signingKey}.`)
    for (const key of signer.publicKeys) {
      say(`${key.kid}${key.kid === signer.keyId ? ', signs now' : ''}`)
      say(`  fingerprint ${fingerprintWords(key.kid)}`)
      if (key.madeAt) say(`  made ${dayWords(key.madeAt)}`)
      if (key.retiredAt) say(`  put away ${dayWords(key.retiredAt)}`)
    }
    return 0
  },

  async 'new-key'(rest, config, { say, now }) {
    understood(rest, {}, 0)
    const before = await findSigner(config.signingKey)
    const signer = await changeKey(config.signingKey, now())
    say(`From now on this key signs: ${signer.keyId}`)
    say(`  fingerprint ${fingerprintWords(signer.keyId)}`)
    if (before)
      say(
        `Put away: ${before.keyId}. Its secret half is gone; what it signed can still be checked. A service that runs takes the new key up within seconds.`,
      )
    say(
      `Keep ${config.signingKey} again, apart from the database. Publish the new fingerprint where people look for it.`,
    )
    return 0
  },

  async 'add-keys'(rest, config, { say }) {
    const { files } = understood(rest, {}, 1)
    const from = files[0] ?? ''
    const text = await readFile(from, 'utf8').catch(() => {
      throw new Stopped(`${from} cannot be read.`)
    })
    const added = await addKeys(config.signingKey, text)
    say(added === 0 ? 'Nothing to do: they are known.' : `Added ${added}. They check, and never sign.`)
    return 0
  },

  async 'forget-key'(rest, config, { say }) {
    const { files } = understood(rest, {}, 1)
    if (!(await forgetKey(config.signingKey, files[0] ?? '')))
      throw new Stopped(
        'There is no such old key. The one that signs cannot be forgotten: make a new one first, with new-key.',
      )
    say('Forgotten. What it signed is now called “cannot be checked”, until the jobs are signed off again.')
    return 0
  },

  async 'create-owner'(rest, config, console) {
    const { options } = understood(
      rest,
      {
        email: { type: 'string' },
        name: { type: 'string' },
        company: { type: 'string' },
        'company-id': { type: 'string' },
      },
      0,
    )
    const email = needed(options.email, '--email')
    const name = needed(options.name, '--name')
    const companyName = options.company as string | undefined
    const companyId = options['company-id'] as string | undefined
    if ((companyName === undefined) === (companyId === undefined))
      throw new Stopped('Give either --company with a name, or --company-id with an id.', 2)
    const password = await console.secret('Password, at least 12 characters: ')
    return withMachinery(config, console, async (machinery) => {
      const who = { name, email, password }
      const made = await createOwner(
        machinery,
        companyId === undefined ? { ...who, companyName: companyName ?? '' } : { ...who, companyId },
      )
      console.say(`Owner of company ${made.companyId}.`)
      if (!made.personIsNew) console.say('This person was known: name and password stay as they were.')
      return 0
    })
  },

  async 'reset-password'(rest, config, console) {
    const { options } = understood(rest, { email: { type: 'string' } }, 0)
    const email = needed(options.email, '--email')
    const password = await console.secret('New password, at least 12 characters: ')
    return withMachinery(config, console, async (machinery) => {
      await resetPassword(machinery, { email, password })
      console.say('Done. Their sessions are ended; their tokens are as they were.')
      return 0
    })
  },

  async 'reset-second-step'(rest, config, console) {
    const { options } = understood(rest, { email: { type: 'string' } }, 0)
    const email = needed(options.email, '--email')
    return withMachinery(config, console, async (machinery) => {
      const had = await resetSecondStepOf(machinery, { email })
      console.say(
        had
          ? 'Done. Their password alone signs them in now; their sessions are ended, their tokens as they were.'
          : 'They had no second step. Their sessions are ended.',
      )
      return 0
    })
  },
}

type Options = Record<string, { type: 'string' | 'boolean' }>

const rowsIn = ({ tables }: Manifest) => tables.reduce((sum, { rows }) => sum + rows, 0)

/** A line for every tenth part. */
function progressOn(console: Console) {
  let told = 0
  return ({ done, total }: MovingProgress) => {
    const tenths = total === 0 ? 10 : Math.floor((10 * done) / total)
    if (tenths > told) console.say(`${tenths * 10} %`)
    told = Math.max(told, tenths)
  }
}

function understood(rest: string[], options: Options, files: number) {
  try {
    const { values, positionals } = parseArgs({ args: rest, options, allowPositionals: true, strict: true })
    if (positionals.length !== files)
      throw new Error(
        files === 0
          ? `Not understood: ${positionals.join(' ')}.`
          : `Name ${files === 1 ? 'one thing' : `${files} things`}.`,
      )
    return { options: values, files: positionals }
  } catch (problem) {
    throw new Stopped(`${problem instanceof Error ? problem.message : String(problem)}\n\n${USAGE}`, 2)
  }
}

function needed(value: unknown, option: string): string {
  if (typeof value !== 'string' || value === '') throw new Stopped(`Give ${option}.\n\n${USAGE}`, 2)
  return value
}

/** The file of the embedded database; a database server has better means of its own. */
function embedded(config: Config, done: string): string {
  if (config.databaseUrl.startsWith('sqlite:')) return config.databaseUrl.slice('sqlite:'.length)
  throw new Stopped(
    `This database is on a PostgreSQL server. It is ${done} with that server's own means: pg_dump and pg_restore.`,
  )
}

async function withStore<T>(config: Config, work: (store: Store) => Promise<T>): Promise<T> {
  const store = await openStore(config.databaseUrl)
  try {
    return await work(store)
  } finally {
    await store.close()
  }
}

function withMachinery(
  config: Config,
  console: Console,
  work: (machinery: Machinery) => Promise<number>,
): Promise<number> {
  return withStore(config, async (store) => {
    await migrate(store)
    return work({
      store,
      files: localFiles(config.files),
      clock: () => console.now(),
      signer: await loadSigner(config.signingKey),
      sealer: await loadSealer(config.secretsKey),
      settings: { signup: config.signup, publicUrl: config.publicUrl },
    })
  })
}

async function assertMigrated(store: Store): Promise<void> {
  try {
    await store.query('select name from migrations')
  } catch {
    throw new Stopped('There is no record in this database yet. Run migrate, or look at DATABASE_URL.')
  }
}

function holdsCompanies(file: string): boolean {
  try {
    return lookInto(file).companies > 0
  } catch (problem) {
    // Nothing there, or nothing in it yet; what can't be read for another reason is not to be lost silently.
    if (/no file|no such table/.test(problem instanceof Error ? problem.message : '')) return false
    throw new Stopped(`${file} cannot be looked into. With --force it is replaced, and kept beside it.`)
  }
}

/** Chains and certificates (the photos' files may be put back later) of the copy that was brought beside, before it takes the place of anything. */
async function verifyBackup(file: string, config: Config, console: Console): Promise<number> {
  const store = await openStore(`sqlite:${file}`)
  try {
    // A backup may be older than the program that reads it.
    await migrate(store)
    const signer = await findSigner(config.signingKey)
    const sum = await verifyRecord(store, {
      keys: signer?.publicKeys ?? [],
      onFault: (fault) => console.complain(`${fault.companyName}: ${fault.of}: ${fault.what}`),
    })
    return sum?.faults ?? 0
  } finally {
    await store.close()
  }
}

/** Without showing what is typed; piped in, it is the first line. */
async function askSecret(question: string): Promise<string> {
  if (!process.stdin.isTTY) {
    for await (const line of createInterface({ input: process.stdin })) return line
    return ''
  }
  process.stderr.write(question)
  process.stdin.setRawMode(true)
  let typed = ''
  try {
    for await (const chunk of process.stdin) {
      for (const key of String(chunk)) {
        if (key === '\r' || key === '\n' || key === '\u0004') return typed
        if (key === '\u0003') throw new Stopped('Stopped.')
        typed = key === '\u007f' ? typed.slice(0, -1) : typed + key
      }
    }
    return typed
  } finally {
    process.stdin.setRawMode(false)
    process.stderr.write('\n')
  }
}

const startedDirectly = process.argv[1] !== undefined && /(^|\/)jointkeep\.(js|ts)$/.test(process.argv[1])
if (startedDirectly) {
  process.exitCode = await run(process.argv.slice(2), {
    environment: process.env,
    now: () => Date.now(),
    say: (line) => process.stdout.write(`${line}\n`),
    complain: (line) => process.stderr.write(`${line}\n`),
    secret: askSecret,
  })
  // A terminal that was read from would otherwise keep the process alive.
  process.stdin.pause()
}
