// How does the service start and stop? config → store → app → listen; closed in reverse. The only wall clock.

import { loadSealer } from './access/sealer.ts'
import { sessionsOf } from './access/sessions.ts'
import { buildApp } from './app.ts'
import { followSigner } from './certificate/signing-key.ts'
import { type Config, readConfig } from './config.ts'
import { ownNetworks } from './outgoing/addresses.ts'
import { localFiles } from './store/files.ts'
import { migrate } from './store/migrate.ts'
import { openStore } from './store/open.ts'
import { removeOldSignIns } from './store/queries/sign-ins.ts'
import { rebuildWhereNeeded } from './store/rollups.ts'
import { dispatcherOf } from './webhooks/dispatcher.ts'

export interface Running {
  address: string
  close(): Promise<void>
}

export async function serve(config: Config): Promise<Running> {
  const own = ownNetworks(config.ownNetworks)
  const store = await openStore(config.databaseUrl, {
    onHeldUp: (problem) => process.stderr.write(`${problem.message}\n`),
  })
  await migrate(store)
  await rebuildWhereNeeded(store, Date.now())
  await store.transaction((session) => removeOldSignIns(session, Date.now()))
  const clock = () => Date.now()
  const key = await followSigner(config.signingKey, (problem) =>
    process.stderr.write(`${problem.message} The keys are as they were.\n`),
  )
  const sealer = await loadSealer(config.secretsKey)
  const dispatcher = dispatcherOf({
    store,
    sealer,
    clock,
    own,
    onProblem: (problem) => process.stderr.write(`Sending webhooks: ${String(problem)}\n`),
  })
  const { server } = await buildApp({
    config,
    machinery: {
      store,
      files: localFiles(config.files),
      clock,
      signer: key.signer,
      sealer,
      settings: {
        signup: config.signup,
        publicUrl: config.publicUrl,
        ownNetworks: config.ownNetworks,
      },
    },
    sessions: sessionsOf(store, clock, config.publicUrl.startsWith('https:')),
  })
  const address = await server.listen({ host: config.host, port: config.port })
  dispatcher.start()
  return {
    address,
    async close() {
      // What was accepted is finished and answered before the store closes. A connection that was kept open for more
      // is let go as soon as its last answer is out; otherwise it would hold up the end for over a minute.
      const letGo = setInterval(() => server.server.closeIdleConnections(), 50)
      key.stop()
      await server.close().finally(() => clearInterval(letGo))
      await dispatcher.stop()
      await store.close()
    },
  }
}

export function closeOnSignal(running: Running): void {
  let closing = false
  const close = () => {
    if (closing) return
    closing = true
    void running.close().then(
      () => process.exit(0),
      (problem) => {
        process.stderr.write(`${String(problem)}\n`)
        process.exit(1)
      },
    )
  }
  process.on('SIGTERM', close)
  process.on('SIGINT', close)
}

const startedDirectly = process.argv[1] !== undefined && /(^|\/)main\.(js|ts)$/.test(process.argv[1])
if (startedDirectly) {
  try {
    const running = await serve(readConfig())
    closeOnSignal(running)
    process.stdout.write(`Jointkeep listens on ${running.address}\n`)
  } catch (problem) {
    process.stderr.write(`${problem instanceof Error ? problem.message : String(problem)}\n`)
    process.exit(1)
  }
}
