import { useEffect, useState } from 'preact/hooks'
import type { ChainBlock } from '../../../server/messages/chain.ts'
import { sentenceOf } from '../../live/api.ts'
import { type Placed, place } from './layout.ts'

/** What the drawing has of the screen, below the words. */
export const sheetAspect = () => innerWidth / Math.max(320, innerHeight - 330)

/** The blocks on the sheet; those placed before stand until the new ones are. */
export function usePlaced(blocks: readonly ChainBlock[]) {
  const [placed, setPlaced] = useState<Placed | null>(null)
  const [problem, setProblem] = useState<string | null>(null)
  useEffect(() => {
    let isWanted = true
    place(blocks, sheetAspect()).then(
      (next) => {
        if (!isWanted) return
        setPlaced(next)
        setProblem(null)
      },
      (error: unknown) => isWanted && setProblem(sentenceOf(error)),
    )
    return () => {
      isWanted = false
    }
  }, [blocks])
  return { placed, problem }
}
