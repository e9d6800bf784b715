import type { TestContext } from 'vitest'
import { describe, expect, test } from 'vitest'
import type { StationState } from '../../server/messages/live.ts'
import { until } from '../support/daemon.ts'
import { skipWithout } from '../support/needs.ts'
import { makeTtyRig } from '../support/tty-rig.ts'

/** The die stands still: what is tested is what the output does when something goes away. */
const STILL = { segments: [{ holdS: 600 }] }
/** The board's time to live is half a second, the page's lease three: the rest is a loaded machine. */
const SOON_S = 15

async function armedRelay(context: Pick<TestContext, 'onTestFinished'>) {
  const rig = await makeTtyRig(context, { port: 'bender' })
  let isOn = false
  let changes = 0
  const board = await rig.plug('bender', {
    script: STILL,
    onOutput: ({ output, on }) => {
      if (output === 'relay') isOn = on
      changes += 1
    },
  })
  const { daemon } = rig
  const state = () => daemon.get<StationState>('/api/station')
  await until(state, ({ link }) => link.device !== null && link.state === 'live', {
    seconds: 30,
    what: 'the board',
  })
  const relay = (on: boolean) =>
    until(
      async () => isOn,
      (now) => now === on,
      { seconds: SOON_S, what: `the relay ${on ? 'on' : 'off'}` },
    )
  const armed = await daemon.send('PUT', '/api/output', { output: 'relay', understood: true })
  expect(armed.status).toBe(200)
  const page = setInterval(() => {
    daemon.send('POST', '/api/output/keep', {}).catch(() => undefined)
  }, 500)
  context.onTestFinished(() => clearInterval(page))
  await relay(true)
  return {
    ...rig,
    board,
    relay,
    state,
    changes: () => changes,
    closePage: () => clearInterval(page),
  }
}

const pause = (seconds: number) => new Promise((done) => setTimeout(done, seconds * 1000))

describe.skipIf(skipWithout('socat'))('an armed relay on a real tty', () => {
  test('stays on, without a flicker, as long as all is well', async (context) => {
    const { relay, state, changes } = await armedRelay(context)
    await pause(4)
    await relay(true)
    expect(changes()).toBe(1)
    expect((await state()).output).toEqual({
      armed: 'relay',
      follows: 'stop-cue',
      isOn: true,
      trouble: null,
    })
  })

  test('falls when the daemon is killed', async (context) => {
    const { daemon, relay } = await armedRelay(context)
    await daemon.kill()
    await relay(false)
  })

  test('falls when the cable is pulled, and is not armed again when it is back', async (context) => {
    const { board, relay, state } = await armedRelay(context)
    await board.cut()
    await relay(false)
    await board.mend()
    const { output } = await until(state, ({ link }) => link.state === 'live', {
      seconds: 30,
      what: 'the wire again',
    })
    expect(output).toMatchObject({ armed: null, isOn: false })
    expect(output.trouble).toContain('no angle')
    await pause(1)
    await relay(false)
  })

  test('falls when the page is closed', async (context) => {
    const { relay, state, closePage } = await armedRelay(context)
    closePage()
    await relay(false)
    expect((await state()).output.trouble).toContain('page')
  })

  test('falls when the chain is changed', async (context) => {
    const { daemon, relay, state } = await armedRelay(context)
    const setup = (await state()).setup?.setup
    const sensor = { ...setup?.sensor, direction: 'reversed' }
    await daemon.send('PUT', '/api/station/setup', { ...setup, sensor })
    await relay(false)
    expect((await state()).output.trouble).toContain('chain')
  })

  test('falls when the daemon is told to end', async (context) => {
    const { daemon, relay } = await armedRelay(context)
    await daemon.stop()
    await relay(false)
  })
})
