import type { Mapping, NotebookProblem } from '../../messages/notebook.ts'
import type { NotebookLine } from './read-line.ts'

/**
 * A bend that stands on two lines, as a fault of the later one. Pieces may be counted anew each day and in each lot. A
 * notebook that does not count its pieces or its bends says nothing of which bend a line is: there none is one that stood
 * before.
 */
export function repeatedLines(
  lines: readonly NotebookLine[],
  mapping: Mapping,
): readonly NotebookProblem[] {
  if (mapping.piece === undefined || mapping.bendNumber === undefined) return []
  const firstOf = new Map<string, number>()
  return lines.flatMap(({ line, startedAt, lot, part, piece, bendNumber }) => {
    const day = startedAt.slice(0, 10)
    const key = JSON.stringify([day, lot, part, piece, bendNumber])
    const earlier = firstOf.get(key)
    if (earlier === undefined) {
      firstOf.set(key, line)
      return []
    }
    const sentence = `Bend ${bendNumber} of ${part}, piece ${piece}, stands on line ${earlier} already, of the same day and lot: take one out, or number them apart.`
    return [{ line, field: 'bendNumber', sentence }]
  })
}
