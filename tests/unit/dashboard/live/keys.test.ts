import { describe, expect, test } from 'vitest'
import { actOfKey } from '../../../../dashboard/live/keys.ts'

const press = (key: string, more = {}) => ({
  key,
  repeat: false,
  ctrlKey: false,
  altKey: false,
  metaKey: false,
  ...more,
})

describe('a key', () => {
  test.each([
    [' ', 'pedal'],
    ['Enter', 'pedal'],
    ['d', 'datum'],
    ['D', 'datum'],
    ['a', 'accept'],
    ['r', 'accept'],
    ['g', 'again'],
  ])('%j says %s', (key, act) => {
    expect(actOfKey(press(key), false)).toBe(act)
  })

  test.each(['x', 'F5', 'Escape', 'Tab', 'Delete', '', 'constructor'])('%j says nothing', (key) => {
    expect(actOfKey(press(key), false)).toBeNull()
  })

  test('held down speaks once only', () => {
    expect(actOfKey(press(' ', { repeat: true }), false)).toBeNull()
  })

  test.each(['ctrlKey', 'altKey', 'metaKey'])('with %s is left to the browser', (name) => {
    expect(actOfKey(press('d', { [name]: true }), false)).toBeNull()
  })

  test('is left to the control it is on', () => {
    expect(actOfKey(press('Enter'), true)).toBeNull()
  })

  test('never abandons a bend', () => {
    const keys = [...'abcdefghijklmnopqrstuvwxyz', 'Enter', ' ', 'Escape', 'Delete', 'Backspace']
    expect(keys.map((key) => actOfKey(press(key), false))).not.toContain('abandon')
  })
})
