import {
  type Detected,
  detectDialect,
  type Fit,
  type Heard,
} from '../../firmware-protocol/codec/detect.ts'
import { makeLineSplitter } from '../../firmware-protocol/codec/line-splitter.ts'
import type { Clock } from './link.ts'
import { failureOf, type OpenModbus, openModbus } from './modbus-client.ts'
import { describeTrouble, type PortTrouble } from './port-trouble.ts'
import { type OpenPort, openSerialPort, type PortStream } from './serial-port.ts'

/** What one baud rate gave. */
export interface ProbeTry {
  readonly baudRate: number
  readonly dialect: Fit['dialect'] | 'modbus-rtu' | null
  readonly sure: number
  readonly why: string
}

export interface ProbeResult {
  /** The best of the tries; null when nothing was heard that is known here. */
  readonly best: (ProbeTry & { readonly fit: Fit | null; readonly unitId: number | null }) | null
  readonly tries: readonly ProbeTry[]
  /** Why the port could not be tried at all; null when it could. */
  readonly trouble: PortTrouble | null
}

export interface ProbeOptions {
  readonly clock: Clock
  /** Rates to listen at, in this order. */
  readonly baudRates?: readonly number[]
  readonly openPort?: OpenPort
  readonly openModbus?: OpenModbus
}

/** Rates of boards and sensors, the most common first (common practice, no source; 4800 is NMEA 0183's). */
const BAUD_RATES = [115_200, 9600, 4800, 19_200, 38_400, 57_600, 230_400] as const
/** At the slowest common rate, 10 lines a second of 20 characters, this is a dozen lines. */
const LISTEN_S = 1.2
/** Opening a port resets many boards, which are then quiet for 1 to 2 s; only the first opening does. */
const BOOT_S = 3
/** So sure that no other rate need be tried. */
const SURE_ENOUGH = 0.85
/** More than this is known well enough; a fast board sends it in a second. */
const LINES_MAX = 400
const BYTES_MAX = 65_536

const MODBUS_RATES = [9600, 19_200, 115_200, 38_400, 4800] as const
/** What sensors leave the works with (common practice, no source). */
const UNIT_IDS = [1, 2, 3, 10, 247] as const
const MODBUS_TIMEOUT_S = 0.15
/** A checksum of 16 bits and the right address: that is a sensor; what its registers mean is not known yet. */
const MODBUS_SURE = 0.9

/**
 * Listens at a port at one baud rate after the other, and asks for a Modbus sensor where nobody speaks. It says
 * nothing to what speaks by itself. Takes up to 12 s; nobody else may hold the port meanwhile.
 */
export async function probePort(path: string, options: ProbeOptions): Promise<ProbeResult> {
  const { clock, baudRates = BAUD_RATES, openPort = openSerialPort } = options
  const tries: (ProbeTry & { readonly fit: Fit | null })[] = []
  let anyBytes = false
  try {
    for (const baudRate of baudRates) {
      const quietS = tries.length === 0 ? BOOT_S : LISTEN_S
      const heard = await listenAt(await openPort(path, baudRate), clock, quietS)
      anyBytes ||= heard.bytes > 0
      const tried = tryOf(baudRate, detectDialect(heard))
      tries.push(tried)
      // Where nobody speaks at one rate nobody speaks at another.
      if (tried.sure >= SURE_ENOUGH || !anyBytes) break
    }
  } catch (error) {
    return { best: null, tries, trouble: describeTrouble(path, error) }
  }
  const best = tries.reduce((one, other) => (other.sure > one.sure ? other : one))
  if (best.sure > 0) return { best: { ...best, unitId: null }, tries, trouble: null }
  if (anyBytes) return { best: null, tries, trouble: null }
  return askModbus(path, tries, options.openModbus ?? openModbus)
}

const tryOf = (baudRate: number, { best, why }: Detected) => ({
  ...{ baudRate, dialect: best?.dialect ?? null, sure: best?.sure ?? 0, why, fit: best },
})

const isText = (byte: number): boolean =>
  (byte >= 0x20 && byte <= 0x7e) || byte === 0x09 || byte === 0x0a || byte === 0x0d

/** @param quietS How long to wait for a first byte. */
function listenAt(port: PortStream, clock: Clock, quietS: number): Promise<Heard> {
  const lines: string[] = []
  let bytes = 0
  let strangeBytes = 0
  const splitter = makeLineSplitter((line) => {
    if (lines.length <= LINES_MAX) lines.push(line)
  })
  return new Promise((resolve) => {
    let isOver = false
    const finish = () => {
      if (isOver) return
      isOver = true
      timer.cancel()
      port.removeAllListeners('data')
      // It may still raise an error while it closes.
      port.on('error', () => undefined)
      const heard = { lines: lines.slice(1), bytes, strangeBytes }
      if (port.isOpen) port.close(() => resolve(heard))
      else resolve(heard)
    }
    let timer = clock.after(quietS, finish)
    port.on('data', (chunk: Buffer) => {
      if (bytes === 0) {
        timer.cancel()
        timer = clock.after(LISTEN_S, finish)
      }
      bytes += chunk.length
      strangeBytes += chunk.reduce((sum, byte) => sum + (isText(byte) ? 0 : 1), 0)
      splitter.push(chunk)
      if (lines.length > LINES_MAX || bytes > BYTES_MAX) finish()
    })
    for (const event of ['close', 'error', 'end']) port.once(event, finish)
  })
}

async function askModbus(
  path: string,
  before: readonly ProbeTry[],
  open: OpenModbus,
): Promise<ProbeResult> {
  const tries = [...before]
  for (const baudRate of MODBUS_RATES) {
    const unitId = await unitAt(path, baudRate, open)
    const why =
      unitId === null
        ? `No Modbus sensor answers as unit ${UNIT_IDS.join(', ')}.`
        : `A Modbus sensor answers as unit ${unitId}.`
    const found = unitId === null ? null : ('modbus-rtu' as const)
    const tried: ProbeTry = { baudRate, dialect: found, sure: found ? MODBUS_SURE : 0, why }
    tries.push(tried)
    if (unitId !== null) return { best: { ...tried, fit: null, unitId }, tries, trouble: null }
  }
  return { best: null, tries, trouble: null }
}

/** The first unit id that answers; an exception is an answer too. */
async function unitAt(path: string, baudRate: number, open: OpenModbus): Promise<number | null> {
  const client = await open({ path, baudRate, parity: 'none' }).catch(() => null)
  if (client === null) return null
  try {
    for (const unitId of UNIT_IDS) {
      const poll = { unitId, function: 'input', register: 0, count: 1 } as const
      const answered = await client.read({ ...poll, timeoutS: MODBUS_TIMEOUT_S }).then(
        () => true,
        (error: unknown) => failureOf(error).kind === 'exception',
      )
      if (answered) return unitId
    }
    return null
  } finally {
    await client.close()
  }
}
