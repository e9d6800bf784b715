import { createServer } from 'node:net'
import { describe, expect, onTestFinished, test } from 'vitest'
import { listen } from '../../server/web/listen.ts'
import { makeWeb, openLive } from '../support/web.ts'

describe('listening', () => {
  test('on port 0 takes any free one and says which', async () => {
    const { app } = makeWeb()
    const { url, port } = await listen(app, { host: '127.0.0.1', port: 0 })
    expect(port).toBeGreaterThan(0)
    expect(url).toBe(`http://127.0.0.1:${port}`)
    expect((await fetch(`${url}/api/health`)).status).toBe(200)
  })

  test('on every address gives one that opens in a browser here', async () => {
    const { app } = makeWeb({ host: '0.0.0.0' })
    const { url, port } = await listen(app, { host: '0.0.0.0', port: 0 })
    expect(url).toBe(`http://localhost:${port}`)
    expect((await fetch(`http://127.0.0.1:${port}/api/station`)).status).toBe(200)
  })

  test('on localhost, whichever family it means, streams too', async () => {
    const { app } = makeWeb({ host: 'localhost' })
    const { url, port } = await listen(app, { host: 'localhost', port: 0 })
    expect(url).toBe(`http://localhost:${port}`)
    await openLive(port, url).next(({ type }) => type === 'hello')
  })

  test('on a port that is taken says so in one sentence', async () => {
    const other = createServer().listen(0, '127.0.0.1')
    onTestFinished(() => void other.close())
    await new Promise((resolve) => other.once('listening', resolve))
    const { port } = other.address() as { port: number }
    const { app } = makeWeb()
    await expect(listen(app, { host: '127.0.0.1', port })).rejects.toThrow(
      `Cannot listen on 127.0.0.1, port ${port}: ` +
        'something listens there already; give another --port.',
    )
  })

  test('on an address of another machine says so', async () => {
    const { app } = makeWeb()
    // 192.0.2.0/24 is kept for documentation, RFC 5737: no machine has it.
    await expect(listen(app, { host: '192.0.2.1', port: 0 })).rejects.toThrow(
      'Cannot listen on 192.0.2.1, port 0: this machine has no such address; give another --host.',
    )
  })
})
