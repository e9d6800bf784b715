import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import type { Bend } from '../../server/messages/bends.ts'
import type { BendPage } from '../../server/messages/find.ts'
import type { StationState } from '../../server/messages/live.ts'
import type { Setup } from '../../server/messages/setup.ts'
import { startDaemon, until } from '../support/daemon.ts'
import { FIRMWARE_NEEDS, plugInFirmware } from '../support/firmware.ts'
import { makeHand } from '../support/firmware-host.ts'
import { watchLive } from '../support/live-watch.ts'
import { skipWithout } from '../support/needs.ts'

const COUNTS_PER_TURN = 4096
const countsOf = (deg: number) => Math.round((deg / 360) * COUNTS_PER_TURN)
const S = 1_000_000
/** Four times what the firmware follows without a loss (`npm run bench -- count-rate`). */
const TOO_FAST_PER_S = 280_000
const BAD = 2

const SETUP: Setup = {
  station: 'Bench',
  die: { name: 'R114 rail die', odMm: 38.1, clrMm: 114.3 },
  tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot: 'RT-2207' },
  sensor: { mount: 'die', countsPerTurn: 0, direction: 'forward' },
}
const JOB = { part: 'Rail', piece: 1, bendNumber: 1, wantedDeg: 30, toleranceDeg: 1, operator: 'T' }

describe.skipIf(skipWithout(...FIRMWARE_NEEDS))('an encoder too fast for the real firmware', () => {
  test('ends the bend, says so, and is trusted again from the next zero on', async ({
    onTestFinished,
  }) => {
    const folder = mkdtempSync(join(tmpdir(), 'overbend-fast-'))
    onTestFinished(() => rmSync(folder, { recursive: true, force: true }))
    const board = await plugInFirmware({ COUNTS_PER_TURN }, 'FAST')
    onTestFinished(() => board.stop())
    const hand = makeHand(board)
    onTestFinished(hand.rest)
    const daemon = await startDaemon(['--serial', board.tty, '--data', join(folder, 'data')])
    onTestFinished(async () => void (await daemon.stop()))
    await daemon.send('PUT', '/api/station/setup', SETUP)
    await daemon.send('PUT', '/api/station/job', JOB)
    const live = watchLive(daemon)
    onTestFinished(() => live.socket.close())
    const state = () => daemon.get<StationState>('/api/station')
    const phase = (wanted: StationState['phase']) =>
      until(state, (now) => now.phase === wanted, { seconds: 40, what: `the phase ${wanted}` })
    // A machine that is busy brings lines late, and of a reading that is not of now no zero is taken.
    const takeZero = () =>
      until(
        async () => {
          await daemon.send('POST', '/api/station/act', { act: 'datum' })
          await live.more(50)
          return { ...(await state()), quality: live.samples()?.quality.at(-1) }
        },
        (now) => now.phase === 'seated' && now.quality === 0,
        { seconds: 60, what: 'a zero, and an angle that is good' },
      )
    const move = (afterUs: number, counts: number) => hand.move({ afterUs, counts, pressed: false })

    await until(state, ({ link }) => link.counters.samples > 100, { seconds: 30, what: 'samples' })
    await takeZero()
    move(3 * S, countsOf(20))
    await phase('held')
    // Faster than it can count, and back: where it now stands, nobody knows.
    const fast = countsOf(20) + TOO_FAST_PER_S / 10
    move(S / 10, fast)
    move(S / 10, countsOf(20))

    const doubted = await until(state, ({ notices }) => notices.some(({ id }) => id === 'origin'), {
      seconds: 20,
      what: 'the notice',
    })
    expect(doubted.notices.find(({ id }) => id === 'origin')).toMatchObject({
      text: 'Counts of the encoder were lost, so zero and every angle are in doubt.',
      hint: 'Seat the tube and set the datum again.',
    })
    const { bends } = await until(
      () => daemon.get<BendPage>('/api/bends?limit=5'),
      ({ total }) => total === 1,
      { seconds: 20, what: 'the bend that was cut off' },
    )
    expect(await daemon.get<Bend>(`/api/bends/${bends[0]?.id}`)).toMatchObject({
      closedBy: 'counts lost',
      verdict: 'incomplete',
      releasedDeg: null,
      learned: 'no',
    })
    expect((await state()).aim?.bendsLearned).toBe(0)

    // The fault itself is over after a second; the doubt is not.
    await until(state, ({ notices }) => !notices.some(({ id }) => id === 'sensor'), {
      seconds: 20,
      what: 'the end of the fault',
    })
    await live.more(50)
    expect(live.samples()?.quality.at(-1)).toBe(BAD)
    expect((await state()).notices.map(({ id }) => id)).toContain('origin')
    await takeZero()
    expect((await state()).notices.map(({ id }) => id)).not.toContain('origin')
  })
})
