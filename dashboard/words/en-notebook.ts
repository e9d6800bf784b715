import type { NotebookField } from '../../server/messages/notebook.ts'
import { counted } from './counted.ts'
import { apart } from './format.ts'

const lines = (count: number) => counted(count, 'line', 'lines')

/** All text of the page that takes over an old notebook. */
export const notebookWords = {
  title: 'An old notebook',
  intro:
    'Bends that were written down before this readout was there: a spreadsheet, saved as CSV. It is looked over first, then all of ' +
    'it is recorded, or nothing. Each record says that it was imported, by whom and from which line.',
  choose: 'The file',
  file: 'CSV file',
  tooLong: (most: number) => `The file is longer than ${most} characters: split it.`,
  noText: 'This is no text: save the spreadsheet as CSV, and choose that file.',
  unreadable: 'The file could not be read: choose it again.',
  howTitle: 'How it is written',
  separator: 'Between columns',
  separators: { comma: 'comma  ,', semicolon: 'semicolon  ;', tab: 'tab' },
  decimal: 'Numbers',
  decimals: { point: 'decimal point, 90.5', comma: 'decimal comma, 90,5' },
  dates: 'Days',
  datesNames: {
    'year-first': '2019-03-31',
    'day-first': '31.3.2019',
    'month-first': '3/31/2019',
  },
  readAs: {
    'utf-16': 'Read as UTF-16.',
    'windows-1252':
      'Read as Windows-1252, since it is no UTF-8: look whether all letters are right.',
  },
  dayTaken: (typed: string, meant: string) =>
    `${typed} could be either day: it is read as ${meant} (year, month, day). Choose the other under “Days” if that is wrong.`,
  setup: 'Bent with',
  setupHelp: 'Bender, die and tube. A column may name another lot of the same tube.',
  setupName: (id: number, die: string, material: string, lot: string) =>
    `${id}: ${apart(die)}, ${apart(material)}, ${apart(lot)}`,
  noSetup: 'Enter the die and tube on the Set-up page first.',
  columnsTitle: 'Which column is what',
  notThere: 'not in the notebook',
  oneValue: 'one value for all',
  value: (field: string) => `${field}, for all lines`,
  fields: {
    startedAt: 'Day',
    part: 'Part',
    piece: 'Piece',
    bendNumber: 'Bend',
    lot: 'Lot',
    operator: 'Bent by',
    wantedDeg: 'Wanted, °',
    toleranceDeg: 'Tolerance ±, °',
    commandedDeg: 'Stop at, °',
    peakDeg: 'Peak, °',
    releasedDeg: 'Released, °',
    hits: 'Goes',
  } satisfies Record<NotebookField, string>,
  look: 'Look it over',
  looking: 'It is being looked over; a long file takes a while.',
  noLines: 'There is no line below the header: nothing can be imported.',
  previewTitle: 'As it would be recorded',
  found: (count: number, canTeach: number) =>
    `${lines(count)}, of which ${canTeach} can teach springback.`,
  shown: (shown: number, all: number) => `The first ${shown} of ${all}.`,
  problemsTitle: 'In the way',
  problems: (count: number) =>
    `${count === 1 ? '1 thing is' : `${count} things are`} in the way: nothing can be imported yet.`,
  line: 'Line',
  column: 'Column',
  why: 'What is wrong',
  teaches: 'Teaches',
  yes: 'can',
  takeTitle: 'Import',
  who: 'Who imports it',
  teach: 'Let these bends teach springback',
  teachHelp:
    'Only where die, tube and lot are the ones named, and the angles were taken with care: the next aim is made with them.',
  take: (count: number) => `Import ${lines(count)}`,
  taken: (count: number, first: number, last: number) =>
    count === 1
      ? `1 bend is on record, number ${first}.`
      : `${count} bends are on record, numbers ${first} to ${last}.`,
  back: 'History',
} as const
