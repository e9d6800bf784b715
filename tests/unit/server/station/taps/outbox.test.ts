import { expect, test } from 'vitest'
import { Outbox } from '../../../../../server/station/taps/outbox.ts'
import { NotLetOut } from '../../../../../server/station/taps/tap.ts'
import { makeSimulatedClock } from '../../../../support/simulated-clock.ts'

/** An outbox over an end that fails while `fails` is set, and keeps what it was sent. */
function makeOutbox(parts: { waitingMax?: number; batchMax?: number; gatherS?: number } = {}) {
  const clock = makeSimulatedClock()
  const end = {
    fails: null as Error | null,
    /** Until it settles, the end takes nothing. */
    busy: Promise.resolve() as Promise<unknown>,
    tries: [] as number[],
    sent: [] as number[][],
  }
  const outbox = new Outbox<number>({
    ...{ clock, after: Promise.resolve(), waitingMax: 5, batchMax: 3, gatherS: 1, ...parts },
    async send(items) {
      end.tries.push(clock.nowS())
      await end.busy
      if (end.fails !== null) throw end.fails
      end.sent.push([...items])
    },
  })
  return {
    clock,
    end,
    outbox,
    put: (...all: number[]) => all.forEach((one) => void outbox.put(one)),
  }
}

test('gathers for a while, then sends in order, so many at once', async () => {
  const { clock, end, outbox, put } = makeOutbox()
  put(1, 2, 3, 4)
  await clock.run(0.9)
  expect(end.sent).toEqual([])
  await clock.run(0.2)
  expect(end.sent).toEqual([[1, 2, 3], [4]])
  expect(outbox.standing()).toEqual({ sent: 4, waiting: 0, dropped: 0, refused: 0, trouble: null })
})

test('what fails waits in its order, is tried less and less often, and follows when it goes again', async () => {
  const { clock, end, outbox, put } = makeOutbox()
  end.fails = new NotLetOut('The far end is away.')
  put(1, 2)
  await clock.run(60)
  const gaps = end.tries.slice(1).map((atS, nth) => atS - (end.tries[nth] ?? 0))
  expect(gaps.slice(0, 5).map((gap) => Math.round(gap * 100) / 100)).toEqual([0.25, 0.5, 1, 2, 4])
  expect(Math.max(...gaps)).toBeLessThanOrEqual(5.01)
  expect(outbox.standing()).toMatchObject({ waiting: 2, trouble: 'The far end is away.' })
  put(3)
  end.fails = null
  await clock.run(6)
  expect(end.sent.flat()).toEqual([1, 2, 3])
  expect(outbox.standing()).toMatchObject({ sent: 3, waiting: 0, dropped: 0, trouble: null })
})

test('when too much waits the oldest is left out and counted', async () => {
  const { clock, end, outbox, put } = makeOutbox()
  end.fails = new NotLetOut('Away.')
  put(1, 2, 3, 4, 5, 6, 7)
  await clock.run(3)
  put(8)
  expect(outbox.standing()).toMatchObject({ waiting: 5, dropped: 3 })
  end.fails = null
  await clock.run(6)
  expect(end.sent.flat()).toEqual([4, 5, 6, 7, 8])
})

test('what is in hand is neither sent twice nor lost when more comes meanwhile', async () => {
  const { clock, end, outbox, put } = makeOutbox({ waitingMax: 2 })
  let free = (): void => undefined
  end.busy = new Promise<void>((resolve) => {
    free = resolve
  })
  put(1, 2)
  await clock.run(1.1)
  put(3, 4, 5)
  expect(outbox.standing()).toMatchObject({ waiting: 4, dropped: 1 })
  free()
  await clock.run(2)
  expect(end.sent).toEqual([
    [1, 2],
    [4, 5],
  ])
})

test('what is refused for good is counted and makes room for the next', async () => {
  const { clock, end, outbox, put } = makeOutbox({ batchMax: 1 })
  end.fails = new NotLetOut('No such place (404).', true)
  put(1)
  await clock.run(1.1)
  end.fails = null
  put(2)
  await clock.run(1.1)
  expect(end.sent).toEqual([[2]])
  expect(outbox.standing()).toMatchObject({ sent: 1, refused: 1, dropped: 0, trouble: null })
})

test('closing sends what waits, and takes nothing more', async () => {
  const { end, outbox, put, clock } = makeOutbox()
  put(1, 2, 3, 4)
  await outbox.close(2)
  put(5)
  expect(end.sent.flat()).toEqual([1, 2, 3, 4])
  expect(clock.waiting()).toBe(0)
})

test('closing waits for no end that hangs, and counts what is left out', async () => {
  const { clock, end, outbox, put } = makeOutbox({ batchMax: 1 })
  end.busy = new Promise(() => undefined)
  put(1, 2, 3)
  const closed = outbox.close(2)
  await clock.run(2.1)
  await closed
  expect(end.sent).toEqual([])
  expect(outbox.standing().dropped).toBe(2)
})
