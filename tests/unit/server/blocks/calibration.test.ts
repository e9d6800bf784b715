import { describe, expect, test } from 'vitest'
import { calibration } from '../../../../server/blocks/calibration.ts'
import { BAD, GOOD, NONE, UNCERTAIN } from '../../../../server/chain/column.ts'
import { curveAt } from '../../../../server/quality/calibration-curve.ts'
import { flawed, nothing, oneBlock } from './one-block.ts'

const corrected = (parameters: Record<string, unknown>, readoutDeg: number) =>
  oneBlock(calibration, parameters).feed([{ angle: readoutDeg }])[0]!.value

describe('degrees', () => {
  test.each([
    ['as they are without a calibration', {}, 123.456, 123.456],
    ['times the scale', { scale: 0.99 }, 200, 198],
    ['below zero', { scale: 1.01 }, -100, -101],
    ['the cosine of once a turn', { onceCosDeg: 0.3 }, 180, 179.7],
    ['the sine of once a turn', { onceSinDeg: 0.3 }, 90, 90.3],
    ['the cosine of twice a turn', { twiceCosDeg: 0.2 }, 90, 89.8],
    ['the sine of twice a turn', { twiceSinDeg: 0.2 }, 45, 45.2],
    [
      'the same a turn further',
      { onceSinDeg: 0.3, twiceSinDeg: 0.2 },
      405,
      405 + 0.2 + 0.3 * Math.SQRT1_2,
    ],
  ])('%s', (_, parameters, readoutDeg, angleDeg) => {
    expect(corrected(parameters, readoutDeg)).toBeCloseTo(angleDeg, 12)
  })

  test('are those of the fitted curve but for its offset, all round', () => {
    const harmonics = [
      { cosDeg: 0.21, sinDeg: -0.34 },
      { cosDeg: -0.05, sinDeg: 0.08 },
    ]
    const parameters = {
      scale: 1.003,
      onceCosDeg: 0.21,
      onceSinDeg: -0.34,
      twiceCosDeg: -0.05,
      twiceSinDeg: 0.08,
    }
    for (let readoutDeg = -400; readoutDeg <= 400; readoutDeg += 7.3)
      expect(corrected(parameters, readoutDeg)).toBeCloseTo(
        curveAt({ scale: 1.003, offsetDeg: 0, harmonics }, readoutDeg),
        10,
      )
  })
})

test('quality is never raised, and no value stays none', () => {
  const rows = [{ angle: flawed(1, UNCERTAIN) }, { angle: flawed(1, BAD) }, { angle: nothing }]
  const out = oneBlock(calibration, { onceSinDeg: 0.1 }).feed(rows)
  expect(out.map(({ quality }) => quality)).toEqual([UNCERTAIN, BAD, NONE])
})

describe('the readout it tells', () => {
  test('is what came in, uncorrected, and only where something came', () => {
    const block = oneBlock(calibration, { scale: 2 })
    block.feed([
      { timeS: 1, angle: 10 },
      { timeS: 2, angle: nothing },
      { timeS: 3, angle: flawed(11, BAD) },
    ])
    expect(block.emitted).toEqual([{ timeS: [1, 3], readoutDeg: [10, 11], quality: [GOOD, BAD] }])
  })

  test('is nothing for a batch without a value', () => {
    const block = oneBlock(calibration)
    block.feed([{ angle: nothing }, {}])
    expect(block.emitted).toEqual([])
  })
})
