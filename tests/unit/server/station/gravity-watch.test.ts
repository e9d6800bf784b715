import { describe, expect, test } from 'vitest'
import { encodeSentence } from '../../../../firmware-protocol/codec/encode.ts'
import { makeGravityWatch } from '../../../../server/station/gravity-watch.ts'

const axes = (x: number, y: number, z: number) =>
  encodeSentence({ kind: 'axes', sequence: 0, tickUs: 0, x, y, z, flags: 0 })
const hello = (sensor: 'accelerometer' | 'incremental', countsPerTurn = 4096) =>
  encodeSentence({
    kind: 'hello',
    protocol: 1,
    firmware: '1.0',
    board: 'B1',
    sensor,
    countsPerTurn,
    rateHz: 200,
  })
const heard = (...texts: string[]) => {
  const watch = makeGravityWatch()
  watch.hear(texts.map((text, nth) => ({ text, arrivalS: 10 + nth / 100 })))
  return watch
}

describe('gravity as the board shows it', () => {
  test('is the mean of the axes, in g by the hello', () => {
    const watch = heard(hello('accelerometer'), axes(0, 4096, -4096), axes(2048, 4096, 0))
    expect(watch.seen(10)).toEqual({ xG: 0.25, yG: 1, zG: -0.5 })
  })

  test('is that of the newest readings only', () => {
    const old = Array.from({ length: 200 }, () => axes(4096, 0, 0))
    const fresh = Array.from({ length: 64 }, () => axes(0, 0, 4096))
    expect(heard(hello('accelerometer'), ...old, ...fresh).seen(10)).toEqual({
      xG: 0,
      yG: 0,
      zG: 1,
    })
  })

  test.each([
    ['before the board said what a g is', [axes(0, 0, 4096)]],
    ['without a reading', [hello('accelerometer')]],
    ['of an encoder', [hello('incremental'), axes(0, 0, 4096)]],
    ['of a board before this one', [axes(0, 0, 4096), hello('accelerometer')]],
    ['in damaged lines', [hello('accelerometer'), axes(0, 0, 4096).replace('4096', '4095')]],
    ['in anything else', [hello('accelerometer'), '$PXOBX', '', 'garbage', '$GPGGA,1*00']],
  ])('is not known %s', (_, texts) => {
    expect(heard(...texts).seen(10)).toBeNull()
  })

  test('is not known any more after two seconds of silence', () => {
    const watch = heard(hello('accelerometer'), axes(0, 0, 4096))
    expect(watch.seen(12)).not.toBeNull()
    expect(watch.seen(12.1)).toBeNull()
  })

  test('is not read out of lines of the station', () => {
    const watch = heard(hello('accelerometer'))
    watch.hear([{ text: axes(0, 0, 4096), arrivalS: 10, from: 'host' }])
    expect(watch.seen(10)).toBeNull()
  })
})
