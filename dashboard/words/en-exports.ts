import type { LoggedExport } from '../../server/messages/exports.ts'

/** The texts of the list of what left as a file. */
export const exportsWords = {
  title: 'Files exported',
  help: 'Each file of bends that was made from a page, newest first; the last fifty. What a command exports or a person copies off the disk shows nowhere.',
  number: 'No.',
  when: 'When',
  who: 'Who',
  nobody: 'nobody signed in',
  device: 'Device',
  what: 'What',
  formats: {
    csv: 'spreadsheet',
    json: 'for a program',
    signed: 'signed',
    certificate: 'certificate',
  } satisfies Record<LoggedExport['format'], string>,
  which: 'Which bends',
  all: 'all',
  count: 'How many',
  none: 'None so far.',
}
