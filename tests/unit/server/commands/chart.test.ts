import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Command } from 'commander'
import { afterAll, describe, expect, it, vi } from 'vitest'
import { chart } from '../../../../server/commands/chart.ts'
import { BadInput } from '../../../../server/commands/command.ts'
import type { ChartFigures } from '../../../../server/quality/chart-figures.ts'

const folder = mkdtempSync(join(tmpdir(), 'overbend-chart-'))
afterAll(() => rmSync(folder, { recursive: true }))

async function printed(text: string, ...flags: string[]): Promise<string> {
  const path = join(folder, 'values.csv')
  writeFileSync(path, text)
  let out = ''
  const write = vi.spyOn(process.stdout, 'write').mockImplementation((chunk) => {
    out += String(chunk)
    return true
  })
  const program = new Command('overbend').exitOverride()
  chart(program)
  try {
    await program.parseAsync(['chart', path, ...flags], { from: 'user' })
  } finally {
    write.mockRestore()
  }
  return out
}

const figures = async (text: string, ...flags: string[]): Promise<ChartFigures> =>
  JSON.parse(await printed(text, ...flags, '--json'))

const FLOW = '49.6\n47.6\n49.9\n51.3\n47.8\n51.2\n52.6\n52.4\n53.6\n52.1\n'
/** As a spreadsheet of a country with decimal commas saves it. */
const SEMI = 'off;x\n0,1;3\n0,2;4\n-0,1;4\n0,3;2\n'
const LIMITS = ['--lower', '46', '--upper', '56']

