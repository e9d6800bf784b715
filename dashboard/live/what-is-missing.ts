import type { LinkState } from '../../server/messages/live.ts'
import { words } from '../words/en.ts'
import type { SocketState } from './reconnect.ts'

export interface Missing {
  readonly what: string
  readonly todo: string
}

/** Why no degrees arrive and what to do about it, nearest cause first. */
export function whatIsMissing(
  socket: SocketState,
  link: LinkState | null,
  quality: number,
): Missing {
  const { lost } = words
  if (socket === 'lost') return { what: lost.socket, todo: lost.socketHint }
  if (socket === 'opening' || link === null) return { what: lost.opening, todo: lost.openingHint }
  if (link.state !== 'live')
    return { what: link.reason || lost.quiet, todo: link.hint || lost.quietHint }
  if (quality === 2) return { what: lost.quality, todo: lost.qualityHint }
  return { what: lost.quiet, todo: lost.quietHint }
}
