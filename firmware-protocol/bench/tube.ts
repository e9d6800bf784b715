import type { Random } from './random.ts'
import { bendingMomentNm, secondMomentMm4, type TubeSpec, yieldMomentNm } from './section.ts'

/** What one delivery of tube has in common. */
export interface Lot {
  readonly name: string
  /** Flow stress against the nominal tube's. */
  readonly strength: number
  /** Wall against the nominal tube's. */
  readonly wall: number
  /** Modulus on letting off against Young's modulus: it falls with plastic strain. */
  readonly unloading: number
}

/** What the bender adds to the springback that the tube alone would have. */
export interface Frame {
  /** Straight tube under the block that is bent elastically, as a length of full moment, mm. */
  readonly legMm: number
  /** Give of arm, pins and frame, degrees for a newton metre. */
  readonly giveDegPerNm: number
}

/** One length of tube on one bender. */
export interface Piece {
  readonly lot: string
  /** Springback that grows with the bend: share of the loaded angle. */
  readonly slope: number
  /** Springback of leg and frame once the moment is fully grown, degrees. */
  readonly offsetDeg: number
  /** Up to here nothing yields and all of it springs back, degrees. */
  readonly elasticDeg: number
  /** Angle over which the moment grows to its full value, degrees. */
  readonly buildUpDeg: number
}

/** The rail tube of the demo's shop: 38.1 x 1.65 mm 316L annealed on a die of 114.3 mm centreline radius. */
export const RAIL_TUBE: TubeSpec = {
  odMm: 38.1,
  wallMm: 1.65,
  clrMm: 114.3,
  // Handbook figures for annealed 316L, from memory; pre-strain puts first yield at 240 MPa.
  modulusMpa: 193_000,
  strengthMpa: 1300,
  preStrain: 0.0147,
  hardeningExponent: 0.4,
}

/** Invented lots of the demo: one a little soft, one a little hard, so that they spring differently. */
const KNOWN_STRENGTH: Readonly<Record<string, number>> = { 'RT-2207': 0.93, 'RT-2231': 1.12 }

export const DEMO_LOTS = Object.keys(KNOWN_STRENGTH)

/** Scatter as standard deviations of the logarithm; yield of a mill varies by 5 to 8 % from lot to lot. */
const SCATTER = { unknownLot: 0.07, knownLot: 0.01, wall: 0.015, pieceStrength: 0.012 }
/** Placing of block and clamp varies from tube to tube: standard deviation of the offset, degrees. */
const OFFSET_SCATTER_DEG = 0.03
/** Range of the unloading modulus after large strain, as a share of Young's modulus (from memory). */
const UNLOADING = { low: 0.85, high: 0.89 }
/** The moment grows to its full value over about 6°; published work says so only of its exponential shape. */
const BUILD_UP_DEG = { low: 4.5, high: 6.5 }

export function drawLot(name: string, random: Random): Lot {
  const known = KNOWN_STRENGTH[name]
  const scatter = known === undefined ? SCATTER.unknownLot : SCATTER.knownLot
  return {
    name,
    strength: (known ?? 1) * Math.exp(scatter * random.normal()),
    wall: Math.exp(SCATTER.wall * random.normal()),
    unloading: random.between(UNLOADING.low, UNLOADING.high),
  }
}

export function cutPiece(nominal: TubeSpec, lot: Lot, frame: Frame, random: Random): Piece {
  const strength = lot.strength * Math.exp(SCATTER.pieceStrength * random.normal())
  const tube: TubeSpec = {
    ...nominal,
    wallMm: nominal.wallMm * lot.wall,
    strengthMpa: nominal.strengthMpa * strength,
  }
  const momentNm = bendingMomentNm(tube)
  const stiffnessNmm2 = tube.modulusMpa * lot.unloading * secondMomentMm4(tube)
  const unbentPerMm = (momentNm * 1000) / stiffnessNmm2
  const legDeg = (180 / Math.PI) * unbentPerMm * frame.legMm
  const scatterDeg = OFFSET_SCATTER_DEG * random.normal()
  const offsetDeg = Math.max(0, legDeg + frame.giveDegPerNm * momentNm + scatterDeg)
  return {
    lot: lot.name,
    slope: Math.min(1, unbentPerMm * tube.clrMm),
    offsetDeg,
    elasticDeg: offsetDeg * Math.min(1, yieldMomentNm(tube) / momentNm),
    buildUpDeg: random.between(BUILD_UP_DEG.low, BUILD_UP_DEG.high),
  }
}

/** Moment of a bend as a share of its full value: it grows in proportion until something yields. */
export function momentShare(piece: Piece, loadedDeg: number): number {
  const { elasticDeg, offsetDeg, buildUpDeg } = piece
  const yieldShare = offsetDeg > 0 ? Math.min(1, elasticDeg / offsetDeg) : 1
  if (loadedDeg <= elasticDeg) return yieldShare * Math.max(0, loadedDeg / elasticDeg)
  const grown = 1 - Math.exp(-(loadedDeg - elasticDeg) / buildUpDeg)
  return yieldShare + (1 - yieldShare) * grown
}

/**
 * What comes back of a bend loaded to `loadedDeg`, degrees. All of it while nothing has yielded; then the arc's
 * share, and the offset of leg and frame as the moment grows. Never more than the bend.
 */
export function springbackDeg(piece: Piece, loadedDeg: number): number {
  if (loadedDeg <= piece.elasticDeg) return Math.max(0, loadedDeg)
  const yieldedDeg = loadedDeg - piece.elasticDeg
  const grown = 1 - Math.exp(-yieldedDeg / piece.buildUpDeg)
  const restDeg = (piece.offsetDeg - piece.elasticDeg) * grown
  return Math.min(loadedDeg, piece.elasticDeg + piece.slope * yieldedDeg + restDeg)
}
