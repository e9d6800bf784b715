import { signal } from '@preact/signals'
import type { ArmOutput, OutputName } from '../../server/messages/output.ts'
import { api, sentenceOf } from './api.ts'

/** The daemon disarms after three seconds without a word from the page that armed. */
const KEEP_EVERY_MS = 1000

/** What this page has armed; another page's arming is not kept by this one. */
export const armedHere = signal<OutputName | null>(null)
/** Why arming, or keeping armed, did not work. */
export const outputProblem = signal<string | null>(null)

let timer: ReturnType<typeof setInterval> | undefined

function letGo(problem: string | null): void {
  clearInterval(timer)
  armedHere.value = null
  outputProblem.value = problem
}

/** Arms for as long as this page is open, whichever of its pages is on show. Never by itself. */
export async function armOutput(
  output: OutputName,
  follows: NonNullable<ArmOutput['follows']> = 'stop-cue',
): Promise<void> {
  letGo(null)
  try {
    await api.armOutput({ output, follows, understood: true })
    armedHere.value = output
    timer = setInterval(() => {
      api.keepOutput().catch((error: unknown) => letGo(sentenceOf(error)))
    }, KEEP_EVERY_MS)
  } catch (error) {
    letGo(sentenceOf(error))
  }
}

export async function disarmOutput(): Promise<void> {
  letGo(null)
  await api.disarmOutput().catch((error: unknown) => letGo(sentenceOf(error)))
}
