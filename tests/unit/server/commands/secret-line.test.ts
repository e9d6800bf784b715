import { PassThrough } from 'node:stream'
import { expect, test } from 'vitest'
import { secretLine } from '../../../../server/commands/secret-line.ts'

/** A terminal that notes how it was set. */
function makeTerminal() {
  const modes: boolean[] = []
  const terminal = Object.assign(new PassThrough(), {
    isRaw: false,
    setRawMode(isRaw: boolean) {
      modes.push(isRaw)
      return terminal
    },
  })
  return { terminal: terminal as unknown as Parameters<typeof secretLine>[0] & PassThrough, modes }
}

test.each([
  ['rails and ladders\r', 'rails and ladders'],
  ['rails and ladders\nnext line', 'rails and ladders'],
  ['railz\u007fsx\b\r', 'rails'],
  ['Größe 🔩x\u007f\r', 'Größe 🔩'],
  ['\u007f\u007fa\r', 'a'],
  ['\r', ''],
  ['half a pass\u0003', null],
])('%j typed is %j, and the terminal is as before', async (typed, expected) => {
  const { terminal, modes } = makeTerminal()
  const line = secretLine(terminal)
  terminal.write(typed)
  expect(await line).toBe(expected)
  expect(modes).toEqual([true, false])
  expect(terminal.listenerCount('data')).toBe(0)
})

test('key by key is one line', async () => {
  const { terminal } = makeTerminal()
  const line = secretLine(terminal)
  for (const key of 'ninety\r') terminal.write(key)
  expect(await line).toBe('ninety')
})

test('a terminal that is closed gives none', async () => {
  const { terminal, modes } = makeTerminal()
  const line = secretLine(terminal)
  terminal.end('half')
  expect(await line).toBeNull()
  expect(modes).toEqual([true, false])
})
