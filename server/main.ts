#!/usr/bin/env node
import { Command, CommanderError } from 'commander'
import { BadInput } from './commands/command.ts'
import { commands } from './commands/index.ts'

/** Exit codes that scripts may rely on. */
const EXIT_BAD_INPUT = 2
const EXIT_FAILED = 1

function makeProgram(): Command {
  const program = new Command('overbend')
    .description('Measured tube bending: live degrees, a corrected stop, a bend history.')
    .exitOverride()
    .showHelpAfterError(false)
    .configureOutput({ outputError: () => undefined })
  for (const add of commands) add(program)
  return program
}

/** Commander's own wording, without its prefix and as one sentence. What was given to an option it does not know may be a secret. */
function sentenceOf(error: CommanderError): string {
  const text = error.message
    .replace(/^error: /, '')
    .replace(/^(unknown option '(?:--[^=']*|-[^-'])).*'/s, "$1'")
    .replace(/\s+/g, ' ')
    .trim()
  return text.endsWith('.') ? text : `${text}.`
}

function exitCodeFor(error: unknown): number {
  if (error instanceof CommanderError) {
    if (error.exitCode === 0) return 0
    process.stderr.write(`overbend: ${sentenceOf(error)} See overbend --help.\n`)
    return EXIT_BAD_INPUT
  }
  if (error instanceof BadInput) {
    process.stderr.write(`overbend: ${error.message}\n`)
    return EXIT_BAD_INPUT
  }
  const message = error instanceof Error ? error.message : String(error)
  process.stderr.write(`overbend: ${message}\n`)
  return EXIT_FAILED
}

try {
  await makeProgram().parseAsync()
} catch (error) {
  process.exitCode = exitCodeFor(error)
}
