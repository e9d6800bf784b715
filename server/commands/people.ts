import { userInfo } from 'node:os'
import { Option } from 'commander'
import { HistoryError } from '../history/errors.ts'
import type { History } from '../history/history.ts'
import { isoWithOffset } from '../history/iso-time.ts'
import { openHistory } from '../history/open.ts'
import { openReader } from '../history/reader.ts'
import {
  type ChangePersonAsk,
  PASSWORD_MAX,
  PASSWORD_MIN,
  type Person,
  ROLES,
  type Role,
} from '../messages/people.ts'
import { makePasswords } from '../people/passwords.ts'
import { makePeopleDesk } from '../people/people-desk.ts'
import { software } from '../version.ts'
import { Refused } from '../web/station-door.ts'
import { typedName } from '../web/typed-names.ts'
import { type AddCommand, BadInput, printJson } from './command.ts'
import { onHistory, withDataOptions } from './history-command.ts'
import { lineGiven } from './line-given.ts'

interface Options {
  readonly data: string
  readonly json?: true
  readonly by?: string
  readonly reason: string
  readonly role?: Role
}

async function passwordGiven(): Promise<string> {
  const line = await lineGiven()
  if (line !== null && line.length >= PASSWORD_MIN && line.length <= PASSWORD_MAX) return line
  throw new BadInput(
    `A password has ${PASSWORD_MIN} to ${PASSWORD_MAX} characters; give it on one line of standard input.`,
  )
}

const deskOf = (history: History) =>
  makePeopleDesk({
    ...{ history, software, passwords: makePasswords() },
    clock: { nowS: () => 0, after: () => ({ cancel: () => undefined }) },
    at: () => isoWithOffset(Date.now()),
  })

/** While a daemon has the folder, people are changed where it asks who does it. */
function openUnused(dataDir: string): History {
  try {
    return openHistory(dataDir)
  } catch (error) {
    if (!(error instanceof HistoryError && error.code === 'HISTORY_IN_USE')) throw error
    throw new BadInput(
      `${error.message} Or let an administrator do it on the page People of the daemon that runs.`,
    )
  }
}

function tell(people: readonly Person[], { json }: Options): void {
  if (json) printJson({ people })
  else process.stdout.write(people.map(lineOf).join(''))
}

/** Only reads, also beside a daemon. */
const list = (options: Options) =>
  onHistory(() => {
    const reader = openReader(options.data)
    try {
      tell(reader.people(), options)
    } finally {
      reader.close()
    }
  })

/** Works on the people of a data folder that no daemon uses, and says who there is then. */
const onPeople =
  <A extends unknown[]>(work: (desk: ReturnType<typeof deskOf>, ...args: A) => Promise<unknown>) =>
  (options: Options, ...args: A) =>
    onHistory(async () => {
      const history = openUnused(options.data)
      try {
        const desk = deskOf(history)
        await work(desk, ...args)
        tell(desk.list(), options)
      } catch (error) {
        if (error instanceof Refused) throw new BadInput(error.message)
        throw error
      } finally {
        history.close()
      }
    })

const lineOf = ({ name, role, isActive }: Person) =>
  `${name}\t${role}${isActive ? '' : '\tretired'}\n`

const roleOption = () => new Option('--role <role>', 'what the person may do').choices([...ROLES])

function changeOf(name: string, { by, reason, role }: Options): Omit<ChangePersonAsk, 'change'> {
  return {
    who: typedName(by ?? userInfo().username, '--by'),
    name,
    reason,
    ...(role !== undefined && { role }),
  }
}

async function add(desk: ReturnType<typeof deskOf>, name: string, options: Options) {
  const { role = 'administrator' } = options
  if (!desk.areEnrolled() && role !== 'administrator')
    throw new BadInput('--role of the first person must be administrator.')
  const password = await passwordGiven()
  await desk.add({ ...changeOf(name, options), role, password }, 'typed')
}

/** `overbend people`: who is enrolled in a data folder. Every change is an entry of the log of people. */
export const people: AddCommand = (program) => {
  const group = program.command('people').description('who is enrolled, and with which role')
  const sub = (usage: string, help: string) =>
    withDataOptions(group.command(usage))
      .description(help)
      .option('--by <name>', 'who makes the change (the name of this login)')
      .option('--reason <text>', 'why, for whoever asks later', 'by the command line')
  withDataOptions(group.command('list'))
    .description('print everybody who was ever enrolled, also while a daemon runs')
    .action(list)
  sub('add <name>', 'enrol a person; the password comes on standard input')
    .addOption(roleOption())
    .action((name: string, options: Options) => onPeople(add)(options, name, options))
  sub('role <name>', 'give a person another role')
    .addOption(roleOption().makeOptionMandatory(true))
    .action((name: string, options: Options) =>
      onPeople((desk) => desk.change({ ...changeOf(name, options), change: 'role' }, 'typed'))(
        options,
      ),
    )
  sub('password <name>', 'give a person another password, on standard input').action(
    (name: string, options: Options) =>
      onPeople(async (desk) => {
        const password = await passwordGiven()
        return desk.change({ ...changeOf(name, options), change: 'password', password }, 'typed')
      })(options),
  )
  sub('retire <name>', 'let a person sign in no more; what they did stays').action(
    (name: string, options: Options) =>
      onPeople((desk) => desk.change({ ...changeOf(name, options), change: 'retired' }, 'typed'))(
        options,
      ),
  )
}
