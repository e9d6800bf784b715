import { describe, expect, test } from 'vitest'
import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import type { Sentence } from '../../firmware-protocol/codec/sentence.ts'
import { readSessions, type Session } from '../protocol/session-file.ts'
import { FIRMWARE_NEEDS } from '../support/firmware.ts'
import { type FirmwareHost, openFirmware } from '../support/firmware-host.ts'
import { skipWithout } from '../support/needs.ts'

/**
 * The host's side of each golden session, byte by byte, said to the real firmware: it answers as the session's
 * device does. What a session's device is by its make (a board without a relay, one too busy for a clock query) is
 * not this one's.
 */
const ITS_OWN = new Set(['refused-commands.txt 31', 'refused-commands.txt 32'])

const spoken = (line: string): Sentence | null => {
  const decoded = decodeLine(line)
  return decoded.ok ? decoded.sentence : null
}

/** A reply as far as it is the same for every device: what is answered, and how. */
function replyOf(sentence: Sentence | null): { kind: string; command: number } | null {
  if (sentence?.kind === 'answer') return sentence
  if (sentence?.kind === 'clock-reply') return { kind: sentence.kind, command: sentence.command }
  return null
}

/** Replies of the session's device, by the name of the session and the command's number. */
const expected = ({ name, lines }: Session) =>
  lines
    .filter(({ from }) => from === 'device')
    .flatMap(({ line }) => replyOf(spoken(line)) ?? [])
    .filter((reply) => !ITS_OWN.has(`${name} ${reply.command}`))

const replies = (host: FirmwareHost) =>
  host.told().flatMap((line) => (line === 'refused' ? [] : (replyOf(line) ?? [])))

const sessions = readSessions().filter(({ lines }) => lines.some(({ from }) => from === 'host'))

describe.skipIf(skipWithout(...FIRMWARE_NEEDS))('the real firmware, asked as in', () => {
  test.for(sessions)('$name, answers as there', async (session, context) => {
    const host = await openFirmware(context)
    await host.hears('sample')
    for (const { from, line } of session.lines) {
      if (from !== 'host') continue
      host.sendBytes(`${line}\r\n`)
      // A host waits for each answer before it asks again.
      await host.lets(60)
    }
    const same = replies(host).filter((reply) => !ITS_OWN.has(`${session.name} ${reply.command}`))
    expect(same).toEqual(expected(session))
    expect(host.told()).not.toContain('refused')
  })

  test('are all that have a host in them', () => {
    expect(sessions.map(({ name }) => name)).toEqual([
      'clock-query.txt',
      'identify-and-version.txt',
      'output-time-to-live.txt',
      'refused-commands.txt',
      'set-rate.txt',
    ])
  })
})
