import type { CsvTapParameters } from '../../blocks/csv-tap.ts'
import { makeCsvFiles } from './csv-files.ts'
import { csvHeader, csvRow } from './csv-row.ts'
import { Outbox } from './outbox.ts'
import type { Tap } from './tap.ts'
import type { TapAround } from './tap-around.ts'

const BYTES_A_MB = 1e6
/** About ten minutes at ten rows a second, while the disk is away. */
const WAITING_MAX = 6000
const ROWS_A_WRITE = 500
const GATHER_S = 1
const CLOSE_WITHIN_S = 2

/** Rows into a CSV file of the folder `taps/`. */
export function openCsvTap(settings: CsvTapParameters, around: TapAround): Tap {
  const { file: name, unit, sizeMaxMb, filesMax } = settings
  const write = makeCsvFiles({
    folder: around.folder,
    name,
    header: csvHeader(name, unit),
    bytesMax: sizeMaxMb * BYTES_A_MB,
    filesMax,
  })
  const outbox = new Outbox<string>({
    clock: around.clock,
    after: around.after,
    waitingMax: WAITING_MAX,
    batchMax: ROWS_A_WRITE,
    gatherS: GATHER_S,
    send: (rows) => write(rows.join('')),
  })
  return {
    hear: (item) => outbox.put(csvRow(item, around.wallMsAt)),
    standing: () => outbox.standing(),
    close: () => outbox.close(CLOSE_WITHIN_S),
  }
}
