/** How the page's one socket is. */
export type SocketState = 'opening' | 'open' | 'lost'

const FIRST_WAIT_MS = 250
/** A daemon that comes back is found within this time. */
const WAIT_MS_MAX = 4000

/** How long to wait before try number `tries` (from 0): doubling, with a ceiling. */
export const waitMs = (tries: number): number =>
  Math.min(WAIT_MS_MAX, FIRST_WAIT_MS * 2 ** Math.min(tries, 10))
