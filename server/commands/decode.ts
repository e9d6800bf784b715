import { pipeline } from 'node:stream/promises'
import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import { makeLineSplitter } from '../../firmware-protocol/codec/line-splitter.ts'
import { decodeNumber } from '../../firmware-protocol/codec/plain-number.ts'
import type { RefusalReason } from '../../firmware-protocol/codec/sentence.ts'
import { decodeXdr } from '../../firmware-protocol/codec/xdr.ts'
import { type AddCommand, BadInput } from './command.ts'

/** One line of standard output. */
type Told = { readonly ok: true } | { readonly ok: false; readonly reason: RefusalReason }
type Reader = (line: string) => Told

const READERS = new Map<string, Reader>([
  ['native', decodeLine],
  ['nmea-xdr', decodeXdr],
  ['number', decodeNumber],
])

const OVERLONG: Told = { ok: false, reason: 'overlong' }

/** @throws BadInput for a dialect that is none, or not one of a stream. */
export function readerOf(dialect: string): Reader {
  const reader = READERS.get(dialect)
  if (reader) return reader
  const known = [...READERS.keys()].join(', ')
  throw new BadInput(
    dialect === 'modbus-rtu'
      ? `--dialect modbus-rtu is polled and cannot be read from a stream; take one of ${known}.`
      : `--dialect takes one of ${known}, got "${dialect}".`,
  )
}

/**
 * Bytes in, JSON lines out: one for each line of the input, empty ones apart. It holds one chunk's worth of
 * output at most, and reads on only when that is taken.
 */
export async function* tellLines(
  bytes: AsyncIterable<Uint8Array>,
  read: Reader,
): AsyncGenerator<string> {
  let told = ''
  const tell = (line: Told) => {
    told += `${JSON.stringify(line)}\n`
  }
  const splitter = makeLineSplitter(
    (line) => tell(read(line)),
    () => tell(OVERLONG),
  )
  for await (const chunk of bytes) {
    splitter.push(chunk)
    if (told !== '') yield told
    told = ''
  }
  splitter.end()
  if (told !== '') yield told
}

/** A reader of our output that has seen enough, as `head` has, is no failure. */
function unlessPipeClosed(error: unknown): void {
  if (!(error instanceof Error && 'code' in error && error.code === 'EPIPE')) throw error
}

/** `overbend decode`. */
export const decode: AddCommand = (program) => {
  program
    .command('decode')
    .description('Read a sensor from standard input; write a JSON line for each of its lines.')
    .option(
      '--dialect <name>',
      `what the sensor speaks: ${[...READERS.keys()].join(', ')}`,
      'native',
    )
    .option('--json', 'taken for the sake of scripts; the output is JSON lines in any case')
    .action(async ({ dialect }: { dialect: string }) => {
      const read = readerOf(dialect)
      await pipeline(
        process.stdin,
        (bytes: AsyncIterable<Uint8Array>) => tellLines(bytes, read),
        process.stdout,
        { end: false },
      ).catch(unlessPipeClosed)
    })
}
