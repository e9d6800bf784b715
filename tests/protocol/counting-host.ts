import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import type { DeviceSentence } from '../../firmware-protocol/codec/sentence.ts'
import type { Tally } from './session-file.ts'

/**
 * The counting rules of SPECIFICATION.md written down a second time, in the plainest way, to check the golden
 * sessions against the document.
 */
export function makeCountingHost() {
  const tally = { starts: 0, missing: 0, duplicates: 0, refused: 0 }
  const identifies = new Set<number>()
  const last: { readings: number | null; events: number | null } = { readings: null, events: null }
  let helloIsExpected = false

  function countSequence(stream: 'readings' | 'events', sequence: number): void {
    const previous = last[stream]
    const step = previous === null ? 1 : (sequence - previous + 65536) % 65536
    if (step === 0) tally.duplicates++
    else if (step < 32768) tally.missing += step - 1
    last[stream] = sequence
  }

  function takeHello(): void {
    if (helloIsExpected) return
    tally.starts++
    last.readings = null
    last.events = null
  }

  return {
    sent(line: string): void {
      const decoded = decodeLine(line)
      if (decoded.ok && decoded.sentence.kind === 'identify')
        identifies.add(decoded.sentence.command)
    },
    /** Gives the sentence, or null for a line that was refused. */
    received(line: string): DeviceSentence | null {
      const decoded = decodeLine(line)
      if (!decoded.ok) {
        tally.refused++
        return null
      }
      const sentence = decoded.sentence as DeviceSentence
      if (sentence.kind === 'hello') takeHello()
      if (sentence.kind === 'sample' || sentence.kind === 'axes')
        countSequence('readings', sentence.sequence)
      if (sentence.kind === 'event') countSequence('events', sentence.sequence)
      helloIsExpected =
        sentence.kind === 'answer' && sentence.ok && identifies.delete(sentence.command)
      return sentence
    },
    tally: (): Tally => ({ ...tally }),
  }
}
