import { createReadStream } from 'node:fs'
import { stat } from 'node:fs/promises'
import { createInterface } from 'node:readline'
import { BadInput } from './command.ts'

/** A file's samples, in order. Angles without the jumps of a wrap from 360° to 0°. */
export interface Trace {
  readonly timeS: readonly number[]
  readonly angleDeg: readonly number[]
}

/** Almost three hours at 200 Hz; beyond, it is no trace of bends but the wrong file. */
const ROWS_MAX = 2_000_000
const BYTES_MAX = 256 * 1024 * 1024

const TIME = 't_s'
const ANGLE = 'angle_deg'

/** @throws BadInput with the line and the column at fault. */
export async function readTrace(path: string): Promise<Trace> {
  await refuseWhatIsNoTrace(path)
  const timeS: number[] = []
  const angleDeg: number[] = []
  let places: Places | null = null
  let number = 0
  for await (const line of createInterface({ input: createReadStream(path, 'utf8') })) {
    number += 1
    const text = number === 1 ? line.replace(/^\uFEFF/, '') : line
    if (text.trim() === '') continue
    const cells = text.split(',').map((cell) => cell.trim())
    if (places === null) {
      places = placesIn(cells, path)
      continue
    }
    if (timeS.length === ROWS_MAX)
      throw new BadInput(`${path} has more than ${ROWS_MAX} rows; cut it into shorter traces.`)
    const nextS = numberAt(cells, places.time, TIME, path, number)
    if (!(nextS >= (timeS.at(-1) ?? nextS)))
      throw new BadInput(
        `${path}, line ${number}: ${TIME} goes back from ${timeS.at(-1)} to ${nextS}.`,
      )
    timeS.push(nextS)
    angleDeg.push(unwrapped(numberAt(cells, places.angle, ANGLE, path, number), angleDeg.at(-1)))
  }
  if (timeS.length === 0) throw new BadInput(`${path} has no samples below a header line.`)
  return { timeS, angleDeg }
}

async function refuseWhatIsNoTrace(path: string): Promise<void> {
  const found = await stat(path).catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') throw new BadInput(`${path} is not there.`)
    throw new BadInput(`${path} cannot be read: ${error.code ?? error.message}.`)
  })
  if (!found.isFile()) throw new BadInput(`${path} is no file.`)
  if (found.size > BYTES_MAX)
    throw new BadInput(
      `${path} is larger than ${BYTES_MAX / 1024 / 1024} MB; cut it into shorter traces.`,
    )
}

interface Places {
  readonly time: number
  readonly angle: number
}

function placesIn(header: readonly string[], path: string): Places {
  const names = header.map((name) => name.replace(/^"(.*)"$/, '$1'))
  for (const column of [TIME, ANGLE])
    if (!names.includes(column))
      throw new BadInput(
        `${path}, line 1: the header has no column ${column} (it needs ${TIME},${ANGLE}).`,
      )
  return { time: names.indexOf(TIME), angle: names.indexOf(ANGLE) }
}

function numberAt(
  cells: readonly string[],
  place: number,
  column: string,
  path: string,
  line: number,
): number {
  const text = cells[place] ?? ''
  const value = Number(text)
  if (text === '' || !Number.isFinite(value))
    throw new BadInput(
      `${path}, line ${line}: ${column} takes a number, got "${text.slice(0, 40)}".`,
    )
  return value
}

/** A step of more than half a turn from one sample to the next is a wrap, for no bender moves that fast. */
function unwrapped(readoutDeg: number, beforeDeg: number | undefined): number {
  if (beforeDeg === undefined) return readoutDeg
  return readoutDeg - 360 * Math.round((readoutDeg - beforeDeg) / 360)
}
