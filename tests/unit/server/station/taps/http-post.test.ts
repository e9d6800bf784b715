import { createServer, type RequestListener } from 'node:http'
import type { AddressInfo } from 'node:net'
import { expect, type TestContext, test } from 'vitest'
import { post } from '../../../../../server/station/taps/http-post.ts'

const PATIENCE_MS = 60_000

async function serve({ onTestFinished }: TestContext, answer: RequestListener): Promise<number> {
  const server = createServer(answer)
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  onTestFinished(() => {
    server.closeAllConnections()
    server.close()
  })
  return (server.address() as AddressInfo).port
}

test('posts the body as JSON, its length told', async (context) => {
  const seen: unknown[] = []
  const port = await serve(context, (request, response) => {
    let body = ''
    request.on('data', (chunk) => {
      body += chunk
    })
    request.on('end', () => {
      const { 'content-type': type, 'content-length': length } = request.headers
      seen.push([request.method, request.url, type, length, body])
      response.writeHead(204).end()
    })
  })
  const to = { host: '127.0.0.1', port, path: '/bends?of=today' }
  expect(await post(to, '{"a":"ü"}', PATIENCE_MS)).toBe(204)
  expect(seen).toEqual([['POST', '/bends?of=today', 'application/json', '10', '{"a":"ü"}']])
})

test('a redirect is an answer, and nobody follows it', async (context) => {
  let asked = 0
  const port = await serve(context, (_, response) => {
    asked += 1
    response.writeHead(307, { location: '/elsewhere' }).end()
  })
  expect(await post({ host: '127.0.0.1', port, path: '/' }, '{}', PATIENCE_MS)).toBe(307)
  await post({ host: '127.0.0.1', port, path: '/' }, '{}', PATIENCE_MS)
  expect(asked).toBe(2)
})

test('an answer without end does not hold it up', async (context) => {
  const port = await serve(context, (_, response) => {
    response.writeHead(200)
    const more = () => response.write('x'.repeat(65_536), () => !response.destroyed && more())
    more()
  })
  expect(await post({ host: '127.0.0.1', port, path: '/' }, '{}', PATIENCE_MS)).toBe(200)
})

test('one that never answers is given up', async (context) => {
  const port = await serve(context, () => undefined)
  await expect(post({ host: '127.0.0.1', port, path: '/' }, '{}', 50)).rejects.toThrow(
    `127.0.0.1:${port} does not answer within 0.05 s.`,
  )
})

test.each([
  ['127.0.0.1', /127\.0\.0\.1:1 cannot be reached: nobody listens there\.$/],
  ['8.8.8.8', /^8\.8\.8\.8 is not on the shop's network: nothing is sent there\.$/],
  ['no-such-machine.invalid', /cannot be reached: no machine of that name is known/],
])('%s: why not, in one sentence', async (host, why) => {
  await expect(post({ host, port: 1, path: '/' }, '{}', PATIENCE_MS)).rejects.toThrow(why)
})
