/** Seeded chance. Each part of the bench draws from a stream of its own, so that one does not shift another. */
export interface Random {
  /** Uniform, from `low` up to but not including `high`. */
  between(low: number, high: number): number
  /** Normal with mean 0 and standard deviation 1. */
  normal(): number
}

/** @param stream Name of the part that draws: equal seed and name give equal draws. */
export function makeRandom(seed: number, stream: string): Random {
  let state = hash32(`${seed}/${stream}`)
  // Mulberry32: 32 bits of state are plenty for noise, and integer arithmetic is alike on every machine.
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) | 0
    let bits = Math.imul(state ^ (state >>> 15), state | 1)
    bits ^= bits + Math.imul(bits ^ (bits >>> 7), bits | 61)
    return ((bits ^ (bits >>> 14)) >>> 0) / 2 ** 32
  }
  return {
    between: (low, high) => low + (high - low) * uniform(),
    // Box and Muller, Ann. Math. Stat. 29 (1958) 610; 1 − u keeps the logarithm away from 0.
    normal: () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform()),
  }
}

/** FNV-1a, 32 bit: spreads neighbouring seeds and names far apart. */
function hash32(text: string): number {
  let hash = 0x811c9dc5
  for (let at = 0; at < text.length; at++) hash = Math.imul(hash ^ text.charCodeAt(at), 0x01000193)
  return hash | 0
}
