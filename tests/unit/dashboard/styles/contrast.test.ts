import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'

const css = readFileSync(
  join(import.meta.dirname, '../../../../dashboard/styles/ground.css'),
  'utf8',
)

type Inks = Record<string, string>

/** The inks that one rule of the style sheet sets, by the selector that opens it. */
function inksOf(selector: string): Inks {
  const at = css.indexOf(`\n${selector}`)
  if (at < 0) throw new Error(`No rule ${selector}.`)
  const body = css.slice(css.indexOf('{', at), css.indexOf('}', at))
  return Object.fromEntries(
    [...body.matchAll(/(--[a-z-]+): (#[0-9a-f]{3,6});/g)].map(([, name, hex]) => [name, hex]),
  )
}

/** Relative luminance and contrast ratio as WCAG 2.2 defines them. */
function luminance(hex: string): number {
  const full =
    hex.length === 4 ? [...hex.slice(1)].map((digit) => digit + digit).join('') : hex.slice(1)
  const [r = 0, g = 0, b = 0] = [0, 2, 4]
    .map((i) => Number.parseInt(full.slice(i, i + 2), 16) / 255)
    .map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4))
  return 0.2126 * r + 0.7152 * g + 0.0722 * b
}

function contrast(a: string, b: string): number {
  const [light, dark] = [luminance(a), luminance(b)].sort((x, y) => y - x)
  return ((light ?? 0) + 0.05) / ((dark ?? 0) + 0.05)
}

const day = inksOf(':root {')
const night = { ...day, ...inksOf(':root[data-theme="dark"] {') }
const GROUNDS: Record<string, Inks> = {
  day,
  night,
  'stop by day': { ...day, ...inksOf(':root[data-field="stop"],') },
  'stop by night': { ...night, ...inksOf(':root[data-theme="dark"][data-field="stop"],') },
}

test('the formula gives the published ratios', () => {
  // WCAG 2.2: black on white is 21:1. Okabe and Ito's orange and blue on white as in the table of
  // the screen's requirements, recomputed there: 2.25 and 5.19.
  expect(contrast('#000', '#fff')).toBeCloseTo(21, 6)
  expect(contrast('#e69f00', '#ffffff')).toBeCloseTo(2.25, 2)
  expect(contrast('#0072b2', '#ffffff')).toBeCloseTo(5.19, 2)
})

describe.each(Object.entries(GROUNDS))('by the contrast of WCAG 2.2, the %s ground', (_, inks) => {
  const ratio = (ink: string, ground: string) => contrast(inks[ink] ?? '', inks[ground] ?? '')

  test.each([
    ['--ink', '--paper', 7],
    ['--soft', '--paper', 7],
    ['--pencil', '--paper', 7],
    ['--ink', '--tube', 7],
    ['--pencil', '--tube', 7],
    ['--faint', '--paper', 3],
    ['--on-fault', '--fault', 4.5],
    ['--on-doubt', '--doubt', 7],
    ['--on-task', '--task', 7],
    ['--fault-line', '--paper', 4.5],
    ['--soft', '--tube', 7],
    ['--fault-line', '--tube', 4.5],
  ])('%s on %s is at least %s to 1', (ink, ground, least) => {
    expect(ratio(ink, ground)).toBeGreaterThanOrEqual(least)
  })
})

test('the stop turns the ground over, by day and by night', () => {
  for (const [calm, stop] of [
    ['day', 'stop by day'],
    ['night', 'stop by night'],
  ] as const) {
    const before = GROUNDS[calm]?.['--paper'] ?? ''
    const after = GROUNDS[stop]?.['--paper'] ?? ''
    expect(contrast(before, after)).toBeGreaterThanOrEqual(7)
  }
})
