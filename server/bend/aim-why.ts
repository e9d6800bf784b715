/** What a sentence on an aim is made from. Degrees. */
interface WhyFacts {
  /** Bends of the set-up itself that the aim rests on. */
  readonly bendsLearned: number
  /** Bends of the lot so far, on any set-up; left out where it is not known. */
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
function restsOn({ bendsLearned, lotBends, materialBends = 0 }: WhyFacts): string {
  if (bendsLearned > 0) return `After ${bends(bendsLearned)} of this set-up`
  if (lotBends !== undefined && lotBends > 0)
    return `First bend of this set-up, from ${bends(lotBends)} of its lot`
  if (materialBends > 0)
    return `First bend of this lot, from ${bends(materialBends)} of its material`
  const first = lotBends === 0 ? 'lot' : 'set-up'
  return `First bend of this ${first}, from the section's mechanics`
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
