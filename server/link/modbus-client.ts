import modbus from 'modbus-serial'

/** What one poll asks for. */
export interface ModbusPoll {
  readonly unitId: number
  readonly function: 'input' | 'holding'
  /** As on the wire, from 0. */
  readonly register: number
  readonly count: number
  readonly timeoutS: number
}

export interface ModbusPort {
  readonly path: string
  readonly baudRate: number
  readonly parity: 'none' | 'even' | 'odd'
}

/** An open port with the protocol on it. */
export interface ModbusClient {
  /** The registers; rejects with what went wrong. One at a time. */
  read(poll: ModbusPoll): Promise<readonly number[]>
  /** Called once when the port ends by itself. */
  onGone(listener: () => void): void
  /** Resolves when the port is free again; never rejects. */
  close(): Promise<void>
}

/** Opens a port or rejects with the library's error. Handed in, so that a test can give a client of its own. */
export type OpenModbus = (port: ModbusPort) => Promise<ModbusClient>

/** What went wrong with a poll. */
export interface PollFailure {
  /** `gone`: there is no port to ask on any more. */
  readonly kind: 'timeout' | 'crc' | 'exception' | 'gone'
  /** The exception code of the specification; 0 for the others. */
  readonly code: number
}

/**
 * The real thing: the library's buffered RTU port. One stop bit always: the specification asks for two without a
 * parity bit, and sensors on sale use one (common practice, no source).
 */
export const openModbus: OpenModbus = async ({ path, baudRate, parity }) => {
  const rtu = new modbus.default()
  // An unplugged port raises errors whenever it likes; unheard they would end the daemon.
  rtu.on('error', () => undefined)
  await rtu.connectRTUBuffered(path, { baudRate, parity, dataBits: 8, stopBits: 1 })
  return {
    async read({ unitId, function: table, register, count, timeoutS }) {
      rtu.setID(unitId)
      rtu.setTimeout(timeoutS * 1000)
      const { data } = await (table === 'input'
        ? rtu.readInputRegisters(register, count)
        : rtu.readHoldingRegisters(register, count))
      return data
    },
    onGone: (listener) => void rtu.on('close', listener),
    close: () =>
      new Promise((resolve) => {
        if (rtu.isOpen) rtu.close(() => resolve())
        else resolve()
      }),
  }
}

/** The library tells by code, by number and by wording (modbus-serial 8). */
export function failureOf(error: unknown): PollFailure {
  const { modbusCode, errno, message } = (error ?? {}) as {
    modbusCode?: unknown
    errno?: unknown
    message?: unknown
  }
  if (typeof modbusCode === 'number') return { kind: 'exception', code: modbusCode }
  if (errno === 'ETIMEDOUT') return { kind: 'timeout', code: 0 }
  if (errno === 'ECONNREFUSED' || /port is not open/i.test(String(message)))
    return { kind: 'gone', code: 0 }
  // Wrong checksum, length, address or function: an answer that is not whole, or not to us.
  return { kind: 'crc', code: 0 }
}
