// What does the least cost that could be called durable? One row, one commit, one sync for each request.

import Database from 'better-sqlite3'
import Fastify from 'fastify'

const [, , file = ''] = process.argv
const database = new Database(file)
database.pragma('journal_mode = wal')
database.pragma('synchronous = full')
database.exec('create table readings (id text primary key, body text not null, at integer not null) strict')
const insert = database.prepare('insert into readings (id, body, at) values (?, ?, ?)')

const app = Fastify({ logger: false })
app.post('/makes/:makeId/torque', (request, reply) => {
  const body = request.body as { id: string }
  insert.run(body.id, JSON.stringify(body), Date.now())
  return reply.code(201).send({ id: body.id })
})
const address = await app.listen({ host: '127.0.0.1', port: 0 })
process.stdout.write(`Bare listens on ${address}\n`)
process.on('SIGTERM', () => void app.close().then(() => process.exit(0)))
