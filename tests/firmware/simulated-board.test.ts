import { describe, expect, test } from 'vitest'
import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import { until } from '../support/daemon.ts'
import { FIRMWARE_NEEDS } from '../support/firmware.ts'
import { openFirmware } from '../support/firmware-host.ts'
import { skipWithout } from '../support/needs.ts'

/** 10 bits a character; the chip's own divider makes it 2 % quicker. */
const CHAR_US = (1e7 / 115_200) * 0.975

describe.skipIf(skipWithout(...FIRMWARE_NEEDS))(
  'what the simulated board tells of its lines',
  () => {
    test('is nothing unless asked, then each line, when it was sent, and when it was there', async (context) => {
      const { board, hears, lets, told } = await openFirmware(context)
      await hears('sample')
      expect(board.lines()).toEqual([])
      board.order('tell-lines')
      await lets(1500)
      const lines = [...board.lines()]
      expect(lines.length).toBeGreaterThan(100)

      const first = decodeLine(lines[0]!.text)
      const from = told().findIndex((line) => first.ok && isSame(line, first.sentence))
      await until(
        async () => told().length,
        (count) => count >= from + lines.length,
        { seconds: 20, what: 'the last of these lines' },
      )
      for (const [nth, { text }] of lines.entries()) {
        const decoded = decodeLine(text)
        expect(decoded.ok && decoded.sentence).toEqual(told()[from + nth])
      }
      for (const [nth, { atUs, wallUs }] of lines.entries()) {
        const before = lines[nth - 1]
        const { text } = lines[nth]!
        if (before) expect(atUs - before.atUs).toBeGreaterThan((text.length + 2) * CHAR_US)
        // Simulated time is never ahead of the machine's clock, a microsecond of rounding aside.
        expect(wallUs - board.zeroUs() - atUs).toBeGreaterThan(-1)
      }
    })
  },
)

const isSame = (one: object | string, other: object) =>
  JSON.stringify(one) === JSON.stringify(other)
