import { mkdirSync, symlinkSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { listenWeb, makeFolder, makeWeb, rawHttp, statusOfRaw } from '../support/web.ts'

const PAGE = '<!doctype html><title>Page</title>'
const SECRET = 'not for pages'

/** A built dashboard, and beside it a file that it must not give away. */
function makeDashboard() {
  const folder = makeFolder()
  const dashboardDir = join(folder, 'dashboard')
  mkdirSync(join(dashboardDir, 'assets'), { recursive: true })
  writeFileSync(join(dashboardDir, 'index.html'), PAGE)
  writeFileSync(join(dashboardDir, 'icon.svg'), '<svg/>')
  writeFileSync(join(dashboardDir, 'assets', 'page-abc123.js'), 'export {}')
  writeFileSync(join(dashboardDir, '.hidden'), SECRET)
  writeFileSync(join(folder, 'secret.txt'), SECRET)
  return { folder, dashboardDir }
}

describe('the built dashboard', () => {
  test('is at /, asked for anew each time', async () => {
    const { app } = makeWeb(makeDashboard())
    const answer = await app.inject('/')
    expect(answer.statusCode).toBe(200)
    expect(answer.body).toBe(PAGE)
    expect(answer.headers['content-type']).toContain('text/html')
    expect(answer.headers['cache-control']).toBe('no-cache')
    expect(answer.headers['content-security-policy']).toContain("default-src 'self'")
  })

  test('has parts named by their content, kept for good', async () => {
    const { app } = makeWeb(makeDashboard())
    const answer = await app.inject('/assets/page-abc123.js')
    expect(answer.headers['content-type']).toContain('javascript')
    expect(answer.headers['cache-control']).toBe('public, max-age=31536000, immutable')
    expect(answer.headers['x-content-type-options']).toBe('nosniff')
  })

  test('other files are asked for anew', async () => {
    const { app } = makeWeb(makeDashboard())
    expect((await app.inject('/icon.svg')).headers['cache-control']).toBe('no-cache')
  })

  test('answers HEAD without a body', async () => {
    const { app } = makeWeb(makeDashboard())
    const answer = await app.inject({ method: 'HEAD', url: '/' })
    expect(answer.statusCode).toBe(200)
    expect(answer.body).toBe('')
  })

  test('answers a device that is not paired: the pairing form is in it', async () => {
    const { app } = makeWeb({ host: '0.0.0.0', ...makeDashboard() })
    for (const url of ['/', '/assets/page-abc123.js'])
      expect((await app.inject({ url, remoteAddress: '192.0.2.50' })).statusCode).toBe(200)
  })

  test.each(['/nothing.js', '/assets/', '/assets', '/assets/nothing.js', '/.hidden', '/api/x'])(
    '%s is not in it',
    async (url) => {
      const { app } = makeWeb(makeDashboard())
      const answer = await app.inject(url)
      expect(answer.statusCode).toBe(404)
      expect(answer.json().code).toBe('no-such-address')
      expect(answer.headers['cache-control']).toBe('no-store')
    },
  )

  test.each([
    '/../secret.txt',
    '/..%2fsecret.txt',
    '/%2e%2e/secret.txt',
    '/%2e%2e%2fsecret.txt',
    '/..%5csecret.txt',
    '/..\\secret.txt',
    '/assets/../../secret.txt',
    '/assets/..%2f..%2fsecret.txt',
    '/assets/%252e%252e/%252e%252e/secret.txt',
    '//secret.txt',
    '/./../secret.txt',
    '/....//secret.txt',
    '/%00/../secret.txt',
    '/secret.txt%00.js',
    '/%c0%ae%c0%ae/secret.txt',
    '/../../../../../../etc/passwd',
    '/%2e%2e/%2e%2e/%2e%2e/%2e%2e/%2e%2e/etc/passwd',
    '/file:///etc/passwd',
  ])('%s does not lead out of it', async (path) => {
    const { port } = await listenWeb(makeDashboard())
    const head = `GET ${path} HTTP/1.1\r\nHost: localhost:${port}\r\nConnection: close\r\n\r\n`
    const answer = await rawHttp(port, head)
    expect(answer).not.toContain(SECRET)
    expect(answer).not.toContain('root:')
    expect([400, 404]).toContain(statusOfRaw(answer))
    expect(answer).toContain('"sentence"')
  })

  test('what is written into it later is found; what a link points to outside is the builder’s', async () => {
    const { folder, dashboardDir } = makeDashboard()
    const { app } = makeWeb({ dashboardDir })
    await app.ready()
    writeFileSync(join(dashboardDir, 'late.txt'), 'late')
    expect((await app.inject('/late.txt')).body).toBe('late')
    symlinkSync(join(folder, 'secret.txt'), join(dashboardDir, 'link.txt'))
    expect((await app.inject('/link.txt')).statusCode).toBe(200)
  })
})

describe('without a built dashboard', () => {
  test.each([null, '/nowhere/at/all'])('%s: / says how to build it', async (dashboardDir) => {
    const { app } = makeWeb({ dashboardDir })
    const answer = await app.inject('/')
    expect(answer.statusCode).toBe(404)
    expect(answer.json()).toEqual({
      code: 'no-dashboard',
      sentence: 'The dashboard is not built; run npm run build and start again.',
    })
  })

  test('an empty folder is not a dashboard', async () => {
    const { app } = makeWeb({ dashboardDir: makeFolder() })
    expect((await app.inject('/')).json().code).toBe('no-dashboard')
  })

  test('the API answers all the same', async () => {
    const { app } = makeWeb({ dashboardDir: null })
    expect((await app.inject('/api/health')).statusCode).toBe(200)
  })
})
