import { open } from 'node:fs/promises'

/** Copied before it is brought to the disk, in pages of 8 KiB: 16 MB. */
const PAGES_A_FLUSH = 2048

/** Waits, beside everything else, until a file is on the disk. What the disk says against it is said again at the end. */
async function flush(file: string): Promise<void> {
  try {
    const handle = await open(file, 'r')
    await handle.datasync().finally(() => handle.close())
  } catch {
    // SQLite flushes all of it once more before the copy counts.
  }
}

/**
 * Makes what keeps a long copy from waiting for the disk at its end: SQLite flushes the whole of it then in one call, for as
 * long as the disk takes, and nothing else goes on meanwhile.
 *
 * @param flushed Brings what was written so far to the disk.
 */
export function makeFlushAlong(file: string, flushed: (file: string) => Promise<void> = flush) {
  let pagesFlushed = 0
  let flushing: Promise<void> | null = null
  return {
    /** Told how many pages were copied. True: they are being flushed, so that the next ones have to wait. */
    isFlushing(pages: number): boolean {
      if (flushing === null && pages - pagesFlushed >= PAGES_A_FLUSH) {
        pagesFlushed = pages
        flushing = flushed(file).finally(() => {
          flushing = null
        })
      }
      return flushing !== null
    },
    /** Resolves when no flush is under way. */
    end: async () => void (await flushing),
  }
}
