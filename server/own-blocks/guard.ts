import type { Block } from '../chain/block.ts'
import { isPlainMemory, keysOf } from './plain.ts'
import { type AnyFrame, makePrivateFrame, type PrivateFrame } from './private-frame.ts'
import { type Trouble, textOfThrown } from './trouble.ts'

/** @throws RangeError with the end of a sentence, as a block that refuses its parameters. */
function startGuarded(block: Block, parameters: Record<string, unknown>) {
  let memory: unknown
  try {
    memory = block.start(parameters)
  } catch (error) {
    throw new RangeError(textOfThrown(error))
  }
  if (isPlainMemory(memory)) return memory
  throw new RangeError(
    'its start must give an object of numbers, texts and lists, 10,000 of them at the most',
  )
}

/**
 * An own block as a chain can bear it. What it throws, values that are none and a memory that cannot be kept make
 * its values bad and are counted; the chain goes on. It works on copies, so it can spoil nobody else's values.
 * A step that never ends cannot be helped: nothing else runs then.
 */
export function guarded(block: Block, trouble: Trouble): Block {
  const frames = new WeakMap<object, PrivateFrame>()
  const count = (what: string) => {
    trouble.times++
    trouble.last = what
  }
  function frameOf(real: AnyFrame): PrivateFrame {
    const known = frames.get(real)
    if (known !== undefined) return known
    const made = makePrivateFrame(real, block)
    frames.set(real, made)
    return made
  }
  /** A memory that is no good any more is begun anew. */
  function mend(memory: Record<string, unknown>, parameters: Record<string, unknown>): void {
    const fresh = startGuarded(block, parameters)
    for (const key of Object.keys(memory)) delete memory[key]
    Object.assign(memory, fresh)
  }
  const keys = new WeakMap<object, string>()

  return Object.freeze({
    ...block,
    start(parameters: Record<string, unknown>) {
      const memory = startGuarded(block, parameters)
      keys.set(memory, keysOf(memory))
      return memory
    },
    step(real: AnyFrame, given: object, parameters: Record<string, unknown>, rows: number) {
      const memory = given as Record<string, unknown>
      const own = frameOf(real)
      own.take(rows)
      try {
        block.step(own.frame, memory, parameters, rows)
        if (own.give(rows)) count('it gave a value that is no number, or a quality that is none')
      } catch (error) {
        own.spoil(rows)
        count(`it threw: ${textOfThrown(error)}`)
      }
      try {
        if (isPlainMemory(memory) && keysOf(memory) === keys.get(memory)) return
        count('its memory changed its shape, or holds what cannot be kept, and was begun anew')
        mend(memory, parameters)
      } catch (error) {
        count(`it cannot begin anew: ${textOfThrown(error)}`)
      }
    },
  }) as Block
}
