import { useEffect, useMemo, useRef } from 'preact/hooks'
import type { StationState } from '../../server/messages/live.ts'
import { useStation } from '../live/context.ts'
import { eachFrame } from '../live/frame.ts'
import type { Freshness } from '../live/freshness.ts'
import { words } from '../words/en.ts'
import { degrees } from '../words/format.ts'
import { letteringBoxes } from './drawing-labels.ts'
import { drawMoving, type MovingParts } from './moving-parts.ts'
import { StillParts } from './still-parts.tsx'
import { type Layout, layOut } from './tube-geometry.ts'
import { useSize } from './use-size.ts'

/** A drawing of a slight bend still shows where a right angle would be. */
const LARGEST_DEG_MIN = 60
/** Room past the stop, for the tube that was taken too far. */
const PAST_DEG = 6
const PAD_PX = 6
/** The name of the part stands over the top of the drawing's cell. */
const CAPTION_OVER_TEXT = 1.5

function useMoving(layout: Layout, state: StationState, commandedDeg: number | null) {
  const { latest } = useStation()
  const parts: MovingParts = {
    turning: useRef(null),
    band: useRef(null),
    walls: useRef(null),
    centreline: useRef(null),
    breaks: useRef(null),
    swept: useRef(null),
    sweptHead: useRef(null),
    toGo: useRef(null),
    toGoHeads: useRef(null),
    toGoText: useRef(null),
  }
  useEffect(() => {
    let drawn = ''
    return eachFrame(() => {
      const { angleDeg, shownDeg } = latest
      const now = `${angleDeg} ${shownDeg}`
      if (now === drawn || Number.isNaN(angleDeg)) return
      drawn = now
      drawMoving(parts, layout, {
        angleDeg,
        shownDeg,
        commandedDeg,
        hasDatum: state.phase !== 'no-datum',
        settled: state.phase === 'settled' ? (state.result?.go ?? null) : null,
      })
    })
  })
  return parts
}

/** The tube on its die, to scale, that bends as the tube bends. */
export function TubeDrawing(props: {
  state: StationState
  commandedDeg: number | null
  freshness: Freshness
}) {
  const { state, commandedDeg, freshness } = props
  const cell = useRef<HTMLDivElement>(null)
  const size = useSize(cell).value
  const clrMm = state.setup?.setup.die.clrMm ?? 100
  const odMm = state.setup?.setup.tube.odMm ?? 25
  const wantedDeg = state.job?.wantedDeg ?? 90
  const largestDeg = Math.max(LARGEST_DEG_MIN, wantedDeg, commandedDeg ?? 0) + PAST_DEG
  const textPx = Math.max(14, Math.min(34, size.widthPx / 24))
  const captionPx = textPx * CAPTION_OVER_TEXT
  const layout = useMemo(
    () =>
      layOut(
        { clrMm, odMm },
        largestDeg,
        { widthPx: size.widthPx, heightPx: size.heightPx - captionPx },
        PAD_PX,
        (shape) => letteringBoxes(shape, { wantedDeg, commandedDeg, textPx }),
      ),
    [clrMm, odMm, largestDeg, size, captionPx, textPx, wantedDeg, commandedDeg],
  )
  const [centreX, centreY] = [layout.centre.x, layout.centre.y + captionPx]
  const moving = useMoving(layout, state, commandedDeg)
  return (
    <div class="drawing" ref={cell} data-freshness={freshness} data-phase={state.phase}>
      <svg
        width={size.widthPx}
        height={size.heightPx}
        role="img"
        aria-label={words.drawing.label(degrees(wantedDeg))}
        font-size={textPx}
      >
        <g transform={`translate(${centreX.toFixed(1)} ${centreY.toFixed(1)})`}>
          <StillParts
            layout={layout}
            textPx={textPx}
            wantedDeg={wantedDeg}
            toleranceDeg={state.job?.toleranceDeg ?? 0}
            commandedDeg={commandedDeg}
            moving={moving}
          />
        </g>
      </svg>
    </div>
  )
}
