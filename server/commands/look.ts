import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, join } from 'node:path'
import { backUp } from '../history/backup.ts'
import { folderFiles } from '../history/folder.ts'
import type { History } from '../history/history.ts'
import { isoWithOffset } from '../history/iso-time.ts'
import { openHistory } from '../history/open.ts'
import { makeClock } from '../link/clock.ts'
import type { Link } from '../link/link.ts'
import type { Wire } from '../messages/wire.ts'
import { SHIPPED } from '../own-blocks/catalogue.ts'
import { makePasswords } from '../people/passwords.ts'
import { makePeopleDesk } from '../people/people-desk.ts'
import { makeDaemonDoors } from '../station/daemon-doors.ts'
import { Station } from '../station.ts'
import { software } from '../version.ts'
import { makeAccess } from '../web/access.ts'
import { buildApp } from '../web/app.ts'
import { listen } from '../web/listen.ts'
import type { WireDoor } from '../web/station-door.ts'
import { type AddCommand, BadInput, finiteNumber, printJson } from './command.ts'
import { counted, onHistory } from './history-command.ts'
import { dashboardFolder, logLine, onSignals } from './service.ts'

const HOST = '127.0.0.1'

/** Nobody is at the other end, and nobody will be. */
const noLink = (file: string): Link => ({
  open: () => undefined,
  close: async () => undefined,
  send: () => false,
  onLines: () => undefined,
  onState: () => undefined,
  state: () => ({
    ...{ state: 'closed', source: file, overlong: 0, reconnects: 0 },
    reason: 'No bender is here: this is a history to look at.',
    hint: 'Bend at the shop’s own daemon.',
  }),
  judged: () => undefined,
})

/** Whatever would change it is refused before it gets here. */
const noWire = (file: string): WireDoor => ({
  wire: (): Wire => ({ kind: 'replay', file, dialect: 'native' }),
  lines: () => [],
  use: () => undefined,
  ports: async () => [],
  probe: async () => ({ wire: null, sure: 0, sentence: 'Nothing is heard here.', tries: [] }),
})

/** A station that is never started: it takes nothing up from the history and writes nothing to it. */
const idleStation = (history: History, file: string): Station =>
  new Station({
    ...{ history, software, catalogue: SHIPPED, clock: makeClock(), link: noLink(file) },
    bench: null,
    keeping: {
      notices: () => [
        {
          ...{ id: 'look', kind: 'task' },
          text: `This is ${basename(file)}, to look at: nothing can be entered here.`,
          hint: 'Search it on the History page; enter things at the shop’s own daemon.',
        },
      ],
    },
  })

/** The dashboard over a history that is only looked at. */
export function appToLook(history: History, file: string, dashboardDir: string | null) {
  const clock = makeClock()
  const station = idleStation(history, file)
  const wallTime = () => isoWithOffset(clock.wallMs())
  return buildApp({
    ...{ station, wire: noWire(file), history, clock, software, dashboardDir, log: logLine },
    ...makeDaemonDoors({
      ...{ history, clock, software, teaching: () => [station.teaching] },
      trace: (bendId) => station.trace(bendId),
      // The key is the shop's; what is only looked at signs nothing.
      signing: () => null,
    }),
    people: makePeopleDesk({
      ...{ history, clock, software, passwords: makePasswords(), at: wallTime },
    }),
    access: makeAccess({ host: HOST, clock }),
    isToLook: true,
  })
}

/**
 * A checked copy, brought to the newest schema: what is looked at is neither written to nor held, and may lie where
 * nothing can be written.
 *
 * @returns how to take it away again, too.
 */
export async function copyToLook(file: string, begun: (remove: () => void) => void = () => {}) {
  const folder = mkdtempSync(join(tmpdir(), 'overbend-look-'))
  const remove = () => rmSync(folder, { recursive: true, force: true })
  begun(remove)
  try {
    const { records } = await backUp(file, folderFiles(folder).history)
    return { history: openHistory(folder), records, remove }
  } catch (error) {
    remove()
    throw error
  }
}

async function look(file: string, port: number): Promise<void> {
  if (!(Number.isInteger(port) && port >= 0 && port <= 65_535))
    throw new BadInput(`--port takes a whole number from 0 to 65535, got ${port}.`)
  // Ended while the copy is made, too, nothing of it is left behind.
  let stop = async () => {}
  onSignals(() => stop())
  const { history, records, remove } = await copyToLook(file, (removeCopy) => {
    stop = async () => removeCopy()
  })
  const app = appToLook(history, file, dashboardFolder())
  stop = async () => {
    await app.close()
    history.close()
    remove()
  }
  try {
    const { url } = await listen(app, { host: HOST, port })
    process.stderr.write(
      `${counted(records)}, checked, to look at only. Open ${url}/#/history in a browser; Ctrl+C ends it.\n`,
    )
    printJson({ ready: true, url, pid: process.pid, records })
  } catch (error) {
    await stop()
    throw error
  }
}

/** `overbend look`: the pages of the history over one file, with nothing to be written. */
export const lookAt: AddCommand = (program) => {
  program
    .command('look')
    .description(
      'Search an archive, a backup or a data folder in the browser; nothing is entered in it.',
    )
    .argument('<file>', 'archive, backup or data folder')
    .option(
      '--port <number>',
      'port of this machine, 0 for any free one',
      finiteNumber('--port'),
      0,
    )
    .addHelpText(
      'after',
      '\nA checked copy is made in the folder for temporary files (TMPDIR) and removed at the end.',
    )
    .action((file: string, { port }: { port: number }) =>
      onHistory(() => look(file, port), ['HISTORY_NOT_INTACT', 'HISTORY_CORRUPT', 'HISTORY_NEWER']),
    )
}
