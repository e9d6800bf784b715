const bends = (count: number) => (count === 1 ? '1 bend' : `${count} bends`)
const left = (all: number, count: number) => {
  if (all === 0) return ''
  return count === 0
    ? 'Each has a note or is void.'
    : `${count} of them have no note and are not void: say what becomes of each.`
}

/** The texts of the bends that a failed check puts in doubt. */
export const sinceGoodWords = {
  since: (day: string, all: number, open: number) =>
    `In doubt: ${bends(all)} made since ${day}, the day of the last check that passed. ${left(all, open)}`,
  never: (all: number, open: number) =>
    `In doubt: ${bends(all)}, since no check with this piece ever passed. ${left(all, open)}`,
  show: 'Show these bends',
}
