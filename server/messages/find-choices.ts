/** How a bend ended: by its released angle beside the wanted one, or not finished. */
export const VERDICTS = ['in', 'under', 'over', 'incomplete'] as const

const YES_OR_NO = ['yes', 'no'] as const

/** The conditions of a filter that choose from a few, each with what it chooses from. */
export const FILTER_CHOICES = {
  verdict: VERDICTS,
  readout: ['overdue', 'failed', 'either', 'good', 'none'],
  amended: YES_OR_NO,
  voided: YES_OR_NO,
  signed: YES_OR_NO,
  noted: YES_OR_NO,
  due: YES_OR_NO,
  simulated: YES_OR_NO,
  clock: ['set-back'],
} as const

/** Code points, of the name of a saved view. */
export const VIEW_NAME_MAX = 60
/** Code points, of a name and of words looked for. */
export const FILTER_NAME_MAX = 80
export const FILTER_TEXT_MAX = 200
export const PIECE_MAX = 1_000_000
/** Ten years. */
export const DAYS_BACK_MAX = 3660
