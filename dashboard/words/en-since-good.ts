import { bends } from './counted.ts'

const left = (all: number, count: number) => {
  if (all === 0) return ''
  return count === 0
    ? 'Each is void or has a note made after a check failed.'
    : `${count === 1 ? 'One of them is' : `${count} of them are`} undecided, neither void nor with a note made after a check failed: say what becomes of each.`
}

/** The texts of the bends that a failed check puts in doubt. */
export const sinceGoodWords = {
  since: (time: string, all: number, open: number) =>
    `In doubt: ${bends(all)} made since ${time}, when a check last passed. ${left(all, open)}`,
  never: (all: number, open: number) =>
    `In doubt: ${bends(all)}, since no check of this readout ever passed. ${left(all, open)}`,
  show: 'Show these bends',
}
