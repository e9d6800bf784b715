import { Command } from 'commander'
import { vi } from 'vitest'
import type { AddCommand } from '../../server/commands/command.ts'

/** Runs one command in this process. @returns what it wrote to standard output, and its exit code; throws what it throws. */
export async function runCommand(add: AddCommand, args: readonly string[]) {
  const program = new Command().exitOverride().configureOutput({ outputError: () => undefined })
  add(program)
  let text = ''
  const write = vi.spyOn(process.stdout, 'write').mockImplementation((chunk) => {
    text += String(chunk)
    return true
  })
  const before = process.exitCode
  try {
    await program.parseAsync(args, { from: 'user' })
    return { text, exitCode: process.exitCode ?? 0 }
  } finally {
    process.exitCode = before
    write.mockRestore()
  }
}
