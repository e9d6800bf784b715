import { once } from 'node:events'
import { existsSync } from 'node:fs'
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { basename, join } from 'node:path'
import { PassThrough } from 'node:stream'
import { afterEach, expect, onTestFinished, test, vi } from 'vitest'
import { archive } from '../../server/commands/archive.ts'
import { BadInput } from '../../server/commands/command.ts'
import { archiveFrom } from '../../server/history/archive.ts'
import { openHistory } from '../../server/history/open.ts'
import type { KnownBy } from '../../server/messages/act-kinds/act-kind.ts'
import { listen } from '../../server/web/listen.ts'
import { OPERATOR, REVIEWER, signIn, withPeople } from '../support/enrolled.ts'
import { runCommand } from '../support/run-command.ts'
import { listenWeb, makeFolder, makeWeb } from '../support/web.ts'
import { fillShop, newBend, rawOf } from '../unit/server/history/shop.ts'

const BENDS = 4
const BEFORE = '2026-02-01'

/** A folder that a daemon records to, and how that archives. */
function runningShop() {
  const dir = join(makeFolder(), 'data')
  fillShop(dir, BENDS)
  const history = openHistory(dir)
  onTestFinished(() => history.close())
  const order = { software: '0.1.0', wallMs: () => Date.UTC(2026, 5, 1) }
  const door = (ask: { who: string; before: string }, whoKnownBy: KnownBy) =>
    archiveFrom(history, dir, { ...ask, ...order, whoKnownBy })
  return { dir, history, archive: door }
}

const ask = (before: string, who = 'Quality') => ({
  ...{ method: 'POST' as const, url: '/api/archives' },
  payload: { before, who },
})

/** What is piped into the command. */
function pipeIn(text: string): void {
  const pipe = Object.assign(new PassThrough(), { isTTY: false })
  pipe.end(text)
  vi.spyOn(process, 'stdin', 'get').mockReturnValue(pipe as unknown as typeof process.stdin)
}
afterEach(() => vi.restoreAllMocks())

test('a daemon archives by itself and records on; the note stands at the last record of the years', async () => {
  const shop = runningShop()
  const { app } = makeWeb({ auto: false, archive: shop.archive })
  const archiving = app.inject(ask(BEFORE))
  shop.history.append(newBend(BENDS + 1), rawOf(BENDS + 1))
  const { file, records, act, sha256 } = (await archiving).json()
  expect(basename(file)).toBe(`before-${BEFORE}.sqlite`)
  expect(existsSync(file)).toBe(true)
  const [note] = shop.history.actsOn(records)
  expect(note).toMatchObject({ id: act, who: 'Quality', whoKnownBy: 'typed' })
  expect(note).toMatchObject({ text: expect.stringContaining(sha256) })
  expect(shop.history.verify()).toMatchObject({ records: BENDS + 1, intact: true })
})

test.each([
  ['a day still to come', '2026-07-01', 400, 'bad-input'],
  ['no day', 'last year!', 400, 'bad-input'],
  ['a year without records', '2025-01-01', 409, 'nothing-to-do'],
])('%s is refused, and nothing is written', async (_, before, status, code) => {
  const { dir, archive: door, history } = runningShop()
  const { app } = makeWeb({ auto: false, archive: door })
  const answer = await app.inject(ask(before))
  expect([answer.statusCode, answer.json().code]).toEqual([status, code])
  expect(existsSync(join(dir, 'archive'))).toBe(false)
  expect(history.verify().acts.entries).toBe(0)
})

test('one that is there stays as it is', async () => {
  const { app } = makeWeb({ auto: false, archive: runningShop().archive })
  await app.inject(ask(BEFORE))
  const again = await app.inject(ask(BEFORE))
  expect([again.statusCode, again.json().code]).toEqual([409, 'nothing-to-do'])
  expect(again.json().sentence).toMatch(/stays as it is/)
})

test('the command beside a daemon says how, and with its address the daemon does it', async () => {
  const shop = runningShop()
  const { url } = await listenWeb({ auto: false, archive: shop.archive })
  const args = ['archive', '--data', shop.dir, '--before', BEFORE, '--who', 'Quality']
  await expect(runCommand(archive, args)).rejects.toThrow(/let it archive, with --daemon/)
  const { text } = await runCommand(archive, [...args, '--daemon', `${url}/#/history`])
  expect(text).toContain(`${BENDS} records in `)
  expect(text).toContain('Noted as act 1.')
  const checked = await runCommand(archive, ['archive', '--data', shop.dir])
  expect(checked.text).toContain('The history goes on from it; noted as act 1.')
})

test('where people are enrolled a reviewer archives, by password, and the note has their name', async () => {
  const shop = runningShop()
  const web = await withPeople({ archive: shop.archive })
  const cookie = await signIn(web.app, OPERATOR)
  const refused = await web.app.inject({ ...ask(BEFORE), headers: { cookie } })
  expect([refused.statusCode, refused.json().code]).toEqual([403, 'not-your-role'])
  const { url } = await listen(web.app, { host: '127.0.0.1', port: 0 })
  const args = ['archive', '--data', shop.dir, '--before', BEFORE, '--daemon', url, '--json']
  pipeIn('not the password\n')
  await expect(runCommand(archive, [...args, '--who', REVIEWER.name])).rejects.toThrow(
    /do not belong together/,
  )
  pipeIn(`${REVIEWER.password}\n`)
  const { text } = await runCommand(archive, [...args, '--who', REVIEWER.name])
  expect(JSON.parse(text)).toMatchObject({ records: BENDS, act: 1 })
  expect(shop.history.actsOn(BENDS)).toMatchObject([
    { who: REVIEWER.name, whoKnownBy: 'signed-in' },
  ])
})

test.each([
  ['another program answers', '<html>', 200, false, /no daemon of Overbend: look at the address/],
  ['another program knows nothing', '<html>', 404, false, /no daemon of Overbend/],
  ['the answer breaks off', '{"file":', 200, true, /broke off: look whether it was done/],
])('%s, which is said in one sentence', async (_, begun, status, breaksOff, sentence) => {
  const server = createServer((request, response) => {
    request.resume()
    response.writeHead(status, { 'content-length': breaksOff ? 100 : begun.length })
    response.write(begun)
    if (breaksOff) setTimeout(() => request.socket.resetAndDestroy(), 50)
    else response.end()
  })
  onTestFinished(() => void server.close())
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  const url = `http://127.0.0.1:${(server.address() as AddressInfo).port}`
  const args = ['archive', '--data', 'x', '--before', BEFORE, '--who', 'Q', '--daemon', url]
  const refusal: unknown = await runCommand(archive, args).catch((error) => error)
  expect(refusal).toBeInstanceOf(BadInput)
  expect((refusal as Error).message).toMatch(sentence)
})

test.each([
  ['no address', 'overbend', /--daemon takes the address/],
  ['where nobody listens', 'http://127.0.0.1:9', /no daemon answers at http:\/\/127\.0\.0\.1:9\./],
])('%s is refused in one sentence', async (_, daemon, sentence) => {
  const args = ['archive', '--data', 'x', '--before', BEFORE, '--who', 'Q', '--daemon', daemon]
  const refusal: unknown = await runCommand(archive, args).catch((error) => error)
  expect(refusal).toBeInstanceOf(BadInput)
  expect((refusal as Error).message).toMatch(sentence)
})
