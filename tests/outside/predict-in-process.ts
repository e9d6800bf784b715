import { Command } from 'commander'
import { vi } from 'vitest'
import { predict } from '../../server/commands/predict.ts'

/** Runs `overbend predict` through its command line, in this process; gives what it prints. */
export function printedByPredict(args: readonly string[]): string {
  let printed = ''
  const write = vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    printed += String(text)
    return true
  })
  const program = new Command('overbend').exitOverride()
  program.configureOutput({ outputError: () => undefined })
  predict(program)
  program.commands[0]?.exitOverride().configureOutput({ outputError: () => undefined })
  try {
    program.parse(['predict', ...args], { from: 'user' })
  } finally {
    write.mockRestore()
  }
  return printed
}

/** What `--json` prints, as its readers may rely on it. */
export interface Printed {
  readonly secondMomentMm4: number
  readonly momentNm: number
  readonly slope: number
  readonly interceptDeg: number
  readonly loadedDeg: number | null
  readonly springbackDeg: number | null
  readonly lowDeg: number | null
  readonly highDeg: number | null
  readonly releasedRadiusMm: number | null
  readonly note: string | null
  readonly estimates: Readonly<
    Record<
      'radiusRatio' | 'wallRatio' | 'outerStretch' | 'thinningLow' | 'thinningHigh' | 'ovality',
      number
    >
  >
  readonly warnings: readonly Readonly<Record<'code' | 'sentence' | 'source', string>>[]
}

export const predictJson = (args: readonly string[]): Printed =>
  JSON.parse(printedByPredict([...args, '--json']))
