import { execFileSync } from 'node:child_process'
import { accessSync, constants, existsSync, mkdtempSync, rmdirSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { delimiter, join } from 'node:path'

/** Set by `.ci/run`: a missing program is then a failure, never a skipped test. */
const MAY_SKIP = process.env['OVERBEND_TESTS_SKIP_NOTHING'] !== '1'

function onPath(program: string): boolean {
  return (process.env['PATH'] ?? '').split(delimiter).some((folder) => {
    try {
      accessSync(join(folder, program), constants.X_OK)
      return true
    } catch {
      return false
    }
  })
}

/** Debian's packages of what is not called like its package. */
const PACKAGES: Readonly<Record<string, string>> = {
  'avr-gcc': 'gcc-avr avr-libc',
  libsimavr: 'libsimavr-dev libelf-dev',
  pymodbus: 'python3-pymodbus python3-serial',
  pdftotext: 'poppler-utils',
  pdfinfo: 'poppler-utils',
  pdfdetach: 'poppler-utils',
}
/** What is no program is known by a file. */
const FILES: Readonly<Record<string, string>> = {
  libsimavr: '/usr/include/simavr/sim_avr.h',
  pymodbus: '/usr/lib/python3/dist-packages/pymodbus/__init__.py',
  'arduino-core-avr': '/usr/share/arduino/hardware/arduino/avr/cores/arduino/Arduino.h',
}

function isHere(need: string): boolean {
  const file = FILES[need]
  return file === undefined ? onPath(need) : existsSync(file)
}

/**
 * Whether a test that needs these programs is to be skipped. Says plainly what is missing and how to
 * get it; where nothing may be skipped it throws instead.
 */
export function skipWithout(...programs: readonly string[]): boolean {
  const missing = programs.filter((program) => !isHere(program))
  if (missing.length === 0) return false
  const packages = missing.map((need) => PACKAGES[need] ?? need).join(' ')
  const sentence = `Needs ${missing.join(', ')}: apt-get install ${packages}.`
  if (!MAY_SKIP) throw new Error(sentence)
  process.stderr.write(`Skipped. ${sentence}\n`)
  return true
}

/** Whether this process may mount a file system, as root may: needed to fill a disk for real. */
function skipWithoutRoot(): boolean {
  if (process.getuid?.() === 0) return false
  if (!MAY_SKIP) throw new Error('Needs root, to mount a small file system.')
  process.stderr.write('Skipped. Needs root, to mount a small file system.\n')
  return true
}

/** Whether this process may mount, as root in a plain container may not. */
export function cannotMount(): boolean {
  if (skipWithoutRoot()) return true
  const place = mkdtempSync(join(tmpdir(), 'overbend-mount-'))
  try {
    execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=64k', 'overbend', place], { stdio: 'pipe' })
    execFileSync('umount', [place])
    return false
  } catch (error) {
    if (!MAY_SKIP) throw error
    process.stderr.write('Skipped. This container may not mount a file system.\n')
    return true
  } finally {
    rmdirSync(place)
  }
}
