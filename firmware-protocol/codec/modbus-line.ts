/**
 * What a Modbus poll came to, as a line: the wire itself is binary and belongs to whoever asks, so the answer is
 * written down. One value, one text, so that a kept line gives the same reading again.
 */

/** An answer: the registers as they came, most significant byte of each first. */
interface Answer {
  readonly kind: 'answer'
  readonly unitId: number
  /** How long before the line's arrival the sensor was asked, microseconds: its value is that old. */
  readonly ageUs: number
  readonly registers: readonly number[]
}

/** No answer, a damaged one, or the sensor's own refusal with its exception code. */
interface Failure {
  readonly kind: 'timeout' | 'crc' | 'exception'
  readonly unitId: number
  /** Of the Modbus specification, 1 to 255; 0 unless the sensor refused. */
  readonly code: number
}

export type ModbusLine = Answer | Failure

const REGISTER_MAX = 0xffff
/** A protocol unit holds at most 125 registers; a line of ours holds 60, and no sensor needs more. */
export const REGISTERS_MAX = 60
const UNIT_MAX = 247
const AGE_MAX_US = 10_000_000

const ANSWER = /^MB (\d{1,3}) (\d{1,8}) ((?:[0-9A-F]{4})+)$/
const FAILURE = /^ME (\d{1,3}) (timeout|crc|exception) (\d{1,3})$/

const hex4 = (register: number): string => register.toString(16).toUpperCase().padStart(4, '0')

/** `MB <unit> <age µs> <registers in hex>`, or `ME <unit> <what> <code>`. */
export const formatModbusLine = (line: ModbusLine): string =>
  line.kind === 'answer'
    ? `MB ${line.unitId} ${line.ageUs} ${line.registers.map(hex4).join('')}`
    : `ME ${line.unitId} ${line.kind} ${line.code}`

/** @returns null for anything else. */
export function parseModbusLine(text: string): ModbusLine | null {
  const answer = ANSWER.exec(text)
  if (answer) return readAnswer(Number(answer[1]), Number(answer[2]), answer[3] ?? '')
  const failure = FAILURE.exec(text)
  if (!failure) return null
  const [unitId, code] = [Number(failure[1]), Number(failure[3])]
  if (!(unitId <= UNIT_MAX && code <= 255)) return null
  return { kind: failure[2] as Failure['kind'], unitId, code }
}

function readAnswer(unitId: number, ageUs: number, hex: string): ModbusLine | null {
  const count = hex.length / 4
  if (!(unitId <= UNIT_MAX && ageUs <= AGE_MAX_US && count <= REGISTERS_MAX)) return null
  const registers = Array.from({ length: count }, (_, nth) =>
    Number.parseInt(hex.slice(4 * nth, 4 * nth + 4), 16),
  )
  return { kind: 'answer', unitId, ageUs, registers }
}

/** How registers are read as one number. */
export const REGISTER_FORMS = ['int16', 'uint16', 'int32', 'uint32', 'float32'] as const
export type RegisterForm = (typeof REGISTER_FORMS)[number]
/** Which of two registers holds the high half: the specification says nothing of it, and sensors differ. */
export const WORD_ORDERS = ['high-first', 'low-first'] as const
export type WordOrder = (typeof WORD_ORDERS)[number]

export const registersOf = (form: RegisterForm): 1 | 2 => (form.endsWith('16') ? 1 : 2)

/**
 * The number in the registers from `at` on.
 *
 * @returns null for a float that is no number, a sensor's way to say "no valid reading"; NaN where there are
 *   too few registers.
 */
export function readRegisters(
  registers: readonly number[],
  at: number,
  form: RegisterForm,
  order: WordOrder,
): number | null {
  const first = registers[at]
  const second = registersOf(form) === 1 ? 0 : registers[at + 1]
  if (!(isRegister(first) && isRegister(second))) return Number.NaN
  const view = new DataView(new ArrayBuffer(4))
  const isHighFirst = registersOf(form) === 1 || order === 'high-first'
  view.setUint16(0, isHighFirst ? first : second)
  view.setUint16(2, isHighFirst ? second : first)
  return numberIn(view, form)
}

const isRegister = (value: number | undefined): value is number =>
  value !== undefined && value >= 0 && value <= REGISTER_MAX

function numberIn(view: DataView, form: RegisterForm): number | null {
  switch (form) {
    case 'int16':
      return view.getInt16(0)
    case 'uint16':
      return view.getUint16(0)
    case 'int32':
      return view.getInt32(0)
    case 'uint32':
      return view.getUint32(0)
    case 'float32': {
      const value = view.getFloat32(0)
      return Number.isFinite(value) ? value : null
    }
  }
}
