/** By which definition ovality is given. */
type By = 'nominal' | 'mean' | 'ratio'

interface Diameters {
  readonly largestOdMm: number
  readonly smallestOdMm: number
  /** Nominal outside diameter. */
  readonly odMm: number
}

/**
 * Ovality of a bent tube. `nominal`: percent of the nominal OD (ASME B31.3 332.2.1, PFI ES-24; from memory). `mean`: percent of the
 * mean of both diameters (EN 13480-4, 7.4.1; formula from memory). `ratio`: smallest by largest (FIA Appendix J art. 253).
 */
export function ovality(by: By, { largestOdMm, smallestOdMm, odMm }: Diameters): number {
  if (by === 'ratio') return smallestOdMm / largestOdMm
  const across = by === 'nominal' ? odMm : (largestOdMm + smallestOdMm) / 2
  return (100 * (largestOdMm - smallestOdMm)) / across
}

/** How much of the nominal wall is gone, percent; below 0 where it is thicker. */
export const thinningPercent = (nominalWallMm: number, wallMm: number): number =>
  (100 * (nominalWallMm - wallMm)) / nominalWallMm

/** A measured figure against its limit; `within` null: no limit was given. */
interface Judged {
  readonly value: number
  readonly limit: number | null
  readonly within: boolean | null
}

interface Inspected {
  readonly largestOdMm: number | null
  readonly smallestOdMm: number | null
  readonly wallMm: number | null
  readonly limits: {
    readonly ovality: { readonly by: By; readonly limit: number } | null
    readonly thinningMaxPercent: number | null
  } | null
}

/** What an inspection came to; null: not measured. Without a limit, ovality is that of the nominal OD. */
export function inspected(
  { largestOdMm, smallestOdMm, wallMm, limits }: Inspected,
  tube: { readonly odMm: number; readonly wallMm: number },
): { ovality: (Judged & { readonly by: By }) | null; thinning: Judged | null } {
  const { by, limit } = limits?.ovality ?? { by: 'nominal' as const, limit: null }
  const value =
    largestOdMm === null || smallestOdMm === null
      ? null
      : ovality(by, { largestOdMm, smallestOdMm, odMm: tube.odMm })
  const within = (figure: number, most: number | null) => (most === null ? null : figure <= most)
  const thinMax = limits?.thinningMaxPercent ?? null
  const thin = wallMm === null ? null : thinningPercent(tube.wallMm, wallMm)
  const isRound = (figure: number) =>
    by === 'ratio' && limit !== null ? figure >= limit : within(figure, limit)
  return {
    ovality: value === null ? null : { by, value, limit, within: isRound(value) },
    thinning: thin === null ? null : { value: thin, limit: thinMax, within: within(thin, thinMax) },
  }
}
