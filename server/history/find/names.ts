import type { Named } from './facts.ts'

/** The texts of one field, each with a number of its own: rows hold the number. */
export interface Names {
  /** The number of a text; a new one where it was not known. */
  numberOf(text: string): number
  /** The number of a text; null where no row has it. */
  find(text: string): number | null
  textOf(number: number): string
  /** All texts in the order in which they were first met. */
  all(): readonly string[]
}

export type NamesByField = Readonly<Record<Named, Names>>

function makeNames(): Names {
  const texts: string[] = []
  const numbers = new Map<string, number>()
  return {
    numberOf(text) {
      const known = numbers.get(text)
      if (known !== undefined) return known
      numbers.set(text, texts.length)
      return texts.push(text) - 1
    },
    find: (text) => numbers.get(text) ?? null,
    textOf: (number) => texts[number] ?? '',
    all: () => texts,
  }
}

export const makeNamesByField = (): NamesByField => ({
  part: makeNames(),
  lot: makeNames(),
  operator: makeNames(),
  die: makeNames(),
  station: makeNames(),
})
