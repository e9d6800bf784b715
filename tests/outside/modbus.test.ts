import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { SerialPort } from 'serialport'
import { afterAll, afterEach, describe, expect, it } from 'vitest'
import { failureOf, type ModbusClient, openModbus } from '../../server/link/modbus-client.ts'
import { until } from '../support/daemon.ts'
import { skipWithout } from '../support/needs.ts'
import { makePtyPair, type PtyPair } from '../support/pty-pair.ts'
import frames from './data/modbus-frames.json' with { type: 'json' }

const hexOf = (bytes: Uint8Array) => Buffer.from(bytes).toString('hex').toUpperCase()

// Sources: beside each frame in data/modbus-frames.json.
describe.skipIf(skipWithout('socat'))('Modbus RTU frames on a real tty', () => {
  const folder = mkdtempSync(join(tmpdir(), 'overbend-frames-'))
  const open: { pair: PtyPair; far: SerialPort; client: ModbusClient }[] = []
  afterEach(async () => {
    for (const { pair, far, client } of open.splice(0)) {
      await client.close()
      far.close()
      await pair.unplug()
    }
  })
  afterAll(() => rmSync(folder, { recursive: true }))

  let pairs = 0
  /** A client on one end; on the other its requests are kept, and answered with these bytes. */
  async function wire(replyHex: string | undefined) {
    const pair = await makePtyPair(folder, `wire-${pairs++}`)
    const client = await openModbus({ path: pair.path, baudRate: 9600, parity: 'none' })
    const heard: Buffer[] = []
    const far = new SerialPort({ path: `${pair.path}-far-end`, baudRate: 9600 })
    far.on('data', (chunk: Buffer) => {
      heard.push(chunk)
      if (Buffer.concat(heard).length === 8 && replyHex !== undefined)
        far.write(Buffer.from(replyHex, 'hex'))
    })
    open.push({ pair, far, client })
    return { client, request: () => hexOf(Buffer.concat(heard)) }
  }

  it.each(frames.polls)('asks $requestHex: $source', async (frame) => {
    const { client, request } = await wire(frame.replyHex)
    const poll = { ...frame, function: frame.function as 'input' | 'holding', timeoutS: 1 }
    const answer = client.read(poll)
    if (frame.registers) expect(await answer).toEqual(frame.registers)
    else await answer.catch(() => undefined)
    await until(
      async () => request(),
      (hex) => hex.length >= 16,
      { seconds: 5, what: 'the request' },
    )
    expect(request()).toBe(frame.requestHex)
  })

  it(`refuses an answer with a wrong checksum: ${frames.damaged.source}`, async () => {
    const { client } = await wire(frames.damaged.replyHex)
    const poll = { unitId: 17, function: 'input', register: 8, count: 1, timeoutS: 2 } as const
    const failure = await client.read(poll).then(
      () => 'taken',
      (error: unknown) => failureOf(error),
    )
    expect(failure).toEqual({ kind: 'crc', code: 0 })
  })
})
