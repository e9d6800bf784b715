import { createInterface } from 'node:readline'
import { makeAccess } from '../../server/web/access.ts'
import { buildApp } from '../../server/web/app.ts'
import { listen } from '../../server/web/listen.ts'
import { makeFakePeople } from './fake-people.ts'
import { FAKE_SOFTWARE, FAULTS, type Fault } from './fake-state.ts'
import { makeFakeStation } from './fake-station.ts'
import { makeFakeWire } from './fake-wire.ts'
import { realClock } from './real-clock.ts'

// Serves the built dashboard over the fake station, for looking at pages:
//   npx tsx tests/support/fake-server.ts [port] [--attended] [--first-run] [--no-bench]
// Typed lines: the name of a fault, `well`, or a number of seconds to skip.

const HOST = '127.0.0.1'
const has = (flag: string) => process.argv.includes(flag)
const port = Number(process.argv[2] ?? 0)

const station = makeFakeStation({
  auto: !has('--attended'),
  ready: !has('--first-run'),
  bench: !has('--no-bench'),
  startedMs: Date.now(),
})
const app = buildApp({
  station,
  wire: makeFakeWire(),
  history: station.history,
  ...station.doors,
  people: makeFakePeople(station.history, realClock),
  dashboardDir: new URL('../../dist/dashboard', import.meta.url).pathname,
  access: makeAccess({ host: HOST, clock: realClock }),
  clock: realClock,
  software: FAKE_SOFTWARE,
  log: (sentence, facts) => console.error(sentence, facts),
})

const { url } = await listen(app, { host: HOST, port: Number.isInteger(port) ? port : 0 })
console.log(url)
station.play()

createInterface({ input: process.stdin }).on('line', (line) => {
  const word = line.trim()
  if (word === 'well') station.fault(null)
  else if (FAULTS.includes(word as Fault)) station.fault(word as Fault)
  else if (Number(word) > 0) station.step(Math.round(100 * Number(word)))
  else console.error(`Say well, a number of seconds, or one of: ${FAULTS.join(', ')}.`)
})
