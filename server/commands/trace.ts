import { Option } from 'commander'
import { type AddCommand, BadInput, printJson } from './command.ts'
import { readTrace } from './trace-csv.ts'
import { cyclesOf, type TracedCycle } from './trace-cycles.ts'

interface Options {
  readonly mount: 'die' | 'arm'
  readonly datum: number | 'auto'
  readonly json?: true
}

/** What an arm cannot know is said, not made up. */
const ARM_NOTE =
  'A sensor on the arm does not see the tube once the arm leaves it: no released angle. ' +
  'When the arm goes back for another stroke, that stroke is a cycle of its own.'

/** An arm shows how far it went; where the tube stood afterwards it does not. */
function withoutRelease(cycle: TracedCycle): TracedCycle {
  const none = { releasedDeg: null, releasedSeDeg: null, releasedAtS: null }
  return { ...cycle, ...none, goes: cycle.goes.map((go) => ({ ...go, ...none })) }
}

function datumOption(text: string): number | 'auto' {
  if (text === 'auto') return text
  const value = Number(text)
  if (text.trim() === '' || !Number.isFinite(value))
    throw new BadInput(`--datum takes auto or a number of degrees, got "${text}".`)
  return value
}

function printTable(cycles: readonly TracedCycle[], note: string | null): void {
  const rows = cycles.map((cycle, index) => [
    String(index + 1),
    degrees(cycle.datumDeg),
    degrees(cycle.peakDeg),
    degrees(cycle.releasedDeg),
    degrees(cycle.releasedDeg === null ? null : cycle.peakDeg - cycle.releasedDeg),
    String(cycle.strokes),
    String(cycle.goes.length),
    seconds(cycle.peakAtS),
    seconds(cycle.releasedAtS),
  ])
  const header = [
    'bend',
    'datum',
    'peak',
    'released',
    'springback',
    'strokes',
    'goes',
    'peak at',
    'released at',
  ]
  const widths = header.map((name, column) =>
    Math.max(name.length, ...rows.map((row) => row[column]?.length ?? 0)),
  )
  const lines = [header, ...rows].map((row) =>
    row.map((cell, column) => cell.padStart(widths[column] ?? 0)).join('  '),
  )
  if (cycles.length === 0) lines.splice(0, 1, 'No bend in this trace.')
  if (note !== null) lines.push(note)
  process.stdout.write(`${lines.join('\n')}\n`)
}

const degrees = (value: number | null): string => (value === null ? '–' : `${value.toFixed(2)}°`)
const seconds = (value: number | null): string => (value === null ? '–' : `${value.toFixed(2)} s`)

/** Reads peak and released angle of every bend out of a recorded trace. */
export const trace: AddCommand = (program) => {
  program
    .command('trace <file>')
    .description(
      'Read peak and released angle of every bend out of a trace (columns t_s, angle_deg).',
    )
    .addOption(
      new Option('--mount <where>', 'where the sensor sits').choices(['die', 'arm']).default('die'),
    )
    .option(
      '--datum <readout>',
      'auto, or the readout that is zero, in degrees',
      datumOption,
      'auto',
    )
    .option('--json', 'one JSON document on standard output')
    .action(async (file: string, { mount, datum, json }: Options) => {
      const found = cyclesOf(await readTrace(file), datum)
      const cycles = mount === 'arm' ? found.map(withoutRelease) : found
      const note = mount === 'arm' ? ARM_NOTE : null
      if (json) printJson({ mount, cycles, note })
      else printTable(cycles, note)
    })
}
