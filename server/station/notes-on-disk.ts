/** How often what was refused is tried again, as long as nothing else is written anyway. */
const TRY_EVERY_S = 10

/**
 * Small writes that are no evidence: what is to be bent, the mark of an open bend. A disk that refuses one is
 * told of, until it takes one again; nothing waits for it.
 */
export function makeNotesOnDisk() {
  let trouble: string | null = null
  let triedS = 0

  const refused = (error: unknown): void => {
    trouble = error instanceof Error ? error.message : String(error)
  }

  function attempt(write: () => void): void {
    try {
      write()
      trouble = null
    } catch (error) {
      refused(error)
    }
  }

  return {
    attempt,
    refused,
    retry(nowS: number, write: () => void): void {
      if (trouble === null || !(nowS - triedS >= TRY_EVERY_S)) return
      triedS = nowS
      attempt(write)
    },
    /** What the disk last refused, as a sentence; null when it takes all. */
    trouble: () => trouble,
  }
}
