import { words } from '../words/en.ts'
import { degrees, fixed } from '../words/format.ts'
import { type Label, labelAt, labelGapDeg } from './arc-dimension.ts'
import { type Box, type Shape, sweepOf } from './tube-geometry.ts'

/** The dimensions are drawn this far outside the arc on which the tube's end swings. */
export const DIMENSION_OUT_PX = 16
/** Widest of the digits and letters of a narrow face, bold, over the font's size; measured, rounded up. */
const CHARACTER_OVER_FONT = 0.5
/** What is wanted is lettered smaller than what is to be done. */
const WANTED_OVER_TEXT = 0.8
const LINE_OVER_TEXT = 1.1
const COMES_UP_DEG = 205

export interface Lettering {
  readonly text: string
  readonly fontPx: number
  readonly at: Label
}

interface Target {
  readonly wantedDeg: number
  readonly commandedDeg: number | null
  readonly textPx: number
}

const ringOf = (shape: Shape, textPx: number) =>
  sweepOf(shape).radius + DIMENSION_OUT_PX + textPx * 1.05

/** Beside the stop's tick, outside the swing of the tube. */
export function stopLettering(shape: Shape, commandedDeg: number, textPx: number): Lettering {
  const at = labelAt(ringOf(shape, textPx), sweepOf(shape).aheadDeg + commandedDeg)
  return { text: `${words.drawing.stop} ${fixed(commandedDeg, 1)}`, fontPx: textPx, at }
}

/** The line beside the stop's that "to go" is not on: under it, or over it once the tube's end comes up again. */
export function wantedLettering(shape: Shape, target: Target): Lettering {
  const { wantedDeg, commandedDeg, textPx } = target
  const { aheadDeg } = sweepOf(shape)
  const ringDeg = aheadDeg + (commandedDeg ?? wantedDeg)
  const at = labelAt(ringOf(shape, textPx), ringDeg)
  const linePx = textPx * LINE_OVER_TEXT * (ringDeg > COMES_UP_DEG ? -1 : 1)
  return {
    text: `${words.drawing.wanted} ${degrees(wantedDeg)}`,
    fontPx: textPx * WANTED_OVER_TEXT,
    at: commandedDeg === null ? at : { ...at, y: at.y + linePx },
  }
}

/** Where the dimension of what is left, or past, or sprung back is lettered: clear of the stop's. */
export function dimensionLettering(
  shape: Shape,
  span: { readonly fromDeg: number; readonly toDeg: number; readonly text: string },
  commandedDeg: number | null,
  textPx: number,
): Lettering {
  const { radius, aheadDeg } = sweepOf(shape)
  const ring = radius + DIMENSION_OUT_PX
  const middleDeg = aheadDeg + (span.fromDeg + span.toDeg) / 2
  const stopDeg = aheadDeg + (commandedDeg ?? span.toDeg)
  const clearDeg = stopDeg - labelGapDeg(ring, stopDeg, textPx)
  const at = labelAt(ring + textPx * 0.7, Math.min(middleDeg, clearDeg))
  return { text: span.text, fontPx: textPx, at }
}

const SHARE_OF_WIDTH_LEFT = { start: 0, middle: 0.5, end: 1 } as const

/** What a lettering covers, its height with some air. */
export function boxOf({ text, fontPx, at }: Lettering): Box {
  const widthPx = text.length * CHARACTER_OVER_FONT * fontPx
  const left = at.x - widthPx * SHARE_OF_WIDTH_LEFT[at.anchor]
  return { left, right: left + widthPx, top: at.y - 0.55 * fontPx, bottom: at.y + 0.55 * fontPx }
}

/** The longest thing said past the stop, and on the way there. */
const PAST_TEXT = `${words.drawing.past} 99.9°`
const TO_GO_TEXT = '99.9°'
const ON_THE_WAY = [0.5, 0.6, 0.7, 0.8, 0.9, 1]

/** Everything that is lettered while a bend is made, from straight to past its stop. */
export function letteringBoxes(shape: Shape, target: Target): Box[] {
  const { wantedDeg, commandedDeg, textPx } = target
  const wanted = boxOf(wantedLettering(shape, target))
  if (commandedDeg === null) return [wanted]
  const dimension = (atDeg: number, text: string) =>
    boxOf(dimensionLettering(shape, { fromDeg: atDeg, toDeg: atDeg, text }, commandedDeg, textPx))
  return [
    wanted,
    boxOf(stopLettering(shape, commandedDeg, textPx)),
    dimension(Math.max(wantedDeg, commandedDeg), PAST_TEXT),
    ...ON_THE_WAY.map((share) => dimension(share * commandedDeg, TO_GO_TEXT)),
  ]
}
