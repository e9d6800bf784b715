const bends = (count: number) => (count === 1 ? '1 bend' : `${count} bends`)
const left = (count: number) =>
  count === 0
    ? 'Of each somebody wrote a note or declared it void.'
    : `Of ${count} nobody wrote a note or declared it void: say what becomes of each.`

/** The texts of the bends that a failed check puts in doubt. */
export const sinceGoodWords = {
  since: (day: string, all: number, open: number) =>
    `In doubt: ${bends(all)} made since ${day}, the day of the last check that passed. ${left(open)}`,
  never: (all: number, open: number) =>
    `In doubt: ${bends(all)}, since no check with this piece ever passed. ${left(open)}`,
  show: 'Show the bends that wait for that',
}
