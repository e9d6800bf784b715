/**
 * Bytes without an end, the same for the same seed: xorshift32 of G. Marsaglia, "Xorshift RNGs", 2003 (shifts
 * 13, 17, 5).
 *
 * @param seed Any integer but 0.
 */
export function makeRandomBytes(seed: number): (length: number) => Uint8Array {
  let state = seed | 0
  return (length) => {
    const words = new Int32Array(Math.ceil(length / 4))
    for (let at = 0; at < words.length; at++) {
      state ^= state << 13
      state ^= state >>> 17
      state ^= state << 5
      words[at] = state
    }
    return new Uint8Array(words.buffer, 0, length)
  }
}
