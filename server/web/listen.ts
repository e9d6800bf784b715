import type { AddressInfo } from 'node:net'
import type { buildApp } from './app.ts'
import { urlHost } from './hosts.ts'

const WHY: Readonly<Record<string, string>> = {
  EADDRINUSE: 'something listens there already; give another --port',
  EACCES: 'this user may not listen there; give a --port above 1023',
  EADDRNOTAVAIL: 'this machine has no such address; give another --host',
  ENOTFOUND: 'there is no such name; give another --host',
}

/**
 * Opens the door. Port 0 takes any free one.
 *
 * @throws Error with one sentence that says where and why it could not listen.
 */
export async function listen(
  app: ReturnType<typeof buildApp>,
  { host, port }: { host: string; port: number },
): Promise<{ url: string; port: number }> {
  try {
    await app.listen({ host, port })
  } catch (error) {
    const { code = '', message } = error as NodeJS.ErrnoException
    const why = WHY[code] ?? message
    throw new Error(`Cannot listen on ${host}, port ${port}: ${why}.`, { cause: error })
  }
  const bound = app.server.address() as AddressInfo
  return { url: `http://${urlHost(host)}:${bound.port}`, port: bound.port }
}
