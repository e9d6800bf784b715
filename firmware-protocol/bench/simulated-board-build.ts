import { execFile } from 'node:child_process'
import { join } from 'node:path'
import { promisify } from 'node:util'

const run = promisify(execFile)
const HERE = import.meta.dirname
const FIRMWARE = join(HERE, '../atmega328p')
const LIBRARY = join(HERE, '../library')
const BOARD = join(HERE, 'simulated-board')

const BOARD_PARTS = ['main', 'board', 'motion', 'sensors', 'tty']
/** What the simulated sensors and the EEPROM share with the firmware: register layouts and the CRC. */
const LIBRARY_PARTS = ['crc16', 'absolute-spi', 'absolute-i2c', 'accelerometer']

/** What the firmware's Makefile lets one choose. */
export interface FirmwareChoice {
  readonly SENSOR?: 'quadrature' | 'absolute-spi' | 'absolute-i2c' | 'accelerometer'
  readonly COUNTS_PER_TURN?: number
  readonly I2C_ENCODER_BITS?: 12 | 14
  readonly ACCELEROMETER?: 'high-first' | 'low-first'
  readonly SECOND?: 'none' | 'pressure'
  readonly RATE_HZ?: number
  readonly OUTPUTS?: number
}

/**
 * Builds the firmware with avr-gcc into a folder of its own, which must exist.
 *
 * @returns The ELF file, and what the build said of flash and memory.
 * @throws The compiler's words, or that less than a third is left.
 */
export async function buildFirmware(
  folder: string,
  choice: FirmwareChoice = {},
): Promise<{ readonly elf: string; readonly used: string }> {
  const chosen = Object.entries(choice).map(([name, value]) => `${name}=${value}`)
  const args = ['--silent', '--directory', FIRMWARE, `BUILD=${folder}`, ...chosen]
  const { stdout } = await run('make', args)
  return { elf: join(folder, 'overbend.elf'), used: stdout }
}

/** Builds the simulated board against libsimavr into a folder. @returns The program. */
export async function buildSimulatedBoard(folder: string): Promise<string> {
  const program = join(folder, 'simulated-board')
  const sources = [
    ...BOARD_PARTS.map((part) => join(BOARD, `${part}.c`)),
    ...LIBRARY_PARTS.map((part) => join(LIBRARY, `${part}.c`)),
  ]
  const warnings = ['-Wall', '-Wextra', '-Wshadow', '-Werror']
  const flags = ['-std=c99', '-O2', ...warnings, '-I/usr/include/simavr', '-o', program]
  await run('gcc', [...flags, ...sources, '-lsimavr', '-lelf'])
  return program
}
