import type { Clock } from '../../link/link.ts'

/** Waits for work, but no longer than this; what fails late fails unheard. */
export async function withinSeconds(
  clock: Pick<Clock, 'after'>,
  seconds: number,
  work: Promise<unknown>,
): Promise<void> {
  let stopWaiting = (): void => undefined
  const late = new Promise<void>((resolve) => {
    stopWaiting = resolve
  })
  const timer = clock.after(seconds, stopWaiting)
  await Promise.race([work.catch(() => undefined), late])
  timer.cancel()
}
