import type { Block } from '../chain/block.ts'
import { isoWithOffset } from '../history/iso-time.ts'
import { signingKeyIn } from '../history/key.ts'
import { openReader } from '../history/reader.ts'
import { signedLines } from '../history/signed-export.ts'
import type { CertificateAsk } from '../messages/certificate.ts'
import type { BendFilter } from '../messages/find.ts'
import { paperOf } from '../station/certificate-desk.ts'
import { traceOf } from '../station/rerun.ts'
import { software } from '../version.ts'
import { Refused } from '../web/station-door.ts'
import { BadInput } from './command.ts'

/** What is signed with the key of a data folder, by a connection of its own; null where there is no key. */
export function signingIn(dataDir: string, wallMs: () => number) {
  const key = signingKeyIn(dataDir)
  if (key === null) return null
  const lines = (filter: BendFilter) =>
    signedLines(dataDir, { filter, key, at: isoWithOffset(wallMs()), software })
  return { key, lines }
}

/**
 * A certificate from a data folder or a file, also while a daemon records into it.
 *
 * @throws BadInput where nothing fits, or too much.
 */
export async function paperIn(
  dataDir: string,
  blocks: readonly Block[],
  ask: CertificateAsk,
): Promise<Buffer> {
  const reader = openReader(dataDir)
  const trace = (bendId: number) => traceOf(reader, blocks, bendId)
  try {
    const signing = signingIn(dataDir, Date.now)
    const parts = { history: reader, clock: { wallMs: Date.now }, software, trace, signing }
    return await paperOf(parts, ask)
  } catch (error) {
    throw error instanceof Refused ? new BadInput(error.message) : error
  } finally {
    reader.close()
  }
}
