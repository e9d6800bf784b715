/** A trace is run again from its lines in some 50 ms: half a minute, and 200 pages at most. */
export const CERTIFICATE_BENDS_MAX = 600
