/**
 * What enters a chain, and all that enters it: lines from the device and lines from the host (datum, aim,
 * close…), in order, each with its arrival on the station's clock. Kept with a bend, these lines and the
 * chain's snapshot before them give the same record again, bit for bit.
 */
export interface RawLine {
  /** Station clock (monotonic seconds since the daemon started), when the line was complete. */
  readonly arrivalS: number
  readonly from: 'device' | 'host'
  /** Without its line ending. At most 256 characters. */
  readonly text: string
}
