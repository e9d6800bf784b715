type Draw = (nowMs: number) => void

const draws = new Set<Draw>()
let pending = 0

function everyFrame(nowMs: number) {
  for (const draw of draws) draw(nowMs)
  pending = draws.size > 0 ? requestAnimationFrame(everyFrame) : 0
}

/** Calls `draw` once an animation frame until the returned function is called. One loop for all. */
export function eachFrame(draw: Draw): () => void {
  draws.add(draw)
  if (pending === 0) pending = requestAnimationFrame(everyFrame)
  return () => void draws.delete(draw)
}
