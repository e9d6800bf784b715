import type { RefObject } from 'preact'
import { useEffect, useRef, useState } from 'preact/hooks'
import uPlot from 'uplot'
import { theme } from '../live/theme.ts'
import { nearestPoint } from './nearest-point.ts'
import { type Inks, inksOf } from './trace-options.ts'
import { type Size, useSize } from './use-size.ts'

interface BendPoint {
  readonly id: number
}

/** A chart whose points are bends. */
export interface BendChart<Point extends BendPoint> {
  readonly points: readonly Point[]
  readonly data: uPlot.AlignedData
  /** Where a point stands, in the units of the axes. */
  readonly placeOf: (point: Point) => { readonly x: number; readonly y: number }
  /** `shown`: the point under the pointer. */
  readonly optionsOf: (size: Size, inks: Inks, shown: () => Point | null) => uPlot.Options
}

/** Tells which bend the pointer is on, and opens it at a press. @returns how to stop. */
function followPointer<Point extends BendPoint>(
  chart: uPlot,
  { points, placeOf }: BendChart<Point>,
  onPoint: (point: Point | null) => void,
): () => void {
  const at = ({ offsetX, offsetY }: MouseEvent) =>
    nearestPoint(
      points,
      (point) => {
        const { x, y } = placeOf(point)
        return { xPx: chart.valToPos(x, 'x'), yPx: chart.valToPos(y, 'y') }
      },
      { xPx: offsetX, yPx: offsetY },
    )
  const open = (point: Point | null) => {
    if (point) location.hash = `#/history/${point.id}`
  }
  const controller = new AbortController()
  const until = { signal: controller.signal }
  chart.over.addEventListener('mousemove', (event) => onPoint(at(event)), until)
  chart.over.addEventListener('mouseleave', () => onPoint(null), until)
  chart.over.addEventListener('click', (event) => open(at(event)), until)
  return () => controller.abort()
}

/**
 * Draws a chart of bends into an element, anew when its size, its ground or the chart itself changes; each point opens
 * its bend at a press.
 *
 * @param chart The same object as long as nothing in it changes.
 * @returns the point under the pointer.
 */
export function useBendChart<Point extends BendPoint>(
  cell: RefObject<HTMLElement | null>,
  chart: BendChart<Point>,
): Point | null {
  const shown = useRef<Point | null>(null)
  const [pointed, setPointed] = useState<Point | null>(null)
  const size = useSize(cell).value
  const ground = theme.value

  useEffect(() => {
    const target = cell.current
    if (!target || size.widthPx === 0) return
    shown.current = null
    setPointed(null)
    const options = chart.optionsOf(size, inksOf(target), () => shown.current)
    const plot = new uPlot(options, chart.data, target)
    const stop = followPointer(plot, chart, (point) => {
      if (point === shown.current) return
      shown.current = point
      setPointed(point)
      plot.redraw(false)
    })
    return () => {
      stop()
      plot.destroy()
    }
  }, [cell, size, ground, chart])

  return pointed
}
