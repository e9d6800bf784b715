/** Whole numbers that come out the least first. */
interface LeastFirst {
  add(number: number): void
  /** @returns the least, which is taken out; undefined when there is none. */
  take(): number | undefined
}

/** A binary heap: each step costs the logarithm of how many there are. */
export function newQueue(): LeastFirst {
  const heap: number[] = []
  const at = (place: number) => heap[place] ?? Number.POSITIVE_INFINITY

  function swap(a: number, b: number): void {
    const kept = at(a)
    heap[a] = at(b)
    heap[b] = kept
  }

  function sink(): void {
    for (let place = 0; ; ) {
      const left = 2 * place + 1
      const child = at(left + 1) < at(left) ? left + 1 : left
      if (!(at(child) < at(place))) return
      swap(place, child)
      place = child
    }
  }

  return {
    add(number) {
      let place = heap.push(number) - 1
      while (place > 0 && at(place) < at((place - 1) >> 1)) {
        swap(place, (place - 1) >> 1)
        place = (place - 1) >> 1
      }
    },
    take() {
      const least = heap[0]
      const last = heap.pop()
      if (heap.length === 0 || last === undefined) return least
      heap[0] = last
      sink()
      return least
    },
  }
}
