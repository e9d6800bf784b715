import { effect, signal } from '@preact/signals'
import { settings } from './settings.ts'
import type { Sound } from './tick-plan.ts'

/** Between 1.0 and 1.6 kHz a tone is clear in a shop, and hearing protection still lets it through. */
const STEADY_HZ = 1200
const TICK_HZ = 900
const FALLING_HZ = [900, 600] as const
/** The steady tone ends by itself: it says "now", it is no siren. */
const STEADY_S_MAX = 1.5
const TICK_S = 0.035
const RISE_S = 0.008

/** `locked`: the browser wants a tap or a key first. `absent`: it can make no sound at all. */
export const soundState = signal<'locked' | 'ready' | 'absent'>(
  typeof AudioContext === 'undefined' ? 'absent' : 'locked',
)

let context: AudioContext | null = null
let master: GainNode | null = null
let last: Sound['kind'] = 'quiet'
let nextTickS = 0
let steady: OscillatorNode | null = null

function beep(hz: number, atS: number, lengthS: number): OscillatorNode | null {
  if (!context || !master) return null
  const tone = context.createOscillator()
  const gain = context.createGain()
  // A triangle has odd harmonics: it carries further than a sine and is kinder than a square.
  tone.type = 'triangle'
  tone.frequency.value = hz
  gain.gain.setValueAtTime(0, atS)
  gain.gain.linearRampToValueAtTime(1, atS + RISE_S)
  gain.gain.setValueAtTime(1, atS + lengthS - RISE_S)
  gain.gain.linearRampToValueAtTime(0, atS + lengthS)
  tone.connect(gain).connect(master)
  tone.start(atS)
  tone.stop(atS + lengthS)
  return tone
}

function watch(audio: AudioContext) {
  soundState.value = audio.state === 'running' ? 'ready' : 'locked'
}

/** Call from a tap or a key: browsers allow sound only then. */
async function unlockSound(): Promise<void> {
  if (soundState.value !== 'locked') return
  if (!context) {
    context = new AudioContext()
    master = context.createGain()
    master.connect(context.destination)
    context.onstatechange = () => context && watch(context)
    effect(() => {
      if (master) master.gain.value = settings.muted.value ? 0 : settings.volume.value
    })
  }
  await context.resume().catch(() => undefined)
  watch(context)
}

/** The first tap or key anywhere unlocks the sound. */
export function unlockSoundOnFirstTouch(): void {
  for (const kind of ['pointerdown', 'keydown'] as const)
    addEventListener(kind, () => void unlockSound(), { capture: true })
}

/** Two ticks and the stop: what the ear will be told, to set the volume by. */
export async function trySound(): Promise<void> {
  await unlockSound()
  if (!context) return
  const nowS = context.currentTime
  for (const offsetS of [0, 0.25]) beep(TICK_HZ, nowS + offsetS, TICK_S)
  beep(STEADY_HZ, nowS + 0.5, 0.4)
}

/** Call once a frame with what is to be heard. */
export function hear(sound: Sound): void {
  if (context?.state !== 'running') return
  const nowS = context.currentTime
  if (sound.kind !== last && steady) {
    steady.stop()
    steady = null
  }
  if (sound.kind === 'ticks' && nowS >= nextTickS) {
    beep(TICK_HZ, nowS, TICK_S)
    nextTickS = nowS + sound.everyS
  }
  if (sound.kind === 'steady' && last !== 'steady') steady = beep(STEADY_HZ, nowS, STEADY_S_MAX)
  if (sound.kind === 'falling' && last !== 'falling')
    FALLING_HZ.forEach((hz, i) => {
      beep(hz, nowS + 0.25 * i, 0.22)
    })
  last = sound.kind
}
