import { degrees } from '../../words/format.ts'

/** A wanted angle as it was typed: no idle nought. */
export const wantedText = (wantedDeg: number): string =>
  degrees(wantedDeg, Number.isInteger(wantedDeg) ? 0 : 1)
