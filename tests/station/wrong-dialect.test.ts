import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { encodeSentence } from '../../firmware-protocol/codec/encode.ts'
import type { Refusal } from '../../server/messages/commands.ts'
import type { BendPage } from '../../server/messages/find.ts'
import type { WireChoice } from '../../server/messages/wire.ts'
import { until } from '../support/daemon.ts'
import { xdrLine } from '../support/dialect-lines.ts'
import { makeDie, makeFolder, plugInSensor, startOn } from '../support/dialect-rig.ts'
import { watchLive } from '../support/live-watch.ts'
import { SENSOR } from '../support/mount-rig.ts'
import { skipWithout } from '../support/needs.ts'

const RATE_HZ = 100

/** What a board may say, by its dialect; noise is none of them. */
const SPOKEN: Readonly<Record<string, () => (deg: number) => string>> = {
  native() {
    let sequence = 0
    return (deg) => {
      const counts = Math.round(deg * 10)
      const tickUs = 10_000 * sequence
      return encodeSentence({
        ...{ kind: 'sample', sequence: sequence++, tickUs, counts, flags: 0, second: null },
      })
    }
  },
  'nmea-xdr': () => (deg) => xdrLine(`A,${deg.toFixed(2)},D,BEND`),
  number: () => (deg) => deg.toFixed(2),
  noise() {
    let seed = 1
    const letter = () => {
      seed = (seed * 16_807) % 2_147_483_647
      return String.fromCharCode(33 + (seed % 90))
    }
    return () => Array.from({ length: 20 }, letter).join('')
  },
}

const serial = (path: string) => ({ kind: 'serial', path, baud: 115_200 }) as const
/** How it is read, by what the wire says it speaks. */
const READ: Readonly<Record<string, (path: string) => WireChoice>> = {
  native: (path) => ({ ...serial(path), dialect: 'native' }),
  'nmea-xdr': (path) => ({ ...serial(path), dialect: 'nmea-xdr', options: {} }),
  number: (path) => ({ ...serial(path), dialect: 'number', options: {} }),
  'modbus-rtu': (path) => ({
    ...{ kind: 'modbus', path, baud: 115_200 },
    options: { unitId: 1, function: 'input', register: 0, registersAs: 'int16' },
  }),
}

describe.skipIf(skipWithout('socat'))(
  'a board that speaks another dialect than its wire says',
  () => {
    test.for(Object.keys(SPOKEN))(
      '%s, read as each of the others: one sentence, and nothing applied',
      async (spoken, context) => {
        const folder = makeFolder(context)
        const path = join(folder, 'tty')
        const line = SPOKEN[spoken]?.() ?? (() => '')
        await plugInSensor(context, path, makeDie(12), { rateHz: RATE_HZ, burstMs: 10, line })
        const unread = join(folder, 'nobody')
        const { daemon, state } = await startOn(context, folder, ['--serial', unread], SENSOR)
        const live = watchLive(daemon)
        context.onTestFinished(() => live.socket.close())

        for (const [dialect, wire] of Object.entries(READ)) {
          if (dialect === spoken) continue
          expect((await daemon.send('PUT', '/api/wire', wire(path))).status).toBe(200)
          // Polled for registers it may answer nothing that is told from noise; else lines are heard.
          const told = dialect === 'modbus-rtu' ? ['garbled', 'silent'] : ['garbled']
          const { link, phase } = await until(
            state,
            (now) => now.link.source === path && told.includes(now.link.state),
            { seconds: 30, what: `${spoken} read as ${dialect}` },
          )
          expect(link.reason).toMatch(/^[A-Z][^.]*\.$/)
          expect(link.reason).toContain(path)
          expect(link.hint).toMatch(/^[A-Z].*\.$/)
          expect(link.counters.samples).toBe(0)
          expect(phase).toBe('no-datum')
          const { status, body } = await daemon.send('POST', '/api/station/act', { act: 'datum' })
          expect(status).toBe(409)
          expect((body as Refusal).sentence).toMatch(/^[A-Z].*\.$/)
        }
        expect(live.count()).toBe(0)
        expect((await daemon.get<BendPage>('/api/bends?limit=1')).total).toBe(0)
      },
    )
  },
)
