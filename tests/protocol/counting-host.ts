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
  let last: { sequence: number; tickUs: number } | null = null
  let helloIsExpected = false

  function countSequence({ sequence, tickUs }: { sequence: number; tickUs: number }): void {
    const step = last === null ? 1 : (sequence - last.sequence + 65536) % 65536
    if (step === 0 && last?.tickUs === tickUs) tally.duplicates++
    else if (step === 0 || step > 32768) tally.missing++
    else tally.missing += step - 1
    last = { sequence, tickUs }
  }

  function takeHello(): void {
    last = null
    if (!helloIsExpected) tally.starts++
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
      if ('sequence' in sentence) countSequence(sentence)
      helloIsExpected =
        sentence.kind === 'answer' && sentence.ok && identifies.delete(sentence.command)
      return sentence
    },
    tally: (): Tally => ({ ...tally }),
  }
}