describe('overbend chart', () => {
  it('keeps apart sigma from moving ranges and sigma from all values', async () => {
    const found = await figures(FLOW, ...LIMITS)
    expect(found.n).toBe(10)
    expect(found.sd).toBeCloseTo(2.033852392764912, 10)
    expect(found.cp).toBeCloseTo(10 / (6 * 1.664696611505123), 10)
    expect(found.cpk).toBeCloseTo((50.81 - 46) / (3 * 1.664696611505123), 10)
    expect(found.pp).toBeCloseTo(10 / (6 * 2.033852392764912), 10)
    expect(found.ppk).toBeCloseTo((50.81 - 46) / (3 * 2.033852392764912), 10)
    expect(found.outOfControl).toEqual([])
    expect(found.constants).toMatchObject({ d2: 1.128, D4: 3.267, sigmas: 3 })
    expect(found.confidence.pp![0]).toBeLessThan(found.pp!)
    const width = (interval: readonly [number, number] | null) => interval![1] / interval![0]
    expect(width(found.confidence.cp)).toBeGreaterThan(width(found.confidence.pp))
  })

  it.each([
    ['a header', `flow\n${FLOW}`],
    ['a byte order mark', `\uFEFF${FLOW}`],
    ['line ends of another system and empty lines', FLOW.replaceAll('\n', '\r\n\r\n')],
    ['words beside', `piece,flow\n${FLOW.trim().replaceAll(/^/gm, 'P-a,')}\n`],
    ['quotes and semicolons', `"who";"flow"\n${FLOW.trim().replaceAll(/^/gm, '"x, y";')}\n`],
  ])('reads a file with %s', async (_, text) => {
    expect((await figures(text)).mean).toBeCloseTo(50.81, 10)
  })

  it('reads decimal commas where semicolons part the columns, and names the column it took', async () => {
    const found = JSON.parse(await printed(SEMI, '--column', 'off', '--json'))
    expect(found.column).toEqual({ name: 'off', place: 1 })
    expect(found.mean).toBeCloseTo(0.125, 12)
    expect(found.n).toBe(4)
    expect(await printed(SEMI, '--column', 'x')).toMatch(/^Column 2, "x"\.\n4 values, mean 3\.25,/)
    expect(await printed('who;off\nA;0,1\nB;0,25\n')).toMatch(
      /^Column 2, "off"\.\n2 values, mean 0\.175/,
    )
    // A decimal that is no three digits says that the comma of the others is none of thousands.
    const metric = await printed('1,234;A\n0,5;B\n')
    expect(metric).toMatch(/^Column 1\.\n2 values, mean 0\.867/)
  })

  it.each([
    ['its number', '2'],
    ['its name', 'x'],
  ])('takes a column by %s', async (_, column) => {
    expect((await figures('off,x\n0.1,3\n0.2,4\n', '--column', column)).mean).toBe(3.5)
    expect(JSON.parse(await printed('1,3\n2,4\n', '--column', '2', '--json')).column).toEqual({
      name: null,
      place: 2,
    })
  })

  it('a header that only begins like a value is a header', async () => {
    expect((await figures('info,off\nA,1\nB,2\n')).mean).toBe(1.5)
  })

  it('one value has a mean and nothing else', async () => {
    const found = await figures('7\n', ...LIMITS)
    expect(found).toMatchObject({ n: 1, mean: 7, sd: null, lowerLimit: null, cp: null, ppk: null })
    expect(await printed('7\n')).toContain('One value has no moving range')
  })

  it('the same value throughout is on its limits and has no capability', async () => {
    const found = await figures('0.1\n'.repeat(7), ...LIMITS)
    expect(found).toMatchObject({ sd: 0, lowerLimit: 0.1, outOfControl: [], cp: null, pp: null })
    expect(await printed('0.1\n'.repeat(7), ...LIMITS)).toContain('No spread')
  })

  it('with one limit there is a Cpk and no Cp', async () => {
    const found = await figures(FLOW, '--lower', '46')
    expect(found.cp).toBeNull()
    expect(found.cpk).toBeGreaterThan(0)
  })

  it('says in words what stands out, counted from 1', async () => {
    const text = await printed(`${'0\n1\n'.repeat(8)}20\n`, '--lower', '-5', '--upper', '5')
    expect(text).toContain('beyond 3 sigma: at number 17.')
    expect(text).toContain('Cp and Cpk foretell nothing')
    expect(text).toContain('fewer than 30')
  })

  it('values of 1e300 have finite figures', async () => {
    const found = await figures('1e300\n-1e300\n1e300\n')
    expect(found.mean / 1e300).toBeCloseTo(1 / 3, 10)
    expect(found.sd! / 1e300).toBeCloseTo(2 / Math.sqrt(3), 10)
  })

  it.each([
    ['', [], 'has no values'],
    ['flow\n', [], 'has no values'],
    ['1\n2\nx\n', [], 'line 3: a number is needed, got "x"'],
    ['v\n1\n\n\nNaN\n', [], 'line 5: a number is needed, got "NaN"'],
    ['v\n1,5\n', [], 'line 2: 2 columns where line 1 has 1'],
    ['1,5\n2,5\n', [], '2 columns of numbers, and chart takes one; say which by --column: 1, 2.'],
    ['a;b\nx;y\n', [], 'line 2: no column has a number'],
    [SEMI, [], '2 columns of numbers, and chart takes one; say which by --column: off, x.'],
    ['off;x\n;3\n0,2;4\n', [], '2 columns of numbers'],
    [SEMI, ['--column', 'of'], 'no column "of"; there are: off, x.'],
    [SEMI, ['--column', '3'], 'no column "3"'],
    ['a;a\n1;2\n', ['--column', 'a'], '2 columns are called "a"; say its number.'],
    ['1;2\n', ['--column', 'off'], 'no column "off"; there are: 1 to 2.'],
    ['off;who\n0,1;A\n0.2;B\n', [], 'line 3: a decimal point, where line 2 has a comma'],
    ['off;who\n1,234;A\n2;B\n', [], 'line 2: "1,234" may be thousands or a decimal comma'],
    ['"0,1","3"\n"0,2","4"\n', [], '2 columns of numbers'],
    ['"1,5"\n2\n', [], 'line 1: "1,5" has a decimal comma'],
    ['1\n1e308\n', [], 'line 2: 1e308 is beyond 1e+300'],
    ['1\n1e999\n', [], 'line 2: 1e999 is beyond'],
    ['1\n"2\n', [], 'its quotes do not match'],
    ['1\n', ['--lower', '5', '--upper', '3'], '--lower 5 is not below --upper 3'],
    ['1\n', ['--lower', 'x'], '--lower takes a number'],
  ])('refuses %j %j: %s', async (text, flags, sentence) => {
    const refused = printed(text, ...flags)
    await expect(refused).rejects.toBeInstanceOf(BadInput)
    await expect(refused).rejects.toThrow(sentence)
  })
})
