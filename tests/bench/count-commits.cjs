// Loaded before the service: how many commits were there, how long did they take, how many units did they hold?
// Told to the file that is named, whenever the process gets SIGUSR2.

const { createRequire } = require('node:module')
const { writeFileSync } = require('node:fs')
const Database = createRequire(process.env.BENCH_ROOT)('better-sqlite3')

let units = 0
let took = []
const prepare = Database.prototype.prepare
Database.prototype.prepare = function (sql) {
  const statement = prepare.call(this, sql)
  if (sql === 'release unit')
    return {
      run() {
        units += 1
        return statement.run()
      },
    }
  if (sql === 'commit')
    return {
      run() {
        const from = process.hrtime.bigint()
        const done = statement.run()
        took.push(Number(process.hrtime.bigint() - from) / 1e6)
        return done
      },
    }
  return statement
}
process.on('SIGUSR2', () => {
  took.sort((a, b) => a - b)
  const at = (share) => took[Math.min(took.length - 1, Math.floor(took.length * share))] ?? 0
  writeFileSync(
    process.env.BENCH_COMMITS,
    JSON.stringify({ commits: took.length, units, medianMs: at(0.5), p99Ms: at(0.99) }),
  )
  units = 0
  took = []
})
