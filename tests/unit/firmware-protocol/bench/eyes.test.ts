import { describe, expect, it } from 'vitest'
import { look, makeEyes, show } from '../../../../firmware-protocol/bench/eyes.ts'
import { BLANK_PROMPT, type Prompt } from '../../../../firmware-protocol/bench/prompt.ts'
import { makeRandom } from '../../../../firmware-protocol/bench/random.ts'

const eyes = (seed = 1) => makeEyes(makeRandom(seed, 'eyes'))
const prompt = (change: Partial<Prompt>): Prompt => ({ ...BLANK_PROMPT, ...change })

/** When what was shown at `shownS` is first seen. */
function seenAfterS(seed: number): number {
  const pair = eyes(seed)
  show(pair, 10, prompt({ cue: 'stop' }))
  for (let t = 10; t < 11; t += 0.001) if (look(pair, t).cue === 'stop') return t - 10
  return Number.NaN
}

describe('what the operator sees', () => {
  it('is a blank screen at first', () => {
    expect(look(eyes(), 100)).toEqual(BLANK_PROMPT)
  })

  it('comes a reaction time late, about 0.2 s and never the same (seeds 0 to 199)', () => {
    const times = Array.from({ length: 200 }, (_, seed) => seenAfterS(seed))
    const mean = times.reduce((a, b) => a + b, 0) / times.length
    expect(mean).toBeGreaterThan(0.19)
    expect(mean).toBeLessThan(0.21)
    expect(Math.min(...times)).toBeGreaterThanOrEqual(0.12)
    expect(Math.max(...times)).toBeLessThanOrEqual(0.352)
    expect(new Set(times.map((t) => t.toFixed(3))).size).toBeGreaterThan(50)
  })

  it('keeps the order of what was shown, however fast it came', () => {
    const pair = eyes()
    const cues = ['bend', 'ease', 'stop', 'over'] as const
    cues.forEach((cue, at) => {
      show(pair, 5 + at * 0.001, prompt({ cue }))
    })
    const seen: string[] = []
    for (let t = 5; t < 6; t += 0.0001) {
      const { cue } = look(pair, t)
      if (seen.at(-1) !== cue) seen.push(cue)
    }
    expect(seen.filter((cue) => cue !== 'none')).toEqual(cues.filter((cue) => seen.includes(cue)))
    expect(seen.at(-1)).toBe('over')
  })

  it('does not start its reaction anew when the same is shown again and again', () => {
    const pair = eyes()
    for (let t = 0; t < 0.5; t += 0.01) show(pair, t, prompt({ cue: 'stop' }))
    expect(pair.coming.length).toBe(1)
    expect(look(pair, 0.36).cue).toBe('stop')
  })

  it('is a copy: the screen may change its own meanwhile', () => {
    const pair = eyes()
    const shown = { ...BLANK_PROMPT, cue: 'bend' as Prompt['cue'] }
    show(pair, 0, shown)
    shown.cue = 'over'
    expect(look(pair, 1).cue).toBe('bend')
  })

  it('holds no more than a flicker: after a million changes only the last ones wait', () => {
    const pair = eyes()
    for (let change = 0; change < 1_000_000; change++) show(pair, 0, prompt({ againDeg: change }))
    expect(pair.coming.length).toBeLessThanOrEqual(32)
    expect(look(pair, 1).againDeg).toBe(999_999)
  })
})
