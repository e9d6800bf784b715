import { chainApplyWords } from './en-chain-apply.ts'
import { chainEditWords } from './en-chain-edit.ts'

/** What is wrong from a block on. */
type Trouble = 'late' | 'uncertain' | 'bad' | 'stale'

interface Beginning {
  readonly trouble: Trouble
  readonly block: string
  readonly port: string
  readonly ageS: number
  readonly isFirst: boolean
}

const TROUBLE: Readonly<Record<Trouble, string>> = {
  late: 'late',
  uncertain: 'uncertain',
  bad: 'bad',
  stale: 'stale',
}

const FROM_HERE: Readonly<Record<Trouble, (block: string, port: string, ageS: number) => string>> =
  {
    late: (block, port, ageS) =>
      `Values are late from ${block} on: the last ${port} is ${ageS.toFixed(1)} s old.`,
    uncertain: (block, port) => `Values are uncertain from ${block} on, at ${port}.`,
    bad: (block, port) => `Values are bad from ${block} on, at ${port}.`,
    stale: (block, port, ageS) =>
      `Values are stale from ${block} on: no ${port} has come out for ${ageS.toFixed(ageS < 10 ? 1 : 0)} s.`,
  }

const LOOK_AT_WIRE: Readonly<Record<Trouble, string>> = {
  late: 'Look at the sensor and its wire.',
  uncertain: 'The sensor itself says so: look at its magnet and its supply.',
  bad: 'The sensor itself says so: look at it and its wire.',
  stale: 'Look at the sensor and its wire: no reading comes in.',
}

const LOOK_AT_BLOCK =
  'What it takes is better than that: open the block and look at its parameters.'

/** Texts of the Chain page. */
export const chainWords = {
  title: 'Chain',
  intro:
    'From the wire to the record: what each block takes, what it makes of it, and what goes over each connection now.',
  drawing: 'The chain as a drawing',
  text: 'As text',
  asDrawing: 'As a drawing',
  copy: 'Copy',
  copied: 'Copied.',
  revision: (name: string) => `Revision ${name}`,
  placing: 'Placing the blocks…',
  notPlaced: (why: string) => `The blocks could not be placed: ${why}`,
  blockOf: (id: string, kind: string) => (id === kind ? id : `${id} (${kind})`),
  silent: 'nothing yet',
  never: 'never',
  quiet: 'quiet',
  items: (count: number) => (count === 1 ? '1 came' : `${count} came`),
  quality: ['good', 'uncertain', 'bad', 'none'] as const,
  blocks: 'Every block there is',
  close: 'Close',
  takes: 'Takes',
  gives: 'Gives',
  parameters: 'Parameters',
  noParameters: 'None.',
  from: 'From',
  unconnected: 'not connected',
  carries: 'Carries',
  now: 'Now',
  age: 'Age',
  counts: 'Good / uncertain / bad',
  ago: (seconds: number) => (seconds < 0.95 ? 'now' : `${seconds.toFixed(0)} s ago`),
  range: 'Range',
  asShipped: 'As shipped',
  value: 'Value',
  begins: {
    mark: (trouble: Trouble, port: string) => `${TROUBLE[trouble]} from here: ${port}`,
    sentence: ({ trouble, block, port, ageS, isFirst }: Beginning) =>
      `${FROM_HERE[trouble](`block ${block}`, port, ageS)} ${isFirst ? LOOK_AT_WIRE[trouble] : LOOK_AT_BLOCK}`,
  },
  legend: {
    good: 'good',
    uncertain: 'uncertain',
    bad: 'bad',
    quiet: 'nothing for over a second',
    item: 'events, now and then',
  },
  own: {
    title: 'Own blocks are loaded',
    warning:
      'Their code does not come with the program and may do whatever the daemon may. Each file and its SHA-256:',
    block: (kind: string, file: string) =>
      file.startsWith(`${kind}.`) ? file : `${kind}, ${file}`,
    failed: (times: number, why: string) =>
      `Failed ${times === 1 ? 'once' : `${times} times`}: ${why}.`,
  },
  tap: {
    counts: (tap: { sent: number; waiting: number; dropped: number; refused: number }) =>
      `Let out ${tap.sent}, waiting ${tap.waiting}, left out ${tap.dropped}, refused ${tap.refused}.`,
  },
  edit: chainEditWords,
  ...chainApplyWords,
}
