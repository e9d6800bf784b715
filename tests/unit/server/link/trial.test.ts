import { describe, expect, it } from 'vitest'
import { decodeLine } from '../../../../firmware-protocol/codec/decode.ts'
import { encodeSentence } from '../../../../firmware-protocol/codec/encode.ts'
import { beginTrial, tryLines, WHO_ARE_YOU } from '../../../../server/link/trial.ts'

const hello = (board: string): string =>
  encodeSentence({
    kind: 'hello',
    protocol: 1,
    firmware: '1.0',
    board,
    sensor: 'absolute',
    countsPerTurn: 4096,
    rateHz: 200,
  })
const lines = (...texts: string[]) => texts.map((text, at) => ({ arrivalS: at, text }))
const isOurs = (board: string): boolean => board === 'OURS'

describe('a port on trial', () => {
  it('is asked in words that the protocol knows', () => {
    expect(decodeLine(WHO_ARE_YOU)).toMatchObject({ ok: true, sentence: { kind: 'identify' } })
  })

  it.each([
    ['our hello', lines(hello('OURS')), true],
    ['another hello', lines(hello('THEIRS')), false],
    [
      'a hello after other lines',
      lines('noise', '$PXOBS,0,5000,0,0,,6278*68', hello('OURS')),
      true,
    ],
    ['the first hello decides', lines(hello('THEIRS'), hello('OURS')), false],
    ['no hello', lines('$PXOBS,0,5000,0,0,,6278*68'), null],
    ['a spoilt hello', lines(hello('OURS').replace('OURS', 'OURZ')), null],
    ['nothing', [], null],
  ])('%s', (_what, batch, verdict) => {
    expect(tryLines(beginTrial(0), batch, isOurs)).toBe(verdict)
  })

  it('keeps its lines for the day they turn out to be ours', () => {
    const trial = beginTrial(0)
    tryLines(trial, lines('a'), isOurs)
    tryLines(trial, lines('b', hello('OURS')), isOurs)
    expect(trial.kept.map(({ text }) => text)).toEqual(['a', 'b', hello('OURS')])
  })

  it('keeps the last 256 and no more', () => {
    const trial = beginTrial(0)
    for (let batch = 0; batch < 1000; batch++)
      tryLines(trial, lines(`${batch}a`, `${batch}b`), isOurs)
    expect(trial.kept.length).toBe(256)
    expect(trial.kept.at(-1)?.text).toBe('999b')
  })

  it('has four seconds', () => {
    expect(beginTrial(100).untilS).toBe(104)
  })
})
