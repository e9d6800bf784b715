type Numbers<Name extends string> = Readonly<Record<Name, number>>

const deg = (value: number) => `${Number(value.toFixed(3))}°`

/** Every refusal of a calibration, one line a code: what is wrong and what to do. Angles in degrees. */
const SENTENCES = {
  TOO_FEW: ({ points }: Numbers<'points'>) =>
    `A calibration needs at least two points, got ${points}: read the gauge at another angle too.`,
  TOO_MANY: ({ points, most }: Numbers<'points' | 'most'>) =>
    `A calibration takes at most ${most} points, got ${points}.`,
  NO_NUMBER: ({ point }: Numbers<'point'>) =>
    `Point ${point} holds something that is no finite number, or an uncertainty that is not above 0°.`,
  SPAN: ({ spanDeg, leastDeg }: Numbers<'spanDeg' | 'leastDeg'>) =>
    `The known angles are all within ${deg(spanDeg)}: points at the same angle say nothing of the scale, so take them at least ${deg(leastDeg)} apart.`,
  SCALE_ZERO: ({ movedDeg, spanDeg }: Numbers<'movedDeg' | 'spanDeg'>) =>
    `The readout moved by ${deg(movedDeg)} while the die turned ${deg(spanDeg)}, a scale of zero: look whether the sensor turns with the die.`,
  REVERSED: ({ spanDeg }: Numbers<'spanDeg'>) =>
    `The readout falls while the die is turned ${deg(spanDeg)} up: the sensor sits the other way round, so change its direction in the set-up and take the points again.`,
  GAUGE: ({ gaugeDeg, toleranceDeg }: Numbers<'gaugeDeg' | 'toleranceDeg'>) =>
    `The gauge is certain to ±${deg(gaugeDeg)} only (twice its standard uncertainty), the tolerance it shall serve is ±${deg(toleranceDeg)}: take a better gauge.`,
  CONTRADICTION: ({ point, offDeg, mostDeg }: Numbers<'point' | 'offDeg' | 'mostDeg'>) =>
    `The points contradict one another: point ${point} is ${deg(offDeg)} off the curve through all, more than ${deg(mostDeg)}; read it again, or give six points or more if the sensor turns out of centre.`,
  FEW_FOR_CURVE: ({ points, least }: Numbers<'points' | 'least'>) =>
    `The errors of a turn need at least ${least} points, got ${points}: take more, or a straight line.`,
  NO_FIXED_ZERO: (_: Numbers<never>) =>
    'An incremental sensor has another zero each time the board starts, so the errors of its turn cannot be told where they are: take a straight line.',
  ILL_CONDITIONED: ({ condition }: Numbers<'condition'>) =>
    `The points cover too little of the turn to tell its errors from the scale (condition ${condition.toPrecision(2)}): spread them wider, or take a straight line.`,
  POSITIONS: ({ positions }: Numbers<'positions'>) =>
    `A six-position calibration needs six positions, got ${positions}.`,
  POSITION_SKEW: ({ position, skewDeg }: Numbers<'position' | 'skewDeg'>) =>
    `In position ${position} no axis stands upright (the nearest leans by ${deg(skewDeg)}): set the sensor squarely on each of its six sides.`,
  POSITION_TWICE: ({ position, earlier }: Numbers<'position' | 'earlier'>) =>
    `Position ${position} is position ${earlier} again: each axis must stand upright once and upside down once.`,
  AXIS_GAIN: ({ axis, unitG }: Numbers<'axis' | 'unitG'>) =>
    `Axis ${'xyz'[axis - 1]} shows ${unitG.toFixed(3)} g for one: look at the counts a g in the set-up, and at the sensor.`,
} as const

export type CalibrationRefusal = keyof typeof SENTENCES

type Refusal = {
  [Code in CalibrationRefusal]: [code: Code, facts: Parameters<(typeof SENTENCES)[Code]>[0]]
}[CalibrationRefusal]

/** Readings that make no calibration. Nothing is applied. */
export class CalibrationRefused extends Error {
  override readonly name = 'CalibrationRefused'
  readonly code: CalibrationRefusal
  constructor(...[code, facts]: Refusal) {
    // TypeScript forgets that the two belong together once they are apart.
    const sentence = SENTENCES[code] as (facts: Refusal[1]) => string
    super(sentence(facts))
    this.code = code
  }
}
