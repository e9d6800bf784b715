import { describe, expect, test } from 'vitest'
import { catalogue } from '../../../../server/blocks/index.ts'
import { compileChain } from '../../../../server/chain/chain.ts'
import type { ChainFile } from '../../../../server/chain/chain-file.ts'
import { MOUNTS, type PressureChannel, type Sensor } from '../../../../server/messages/sensor.ts'
import type { Wire } from '../../../../server/messages/wire.ts'
import { AS_BOARD_SAYS, chainFor, readsAlike } from '../../../../server/station/chain-for.ts'

const sensor = (change: Partial<Sensor>): Sensor => ({ ...AS_BOARD_SAYS, ...change })
const parametersOf = ({ blocks }: ChainFile, id: string) =>
  blocks.find((block) => block.id === id)?.parameters
const kindsOf = ({ blocks }: ChainFile) => blocks.map(({ kind }) => kind)

const PRESSURE: PressureChannel = {
  kind: 'pressure',
  zeroCounts: 102,
  fullCounts: 921,
  fullBar: 250,
  letOffBar: 6,
}
const SWITCH = { kind: 'switch', closedWhen: 'zero' } as const
const XDR: Wire = {
  kind: 'tcp',
  host: 'bender',
  port: 4001,
  dialect: 'nmea-xdr',
  options: { pressureName: '*' },
}

describe('the chain of a sensor', () => {
  test('leaves the counts to the board where the set-up does', () => {
    const chain = chainFor(AS_BOARD_SAYS)
    expect(parametersOf(chain, 'unwrap')).toMatchObject({ countsPerTurn: 0 })
    expect(parametersOf(chain, 'scale')).toMatchObject({ countsPerTurn: 0, direction: 1 })
  })
  test('turns round for a sensor that is read the other way', () => {
    const chain = chainFor(sensor({ countsPerTurn: 4096, direction: 'reversed' }))
    expect(parametersOf(chain, 'scale')).toMatchObject({ countsPerTurn: 4096, direction: -1 })
  })
  test('knows the gear before the encoder', () => {
    expect(parametersOf(chainFor(sensor({ turnDeg: 90 })), 'scale')).toMatchObject({
      degPerTurn: 90,
    })
  })
  test.each<[Partial<Sensor>, boolean]>([
    [{}, true],
    [{ turnDeg: 360 }, true],
    [{ spindleDeg: 90 }, true],
    [{ turnDeg: 120 }, false],
    [{ countsPerTurn: 4096 }, false],
    [{ direction: 'reversed' }, false],
    [{ mount: 'arm' }, false],
    [{ mount: 'leg-tilt' }, false],
    [{ second: PRESSURE }, false],
  ])('is the same for %j: %s', (change, isAlike) => {
    expect(readsAlike(AS_BOARD_SAYS, sensor(change))).toBe(isAlike)
    const [one, other] = [AS_BOARD_SAYS, sensor(change)].map((each) =>
      JSON.stringify(chainFor(each)),
    )
    expect(one === other).toBe(isAlike)
  })
})

describe('every mount has its chain', () => {
  test.each<[string, Partial<Sensor>]>([
    ['die-encoder r1', { mount: 'die' }],
    ['die-encoder-pressure r1', { mount: 'die', second: PRESSURE }],
    ['die-encoder-pressure-auto r1', { mount: 'die', second: PRESSURE, autoDatum: true }],
    ['die-encoder-switch-auto r1', { mount: 'die', second: SWITCH, autoDatum: true }],
    ['arm-encoder r1', { mount: 'arm' }],
    ['arm-encoder-pressure r1', { mount: 'arm', second: PRESSURE, autoDatum: false }],
    ['arm-encoder-switch r1', { mount: 'arm', second: SWITCH }],
    ['swing-tilt r1', { mount: 'swing-tilt' }],
    ['swing-tilt-arm r1', { mount: 'swing-tilt', tiltOn: 'arm' }],
    ['leg-tilt r1', { mount: 'leg-tilt' }],
  ])('%s for %j', (revision, change) => {
    expect(compileChain(chainFor(sensor(change)), catalogue).revision).toBe(revision)
  })

  test.each(MOUNTS)('%s over a dialect that is not ours', (mount) => {
    const chain = compileChain(chainFor(sensor({ mount }), XDR), catalogue)
    expect(chain.revision).toBe(`${mount}-nmea-xdr-pressure r1`)
    expect(kindsOf(chain.file).includes('join-strokes')).toBe(mount === 'arm')
  })

  test('only an arm joins strokes and loses sight of the tube', () => {
    const arms: Partial<Sensor>[] = [{ mount: 'arm' }, { mount: 'swing-tilt', tiltOn: 'arm' }]
    for (const change of arms)
      expect(parametersOf(chainFor(sensor(change)), 'bend-watch')).toEqual({ losesSight: true })
    for (const mount of ['die', 'swing-tilt', 'leg-tilt'] as const)
      expect(parametersOf(chainFor(sensor({ mount })), 'bend-watch')).toBeUndefined()
  })

  test('the figures of the set-up reach the blocks', () => {
    const arm = { biteDeg: 15, backlashDeg: 1.5 }
    const chain = chainFor(sensor({ mount: 'arm', arm, second: PRESSURE, autoDatum: true }))
    const { letOffBar, kind: _, ...line } = PRESSURE
    expect(parametersOf(chain, 'join-strokes')).toEqual(arm)
    expect(parametersOf(chain, 'pressure')).toEqual(line)
    expect(parametersOf(chain, 'let-off')).toEqual({ letOffBar })
    expect(parametersOf(chain, 'auto-datum')).toEqual({ letOffBar })
    const axes = { sine: '-y', cosine: '+z' } as const
    const tilt = sensor({ mount: 'leg-tilt', axes, countsPerTurn: 4096, direction: 'reversed' })
    expect(parametersOf(chainFor(tilt), 'tilt')).toEqual({
      ...axes,
      countsPerG: 4096,
      direction: -1,
    })
    const closed = chainFor(sensor({ mount: 'arm', second: SWITCH }))
    expect(parametersOf(closed, 'switch')).toEqual({ closedWhen: 'zero' })
  })

  test('an automatic datum is off unless it is asked for, and needs a load to be seen', () => {
    expect(kindsOf(chainFor(sensor({ second: PRESSURE })))).not.toContain('auto-datum')
    expect(kindsOf(chainFor(sensor({ autoDatum: true })))).not.toContain('auto-datum')
  })
})
