import { makeBendActs } from './bend-acts.ts'
import { makeCertificateDesk } from './certificate-desk.ts'
import { makeNotebookDesk, type NotebookParts } from './notebook/notebook-desk.ts'
import { makePieceDesk, type PieceParts } from './piece-desk.ts'
import { makeViewsDesk, type ViewsParts } from './views-desk.ts'

type DaemonParts = NotebookParts &
  ViewsParts &
  PieceParts &
  Parameters<typeof makeCertificateDesk>[0] &
  Parameters<typeof makeBendActs>[0]

/** What is done about recorded bends: of the daemon, whatever benders it has. */
export function makeDaemonDoors(parts: DaemonParts) {
  const acts = makeBendActs(parts)
  return {
    acts,
    pieces: makePieceDesk(parts, acts),
    notebook: makeNotebookDesk(parts),
    certificates: makeCertificateDesk(parts),
    views: makeViewsDesk(parts),
  }
}
