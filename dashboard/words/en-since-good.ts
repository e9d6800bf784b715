const bends = (count: number) => (count === 1 ? '1 bend' : `${count} bends`)
const left = (all: number, count: number) => {
  if (all === 0) return ''
  return count === 0
    ? 'Each is void or has a note from after the check that failed.'
    : `${count === 1 ? 'One of them is' : `${count} of them are`} not void and without a note from after the check that failed: say what becomes of each.`
}

/** The texts of the bends that a failed check puts in doubt. */
export const sinceGoodWords = {
  since: (day: string, all: number, open: number) =>
    `In doubt: ${bends(all)} made since ${day}, the day of the last check that passed. ${left(all, open)}`,
  never: (all: number, open: number) =>
    `In doubt: ${bends(all)}, since no check of this readout ever passed. ${left(all, open)}`,
  show: 'Show these bends',
}
