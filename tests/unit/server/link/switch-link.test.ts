import { beforeEach, describe, expect, test } from 'vitest'
import { makeAnnouncer } from '../../../../server/link/announcer.ts'
import type { Link, ReceivedLine, WireState } from '../../../../server/link/link.ts'
import { makeLinkSwitch } from '../../../../server/link/switch-link.ts'

interface FakeLink extends Link {
  readonly told: string[]
  speak(text: string): void
  set(state: WireState['state']): void
  /** Lets a close that waits come to its end. */
  letGo(): void
}

function makeFakeLink(name: string): FakeLink {
  const announcer = makeAnnouncer(name)
  const told: string[] = []
  let letGo = (): void => undefined
  return {
    onLines: announcer.onLines,
    onState: announcer.onState,
    state: announcer.state,
    told,
    open: () => void told.push('open'),
    close() {
      told.push('close')
      return new Promise((resolve) => {
        letGo = () => {
          told.push('closed')
          resolve()
        }
      })
    },
    send(line) {
      told.push(`send ${line}`)
      return true
    },
    judged: (...counts) => void told.push(`judged ${counts.join(' ')}`),
    speak: (text) => announcer.lines([{ arrivalS: 1, text }]),
    set: (state) => announcer.set({ state }),
    letGo: () => letGo(),
  }
}

let first: FakeLink
let second: FakeLink
let lines: ReceivedLine[]
let sources: string[]
let link: ReturnType<typeof makeLinkSwitch>
beforeEach(() => {
  first = makeFakeLink('first')
  second = makeFakeLink('second')
  lines = []
  sources = []
  link = makeLinkSwitch(first)
  link.onLines((batch) => lines.push(...batch))
  link.onState(({ source, state }) => sources.push(`${source} ${state}`))
})
const turn = () => new Promise((resolve) => setImmediate(resolve))

describe('a change of the wire', () => {
  test('is heard by who listens already: lines and state of the new one only', async () => {
    link.open()
    first.speak('a')
    void link.use(second)
    first.speak('b')
    first.set('lost')
    second.speak('c')
    second.set('live')
    expect(lines.map(({ text }) => text)).toEqual(['a', 'c'])
    expect(sources).toEqual(['second opening', 'second live'])
    expect(link.state().source).toBe('second')
  })

  test('lets the old one go before it opens the new one', async () => {
    link.open()
    void link.use(second)
    await turn()
    expect(first.told).toEqual(['open', 'close'])
    expect(second.told).toEqual([])
    first.letGo()
    await turn()
    expect(second.told).toEqual(['open'])
  })

  test('before anything is open opens nothing', async () => {
    void link.use(second)
    await turn()
    expect(first.told).toEqual([])
    expect(second.told).toEqual([])
    link.open()
    expect(second.told).toEqual(['open'])
  })

  test('changed again meanwhile opens the last one only', async () => {
    const third = makeFakeLink('third')
    link.open()
    void link.use(second)
    void link.use(third)
    first.letGo()
    second.letGo()
    await turn()
    expect(second.told).toEqual(['close', 'closed'])
    expect(third.told).toEqual(['open'])
  })

  test('while the daemon ends opens nothing any more', async () => {
    link.open()
    void link.use(second)
    const ended = link.close()
    first.letGo()
    second.letGo()
    await ended
    expect(second.told).toEqual(['close', 'closed'])
  })
})

test('what is said and judged goes to the wire in force', () => {
  void link.use(second)
  expect(link.send('x')).toBe(true)
  link.judged(3, 2, 1)
  expect(second.told).toEqual(['send x', 'judged 3 2 1'])
  expect(first.told).toEqual([])
})
