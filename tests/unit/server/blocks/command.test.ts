import { expect, test } from 'vitest'
import { command } from '../../../../server/blocks/command.ts'
import { oneBlock } from './one-block.ts'
import { fromDevice, fromHost } from './wire.ts'

const commands = (...lines: ReturnType<typeof fromHost>[]) =>
  oneBlock(command)
    .feed(lines.map((line) => ({ line })))
    .map(({ all }) => all['command'])

test.each([
  ['datum', { act: 'datum' }],
  ['aim 92.35 0.25 1', { act: 'aim', commandedDeg: 92.35, leadS: 0.25, toleranceDeg: 1 }],
  ['no-aim', { act: 'no-aim' }],
  ['close accepted', { act: 'close', reason: 'accepted' }],
  ['link lost', { act: 'link', state: 'lost' }],
  ['touch', { act: 'touch' }],
  ['checked 30.4', { act: 'checked', checkedDeg: 30.4 }],
  ['checked -1', { act: 'checked', checkedDeg: -1 }],
])('%s', (text, expected) => {
  expect(commands(fromHost(text))).toEqual([expected])
})

test.each([
  '',
  'datums',
  'datum here',
  'no-aim 3',
  'aim',
  'aim 1 2',
  'aim x 2 3',
  'aim NaN 1 1',
  'link',
  'touch it',
  'checked',
  'checked ',
  'checked 30 31',
  'checked thirty',
  'checked Infinity',
  'DATUM',
])('"%s" is no command, and does no harm', (text) => {
  expect(commands(fromHost(text), fromHost('datum'))).toEqual([null, { act: 'datum' }])
})

test('what the device sends is never a command', () => {
  expect(commands(fromDevice('datum'))).toEqual([null])
})
