import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import {
  type SimulatedBoard,
  startSimulatedBoard,
} from '../../firmware-protocol/bench/simulated-board.ts'
import {
  buildFirmware,
  buildSimulatedBoard,
  type FirmwareChoice,
} from '../../firmware-protocol/bench/simulated-board-build.ts'

/** What tests with the real firmware need: give it to `skipWithout`. */
export const FIRMWARE_NEEDS = ['avr-gcc', 'gcc', 'make', 'libsimavr'] as const

const place = mkdtempSync(join(tmpdir(), 'overbend-firmware-'))
process.once('exit', () => rmSync(place, { recursive: true, force: true }))

let program: Promise<string> | undefined
const firmwares = new Map<string, ReturnType<typeof buildFirmware>>()

/** Builds a firmware once a process. */
export function firmware(choice: FirmwareChoice = {}): ReturnType<typeof buildFirmware> {
  const name = JSON.stringify(choice)
  const known = firmwares.get(name)
  if (known !== undefined) return known
  const built = buildFirmware(mkdtempSync(join(place, 'build-')), choice)
  firmwares.set(name, built)
  return built
}

/** A simulated board with the real firmware in it; it stands at 0 until it is moved. */
export async function plugInFirmware(
  choice: FirmwareChoice = {},
  name?: string,
): Promise<SimulatedBoard> {
  program ??= buildSimulatedBoard(place)
  const { elf } = await firmware(choice)
  const spec = { program: await program, elf }
  return await startSimulatedBoard(name === undefined ? spec : { ...spec, name })
}
