import { existsSync } from 'node:fs'
import { SerialPort } from 'serialport'

/** A serial port of this machine, by the name that stays when others come and go. */
export interface PortEntry {
  readonly path: string
  readonly name: string
  readonly maker: string | null
  readonly serialNumber: string | null
}

type Listed = Awaited<ReturnType<typeof SerialPort.list>>[number]

const BY_ID = '/dev/serial/by-id'

/** Adapters first: what has a maker is what was plugged in. An unreadable list is an empty one. */
export async function listPortEntries(
  list: () => Promise<readonly Listed[]> = () => SerialPort.list(),
  isThere: (path: string) => boolean = existsSync,
): Promise<PortEntry[]> {
  const ports = await list().catch(() => [])
  return ports
    .map((port) => entryOf(port, isThere))
    .sort((a, b) => rank(a) - rank(b) || a.path.localeCompare(b.path))
}

const rank = ({ maker, serialNumber }: PortEntry) => ((maker ?? serialNumber) === null ? 1 : 0)

function entryOf(
  { path, pnpId, manufacturer, serialNumber }: Listed,
  isThere: (path: string) => boolean,
): PortEntry {
  const stable = pnpId === undefined ? path : `${BY_ID}/${pnpId}`
  const maker = manufacturer ?? null
  const words = [maker, serialNumber, `(${path})`].filter((word) => word != null)
  return {
    path: isThere(stable) ? stable : path,
    name: words.length > 1 ? words.join(' ') : path,
    maker,
    serialNumber: serialNumber ?? null,
  }
}
