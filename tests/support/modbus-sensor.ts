import { once } from 'node:events'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { endProcess, runUntilEnd } from './programs.ts'

/** Debian's own interpreter: its packages are not seen by another one. */
const PYTHON = '/usr/bin/python3'
const SERVER = join(import.meta.dirname, 'modbus-server.py')

/** A sensor on a Modbus bus, made of another implementation than ours. */
export interface ModbusSensor {
  /** Sets input and holding registers alike. */
  put(address: number, ...values: readonly number[]): void
  fault(kind: 'none' | 'mute' | 'corrupt'): void
  close(): Promise<void>
}

/** Starts it on one end of a pair of pseudo-terminals. */
export async function startModbusSensor(path: string, unitId: number): Promise<ModbusSensor> {
  const child = runUntilEnd(PYTHON, [SERVER, path, String(unitId)], {
    stdio: ['pipe', 'pipe', 'inherit'],
  })
  child.stdin?.on('error', () => undefined)
  if (child.stdout === null) throw new Error('the sensor has no standard output')
  await once(createInterface({ input: child.stdout }), 'line')
  const tell = (line: string) => void child.stdin?.write(`${line}\n`)
  return {
    put: (address, ...values) => tell(`R ${address} ${values.join(' ')}`),
    fault: (kind) => tell(`FAULT ${kind}`),
    close: () => endProcess(child, 'SIGTERM'),
  }
}
