import { type Command, Option } from 'commander'
import { type HistoryCode, HistoryError } from '../history/errors.ts'
import { BadInput } from './command.ts'

/** The options that every command on a data folder has. */
export const withDataOptions = (
  command: Command,
  json = 'print one JSON document and nothing else',
): Command =>
  command
    .addOption(new Option('--data <dir>', 'data folder of the history').makeOptionMandatory(true))
    .option('--json', json)

/**
 * Runs the work of a command. What whoever typed it can put right is bad input, exit 2; all else is a
 * failure, exit 1. `inputCodes` are further codes that blame a file that was given.
 */
export async function onHistory(
  work: () => void | Promise<void>,
  inputCodes: readonly HistoryCode[] = [],
): Promise<void> {
  try {
    await work()
  } catch (error) {
    if (!(error instanceof HistoryError)) throw error
    const isInput = error.remedy === 'caller' || inputCodes.includes(error.code)
    throw isInput ? new BadInput(error.message) : error
  }
}

export const counted = (records: number) => `${records} ${records === 1 ? 'record' : 'records'}`
