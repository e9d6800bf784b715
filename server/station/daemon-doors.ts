import { makeBendActs } from './bend-acts.ts'
import { makeCertificateDesk } from './certificate-desk.ts'
import { makeNotebookDesk, type NotebookParts } from './notebook/notebook-desk.ts'
import { makeViewsDesk, type ViewsParts } from './views-desk.ts'

type DaemonParts = NotebookParts &
  ViewsParts &
  Parameters<typeof makeCertificateDesk>[0] &
  Parameters<typeof makeBendActs>[0]

/** What is done about recorded bends: of the daemon, whatever benders it has. */
export const makeDaemonDoors = (parts: DaemonParts) => ({
  acts: makeBendActs(parts),
  notebook: makeNotebookDesk(parts),
  certificates: makeCertificateDesk(parts),
  views: makeViewsDesk(parts),
})
