import { Command } from 'commander'
import { vi } from 'vitest'
import { trace } from '../../server/commands/trace.ts'
import type { TracedCycle } from '../../server/commands/trace-cycles.ts'

/** Runs `overbend trace` through its command line, in this process; gives what it prints. */
export async function printedByTrace(args: readonly string[]): Promise<string> {
  let printed = ''
  const write = vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    printed += String(text)
    return true
  })
  const program = new Command('overbend').exitOverride()
  program.configureOutput({ outputError: () => undefined })
  trace(program)
  program.commands[0]?.exitOverride().configureOutput({ outputError: () => undefined })
  try {
    await program.parseAsync(['trace', ...args], { from: 'user' })
  } finally {
    write.mockRestore()
  }
  return printed
}

export async function tracedFile(
  file: string,
  ...flags: string[]
): Promise<{ cycles: TracedCycle[]; mount: string; note: string | null }> {
  return JSON.parse(await printedByTrace([file, ...flags, '--json']))
}
