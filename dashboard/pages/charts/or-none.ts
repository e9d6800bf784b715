import { chartWords } from '../../words/en-charts.ts'

/** A figure that may not be there. */
export const orNone = (deg: number | null, write: (deg: number) => string): string =>
  deg === null ? chartWords.unknown : write(deg)
