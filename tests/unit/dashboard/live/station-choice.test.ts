import { describe, expect, test } from 'vitest'
import { chosenKey, glanceOf, keyIn, pathAt } from '../../../../dashboard/live/station-choice.ts'
import type { StationRow } from '../../../../server/messages/stations.ts'

const row = (key: string, changes: Partial<StationRow> = {}): StationRow => ({
  ...{ key, name: key, isBench: false, link: 'live', phase: 'no-datum', cue: 'none' },
  ...changes,
})
const TWO = [row('left'), row('right')]

describe('a path', () => {
  test('goes to the chosen bender where each has its own, else to the daemon', () => {
    expect(pathAt('left', 'station/act')).toBe('stations/left/station/act')
    expect(pathAt('left', 'springback?setup=3')).toBe('stations/left/springback?setup=3')
    expect(pathAt('left', 'bends?limit=50')).toBe('bends?limit=50')
    expect(pathAt('left', 'stations')).toBe('stations')
    expect(pathAt(null, 'station/act')).toBe('station/act')
  })
})

describe('the bender that a page looks at', () => {
  test('is what the address says, even where there is none: never another one in its place', () => {
    expect(chosenKey('right', 'left', TWO)).toBe('right')
    expect(chosenKey('gone', 'left', TWO)).toBe('gone')
    expect(chosenKey('right', null, null)).toBe('right')
  })

  test('else what the device remembers, if it is there, else the first', () => {
    expect(chosenKey(null, 'right', TWO)).toBe('right')
    expect(chosenKey(null, 'gone', TWO)).toBe('left')
    expect(chosenKey(null, null, TWO)).toBe('left')
    expect(chosenKey(null, 'right', null)).toBe('right')
  })

  test('is not asked where there is one alone', () => {
    expect(chosenKey(null, 'right', [row('bender')])).toBeNull()
    expect(chosenKey(null, null, null)).toBeNull()
  })

  test('stands in the address', () => {
    expect(keyIn('?station=left')).toBe('left')
    expect(keyIn('?station=')).toBeNull()
    expect(keyIn('')).toBeNull()
  })
})

describe('at a glance', () => {
  test.each<[Partial<StationRow>, ReturnType<typeof glanceOf>]>([
    [{}, null],
    [{ phase: 'bending', cue: 'bend' }, 'bending'],
    [{ phase: 'bending', cue: 'stop' }, 'stop'],
    [{ phase: 'held', cue: 'over' }, 'stop'],
    [{ phase: 'held', cue: 'none' }, 'bending'],
    [{ phase: 'bending', cue: 'stop', link: 'lost' }, 'no-signal'],
  ])('%j: %s', (changes, glance) => expect(glanceOf(row('left', changes))).toBe(glance))
})
