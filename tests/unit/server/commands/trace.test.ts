import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { BadInput } from '../../../../server/commands/command.ts'
import { printedByTrace, tracedFile } from '../../../support/run-trace.ts'
import { dieMotion, type Sample, sampled, seeded } from '../../../support/synthetic-trace.ts'

const folder = mkdtempSync(join(tmpdir(), 'overbend-trace-'))
afterAll(() => rmSync(folder, { recursive: true }))

let files = 0
function written(text: string): string {
  files += 1
  const path = join(folder, `${files}.csv`)
  writeFileSync(path, text)
  return path
}

const csv = (samples: readonly Sample[], header = 't_s,angle_deg') =>
  `${header}\n${samples.map(({ timeS, angleDeg }) => `${timeS.toFixed(4)},${angleDeg.toFixed(3)}`).join('\n')}\n`

const bend = () => dieMotion().rest(0.6).stroke(30, 12, 0.1).hold(0.5).letOff(1.5, 0.1, 1.5)
const samples = sampled(bend(), { rateHz: 100, noiseDeg: 0.02, quantumDeg: 0.01 }, seeded(11))

describe('the document that trace prints', () => {
  it('has the fields that scripts rely on, and the goes', async () => {
    const { cycles } = await tracedFile(written(csv(samples)))
    expect(Object.keys(cycles[0]!)).toEqual(
      expect.arrayContaining([
        'datumDeg',
        'peakDeg',
        'releasedDeg',
        'strokes',
        'peakAtS',
        'releasedAtS',
      ]),
    )
    expect(cycles[0]!.goes).toHaveLength(1)
    expect(cycles[0]!.peakDeg).toBeCloseTo(30, 1)
    expect(cycles[0]!.releasedDeg).toBeCloseTo(28.5, 1)
  })

  it('has no cycle for a file in which nothing moves', async () => {
    const still = sampled(
      dieMotion().rest(3),
      { rateHz: 50, noiseDeg: 0.03, quantumDeg: 0 },
      seeded(2),
    )
    const path = written(csv(still))
    expect((await tracedFile(path)).cycles).toEqual([])
    expect(await printedByTrace([path])).toBe('No bend in this trace.\n')
  })

  it('is a table without --json', async () => {
    const [header, row] = (await printedByTrace([written(csv(samples))])).split('\n')
    expect(header).toMatch(/bend +datum +peak +released/)
    expect(row).toMatch(/1 +-?0\.0\d° +(29\.9|30\.0)\d° +28\.\d\d°/)
  })

  it('takes columns in any order, other columns, a byte order mark and blank lines', async () => {
    const rows = samples.map(
      ({ timeS, angleDeg }) => `x,${angleDeg.toFixed(3)},9,${timeS.toFixed(4)}`,
    )
    const plain = await tracedFile(written(csv(samples)))
    const mixed = await tracedFile(
      written(`\uFEFFnote,"angle_deg",bar,t_s\r\n${rows.join('\r\n')}\r\n\r\n`),
    )
    expect(mixed).toEqual(plain)
  })

  it('follows the readout over 360° and on from 0°', async () => {
    const wrapped = samples.map(({ timeS, angleDeg }) => ({
      timeS,
      angleDeg: (angleDeg + 345) % 360,
    }))
    const { cycles } = await tracedFile(written(csv(wrapped)))
    const plain = await tracedFile(written(csv(samples)))
    expect(cycles[0]!.datumDeg).toBeCloseTo(345, 1)
    expect(cycles[0]!.peakDeg).toBeCloseTo(plain.cycles[0]!.peakDeg, 3)
    expect(cycles[0]!.releasedDeg).toBeCloseTo(plain.cycles[0]!.releasedDeg!, 3)
  })

  it('with the sensor on the arm gives the peak, no released angle, and the reason', async () => {
    const { cycles, note } = await tracedFile(written(csv(samples)), '--mount', 'arm')
    expect(cycles[0]!.peakDeg).toBeCloseTo(30, 1)
    expect([cycles[0]!.releasedDeg, cycles[0]!.releasedAtS, cycles[0]!.releasedSeDeg]).toEqual([
      null,
      null,
      null,
    ])
    expect(cycles[0]!.goes[0]!.releasedDeg).toBeNull()
    expect(note).toMatch(/no released angle/)
  })

  it('with a datum given leaves out the slack before it', async () => {
    const shifted = samples.map(({ timeS, angleDeg }) => ({ timeS, angleDeg: angleDeg + 100 }))
    const { cycles } = await tracedFile(written(csv(shifted)), '--datum', '102.5')
    expect(cycles[0]!.datumDeg).toBe(102.5)
    expect(cycles[0]!.peakDeg).toBeCloseTo(27.5, 1)
  })
})

describe('a file that is no trace is refused in one sentence', () => {
  const head = 't_s,angle_deg\n0,1\n'
  it.each([
    [
      'no header column for the time',
      'time,angle_deg\n0,1\n',
      /line 1: the header has no column t_s/,
    ],
    ['no header column for the angle', 't_s,angle\n0,1\n', /no column angle_deg/],
    ['no header', '0,1\n0.1,2\n', /no column t_s/],
    ['nothing in it', '', /no samples/],
    ['a header alone', 't_s,angle_deg\n', /no samples/],
    ['a word for a number', `${head}0.1,up\n`, /line 3: angle_deg takes a number, got "up"/],
    ['an empty cell', `${head}0.1,\n`, /line 3: angle_deg takes a number, got ""/],
    ['a missing cell', `${head}0.1\n`, /line 3: angle_deg takes a number/],
    [
      'an infinite angle',
      `${head}0.1,Infinity\n`,
      /line 3: angle_deg takes a number, got "Infinity"/,
    ],
    ['a time that is no number', `${head}NaN,2\n`, /line 3: t_s takes a number, got "NaN"/],
    ['a decimal comma', `${head}"0,1","2,5"\n`, /line 3: t_s takes a number/],
    ['time that goes back', `${head}2,1\n1,1\n`, /line 4: t_s goes back from 2 to 1/],
  ])('%s', async (_, text, sentence) => {
    const error = await tracedFile(written(text)).catch((thrown: unknown) => thrown)
    expect(error).toBeInstanceOf(BadInput)
    expect((error as Error).message).toMatch(sentence)
    expect((error as Error).message.split('\n')).toHaveLength(1)
  })

  it('a file that is not there, and a folder', async () => {
    await expect(tracedFile(join(folder, 'none.csv'))).rejects.toThrow(/none.csv is not there\./)
    await expect(tracedFile(folder)).rejects.toThrow(/is no file/)
  })

  it('a datum that is no number, and a mount that is none', async () => {
    const path = written(csv(samples))
    await expect(tracedFile(path, '--datum', 'left')).rejects.toThrow(
      /--datum takes auto or a number/,
    )
    await expect(tracedFile(path, '--datum', '')).rejects.toThrow(/--datum takes auto or a number/)
    await expect(tracedFile(path, '--mount', 'wall')).rejects.toThrow(/--mount/)
  })
})
