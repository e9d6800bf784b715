import { describe, expect, it } from 'vitest'
import { readScript } from '../../../../firmware-protocol/bench/script-file.ts'

describe('a script file', () => {
  it('holds segments', () => {
    const segments = [
      { pedal: 'down' },
      { moveToDeg: 32, rateDegPerS: 8 },
      { holdS: 0.8 },
      { letOffDeg: 1.2, tauS: 0.08 },
    ]
    expect(readScript(JSON.stringify({ segments }))).toEqual({ segments })
  })

  it('or stops', () => {
    expect(readScript('{"stopsDeg":[31.5,92.8]}')).toEqual({ stopsDeg: [31.5, 92.8] })
  })

  it.each([
    ['nothing', '', 'not JSON'],
    ['half a file', '{"segments":[', 'not JSON'],
    ['a number', '5', 'must be a JSON object'],
    ['null', 'null', 'must be a JSON object'],
    ['no known key', '{"bends":[]}', 'got: bends'],
    ['both keys', '{"segments":[],"stopsDeg":[]}', 'and no more'],
    ['no key', '{}', 'and no more'],
    ['a list that is none', '{"segments":{}}', '"segments" must be a list'],
    ['a stop in words', '{"stopsDeg":[30,"31"]}', 'Stop 2 must be a number'],
    ['an unknown segment', '{"segments":[{"holdS":1},{"jumpDeg":3}]}', 'Segment 2'],
    ['a segment too much', '{"segments":[{"holdS":1,"pedal":"down"}]}', 'Segment 1'],
    ['a segment too little', '{"segments":[{"moveToDeg":1}]}', 'Segment 1'],
    ['a text for a number', '{"segments":[{"holdS":"1"}]}', 'Segment 1'],
    ['a pedal that hangs', '{"segments":[{"pedal":"sideways"}]}', 'Segment 1'],
    ['null in the list', '{"segments":[null]}', 'Segment 1'],
    ['a number in the list', '{"segments":[7]}', 'Segment 1'],
    ['an empty segment', '{"segments":[{}]}', 'Segment 1'],
  ])('with %s is refused in one sentence', (_what, text, words) => {
    expect(() => readScript(text)).toThrow(RangeError)
    expect(() => readScript(text)).toThrow(words)
  })
})
