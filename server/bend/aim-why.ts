/** What a sentence on an aim is made from. Degrees. */
interface WhyFacts {
  /** Bends of the set-up itself that the aim rests on. */
  readonly bendsLearned: number
  /** Bends of the set-up on record, though none of them may count. */
  readonly bendsMade?: number | undefined
  /** Bends of the lot that count, on any set-up; left out where it is not known. */
  readonly lotBends?: number | undefined
  readonly materialBends?: number | undefined
  readonly springbackDeg: number
  /** Half of the 95 % interval of where the tube will stand. */
  readonly halfDeg: number
  /** How far short of the middle it aims. */
  readonly shortDeg: number
}

/** Less is not worth a word: nobody stops so close. */
const SHORT_SAID_DEG = 0.05

const bends = (count: number) => (count === 1 ? '1 bend' : `${count} bends`)

/** What an aim rests on, as the beginning of a sentence. */
function restsOn(facts: WhyFacts): string {
  const { bendsLearned, bendsMade = 0, lotBends, materialBends = 0 } = facts
  if (bendsLearned > 0) return `After ${bends(bendsLearned)} of this set-up`
  const firstOf = (what: string) =>
    bendsMade > 0 ? 'No bend of this set-up counts yet' : `First bend of this ${what}`
  if (lotBends !== undefined && lotBends > 0)
    return `${firstOf('set-up')}, from ${bends(lotBends)} of its lot`
  if (materialBends > 0) return `${firstOf('lot')}, from ${bends(materialBends)} of its material`
  return `${firstOf(lotBends === 0 ? 'lot' : 'set-up')}, from the section's mechanics`
}

/** One plain sentence: what the aim rests on, and how far short it is or else how far it can be trusted. */
export function whyAimed(facts: WhyFacts): string {
  const { springbackDeg, halfDeg, shortDeg } = facts
  const said =
    shortDeg >= SHORT_SAID_DEG
      ? `aimed ${shortDeg.toFixed(1)}° short, since over is scrap`
      : `${springbackDeg.toFixed(1)}° allowed, right within ±${halfDeg.toFixed(1)}°`
  return `${restsOn(facts)}: ${said}.`
}
