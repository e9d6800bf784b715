/** What steps come to, for one who has no need to do anything in between. */
export function inOneGo<T>(steps: Iterator<void, T>): T {
  let step = steps.next()
  while (!step.done) step = steps.next()
  return step.value
}
