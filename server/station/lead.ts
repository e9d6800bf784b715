/**
 * Seconds from the cue to the standstill: a heard signal takes about 0.2 s, a seen one 0.25 s (common
 * practice, no source). What is left over is the operator's and the valve's own, and stands in each record
 * beside the tube's part.
 */
export const LEAD_S = 0.2
