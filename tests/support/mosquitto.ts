import { execFileSync } from 'node:child_process'
import { writeFileSync } from 'node:fs'
import { type AddressInfo, createServer } from 'node:net'
import { join } from 'node:path'
import { endProcess, runUntilEnd } from './programs.ts'

/** A port of loopback that nobody listens at now. */
export async function freePort(): Promise<number> {
  const server = createServer()
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const { port } = server.address() as AddressInfo
  await new Promise((resolve) => server.close(resolve))
  return port
}

/** The broker that Debian ships, on loopback, for one user. @returns what ends it. */
export function runMosquitto(folder: string, port: number, user: string, password: string) {
  const passwords = join(folder, 'passwords')
  const config = join(folder, 'mosquitto.conf')
  execFileSync('mosquitto_passwd', ['-b', '-c', passwords, user, password], { stdio: 'pipe' })
  writeFileSync(
    config,
    `listener ${port} 127.0.0.1\nuser root\nallow_anonymous false\npassword_file ${passwords}\n`,
  )
  const child = runUntilEnd('mosquitto', ['-c', config], { stdio: 'ignore' })
  return () => endProcess(child, 'SIGKILL')
}
