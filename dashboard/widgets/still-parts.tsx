import { tickPath } from './arc-dimension.ts'
import {
  DIMENSION_OUT_PX,
  type Lettering,
  stopLettering,
  wantedLettering,
} from './drawing-labels.ts'
import type { MovingParts } from './moving-parts.ts'
import { arcPath, type Layout, onLeg, type Shape, sweepOf, tubePaths } from './tube-geometry.ts'

/** The pressure block stands; drawn about as large as such blocks are, for no block was measured. */
function PressureBlock({ shape: { clr, od } }: { shape: Shape }) {
  return (
    <g class="tooling">
      <rect x={-od * 1.9} y={-(clr + od * 1.12)} width={od * 1.7} height={od * 0.6} />
    </g>
  )
}

/** Die, key and clamp turn as one, and the tube in them. */
function Turning({ shape: { clr, od }, moving }: { shape: Shape; moving: MovingParts }) {
  const groove = clr - od / 2
  const bore = Math.max(groove * 0.16, 4)
  return (
    <g ref={moving.turning}>
      <circle class="die" r={groove} />
      <circle class="thin" r={groove * 0.9} />
      <circle class="die-bore" r={bore} />
      <path
        class="die-key"
        d={`M${-bore * 0.3} ${-bore}v${-bore * 0.5}h${bore * 0.6}v${bore * 0.5}`}
      />
      <path class="thin" d={`M0 ${-groove}V${-groove * 0.72}`} />
      <g class="tooling">
        <rect x={od * 0.25} y={-(clr + od * 1.12)} width={od * 1.5} height={od * 0.6} />
      </g>
    </g>
  )
}

/** The crossed chain lines of a centre. */
function CentreMark({ shape: { clr, od } }: { shape: Shape }) {
  const reach = clr - od / 2 + Math.min(12, od * 0.2)
  return <path class="chain" d={`M${-reach} 0H${reach}M0 ${-reach}V${reach}`} />
}

/** Where the tube is wanted after letting off: a ghost of its leg, and the zone it may stand in. */
function Wanted(props: { shape: Shape; wantedDeg: number; toleranceDeg: number }) {
  const { shape, wantedDeg, toleranceDeg } = props
  const { radius, aheadDeg } = sweepOf(shape)
  const end = onLeg(shape.clr, shape.leg, wantedDeg)
  const foot = onLeg(shape.clr, 0, wantedDeg)
  const zone = Math.max(0.15, toleranceDeg)
  return (
    <g class="wanted">
      <path class="ghost-line" d={`M${foot.x} ${foot.y}L${end.x} ${end.y}`} />
      <path
        class="zone"
        d={arcPath(radius + 5, aheadDeg + wantedDeg - zone, aheadDeg + wantedDeg + zone)}
      />
    </g>
  )
}

/** Written at its place, upright, half its height below the point. */
function Letters({ text, fontPx, at }: Lettering) {
  return (
    <text x={at.x} y={at.y} dy={fontPx * 0.36} font-size={fontPx} text-anchor={at.anchor}>
      {text}
    </text>
  )
}

function StopTick(props: { shape: Shape; commandedDeg: number; textPx: number }) {
  const { shape, commandedDeg, textPx } = props
  const { radius, aheadDeg } = sweepOf(shape)
  const at = aheadDeg + commandedDeg
  return (
    <g class="stop-tick">
      <path d={tickPath(radius, at, textPx * 0.5, DIMENSION_OUT_PX + textPx * 0.8)} />
      <Letters {...stopLettering(shape, commandedDeg, textPx)} />
    </g>
  )
}

/** Everything of the drawing in the order it is laid down, with places for what moves. */
export function StillParts(props: {
  layout: Layout
  textPx: number
  wantedDeg: number
  toleranceDeg: number
  commandedDeg: number | null
  moving: MovingParts
}) {
  const { layout, textPx, wantedDeg, toleranceDeg, commandedDeg, moving } = props
  const { shape } = layout
  const { radius, aheadDeg } = sweepOf(shape)
  return (
    <>
      <path class="chain" d={`M0 ${-shape.clr}H${shape.leg + DIMENSION_OUT_PX + textPx}`} />
      <path class="thin" d={tickPath(radius, aheadDeg, 0, DIMENSION_OUT_PX + textPx * 0.4)} />
      <path class="ghost-walls" d={tubePaths(shape, wantedDeg).walls} />
      <PressureBlock shape={shape} />
      <Turning shape={shape} moving={moving} />
      <CentreMark shape={shape} />
      <path class="tube-band" ref={moving.band} />
      <path class="tube-walls" ref={moving.walls} />
      <path class="tube-centreline" ref={moving.centreline} />
      <path class="tube-break" ref={moving.breaks} />
      <Wanted {...{ shape, wantedDeg, toleranceDeg }} />
      <path class="swept" ref={moving.swept} />
      <path class="swept-head" ref={moving.sweptHead} />
      <g class="wanted">
        <Letters {...wantedLettering(shape, { wantedDeg, commandedDeg, textPx })} />
      </g>
      {commandedDeg !== null && <StopTick {...{ shape, commandedDeg, textPx }} />}
      <path class="to-go" ref={moving.toGo} />
      <path class="to-go-head" ref={moving.toGoHeads} />
      <text class="to-go-text" dy={textPx * 0.36} data-text-px={textPx} ref={moving.toGoText} />
    </>
  )
}
