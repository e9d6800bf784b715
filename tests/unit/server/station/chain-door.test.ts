import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { makeRig } from '../../../support/station-rig.ts'

let rig: ReturnType<typeof makeRig>
beforeEach(() => {
  rig = makeRig({ seed: 3 })
  rig.station.start()
  rig.clock.advance(2)
})
afterEach(() => rig.close())

const of = (output: string) =>
  rig.station.chain.seen().outputs.find(({ block, port }) => `${block}.${port}` === output)

describe('the chain that runs', () => {
  test('is told with its blocks in the order of their steps, each connected as in its file', () => {
    const { revision, blocks, file } = rig.station.chain.view()
    expect(revision).toBe('die-encoder r1')
    expect(file['name']).toBe('die-encoder')
    const ids = blocks.map(({ id }) => id)
    for (const { id, inputs } of blocks)
      for (const { from } of inputs)
        if (from !== null)
          expect(ids.indexOf(from.split('.')[0] ?? '')).toBeLessThan(ids.indexOf(id))
    const smoother = blocks.find(({ id }) => id === 'smoother')
    expect(smoother?.inputs[0]).toMatchObject({ name: 'angle', of: 'deg', from: 'datum.angle' })
    expect(smoother?.parameters).toEqual({ noiseDeg: 0.03, accelDegPerS2: 150 })
    expect(smoother?.outputs.map(({ of }) => of)).toEqual(['deg', 'deg/s'])
  })

  test('shows what goes over each output from the first look on', () => {
    expect(of('scale.angle')?.good).toBe(0)
    rig.clock.advance(1)
    const seen = of('scale.angle')
    expect(seen?.good).toBeGreaterThan(100)
    expect(seen?.value).toEqual(expect.any(Number))
    expect(rig.station.chain.seen().nowS - (seen?.timeS ?? 0)).toBeLessThan(0.1)
  })

  test('goes on being watched while somebody asks, and is left in peace when nobody does', () => {
    of('scale.angle')
    for (let look = 0; look < 5; look++) {
      rig.clock.advance(5)
      expect(of('scale.angle')?.good).toBeGreaterThan(900 * (look + 1))
    }
    rig.clock.advance(11)
    expect(of('scale.angle')?.good).toBe(0)
  })

  test('is another one after another sensor, and that is then watched', () => {
    of('scale.angle')
    rig.clock.advance(1)
    rig.station.useSetup({
      station: 'Bench bender',
      die: { name: 'R114 rail die', odMm: 38.1, clrMm: 114.3 },
      tube: { odMm: 38.1, wallMm: 1.65, material: '316l-annealed', lot: 'RT-1' },
      sensor: { mount: 'arm', countsPerTurn: 16_384, direction: 'forward' },
    })
    expect(rig.station.chain.seen().revision).toBe('arm-encoder r1')
    rig.clock.advance(1)
    expect(of('scale.angle')?.good).toBeGreaterThan(100)
  })
})
