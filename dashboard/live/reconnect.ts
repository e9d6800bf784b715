/** How the page's one socket is. */
export type SocketState = 'opening' | 'open' | 'lost'

const FIRST_WAIT_MS = 250
/** A daemon that comes back is found within this time. */
const WAIT_MS_MAX = 4000

/** How long to wait before try number `tries` (from 0): doubling, with a ceiling. */
export const waitMs = (tries: number): number =>
  Math.min(WAIT_MS_MAX, FIRST_WAIT_MS * 2 ** Math.min(tries, 10))

/**
 * A daemon says something every second. After so long without a word the socket leads nowhere, as it can
 * after a gap in the radio link, though no one has closed it.
 */
export const SILENCE_MS_MAX = 10_000
