import { beforeEach, describe, expect, it } from 'vitest'
import {
  makeNameSearch,
  type NameSearch,
  noteFound,
  noteLost,
  otherName,
  shallLookElsewhere,
} from '../../../../server/link/name-search.ts'

describe('the search for a board under another name', () => {
  let search: NameSearch
  beforeEach(() => {
    search = makeNameSearch('/dev/ttyACM0')
    noteFound(search, ['/dev/ttyS0', '/dev/ttyUSB3'])
    noteLost(search, 10)
  })

  it('begins 2 s after the name has gone', () => {
    expect(shallLookElsewhere(search, 11.9)).toBe(false)
    expect(shallLookElsewhere(search, 12)).toBe(false)
    expect(shallLookElsewhere(search, 12.01)).toBe(true)
  })

  it('counts from the first loss, not from the last attempt', () => {
    noteLost(search, 13)
    expect(shallLookElsewhere(search, 13.5)).toBe(true)
  })

  it('never begins for a board that was never there', () => {
    const fresh = makeNameSearch('/dev/ttyACM0')
    noteLost(fresh, 0)
    expect(shallLookElsewhere(fresh, 1000)).toBe(false)
  })

  it('is over when the board is back', () => {
    noteFound(search, [])
    expect(shallLookElsewhere(search, 1000)).toBe(false)
  })

  it.each([
    ['the one that is new', ['/dev/ttyS0', '/dev/ttyUSB3', '/dev/ttyACM1'], '/dev/ttyACM1'],
    ['the same one told twice', ['/dev/ttyACM1', '/dev/ttyACM1'], '/dev/ttyACM1'],
    ['none when none is new', ['/dev/ttyS0', '/dev/ttyUSB3'], null],
    ['none when there are two', ['/dev/ttyACM1', '/dev/ttyACM2'], null],
    ['none when there is nothing', [], null],
    ['not its own name', ['/dev/ttyACM0'], null],
    ['the other one when its own is there too', ['/dev/ttyACM0', '/dev/ttyACM1'], '/dev/ttyACM1'],
  ])('takes %s', (_what, ports, name) => {
    expect(otherName(search, ports)).toBe(name)
  })

  it('leaves out what was tried and was another board, until ours is found', () => {
    search.rejected.add('/dev/ttyACM1')
    expect(otherName(search, ['/dev/ttyACM1'])).toBeNull()
    expect(otherName(search, ['/dev/ttyACM1', '/dev/ttyACM2'])).toBe('/dev/ttyACM2')
    noteFound(search, [])
    expect(otherName(search, ['/dev/ttyACM1'])).toBe('/dev/ttyACM1')
  })
})
