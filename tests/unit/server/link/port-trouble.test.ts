import { describe, expect, it } from 'vitest'
import { describeTrouble } from '../../../../server/link/port-trouble.ts'

const PATH = '/dev/serial/by-id/usb-board-if00'

describe('what is wrong with a port, in one sentence, and what to do', () => {
  // The messages of serialport 13.0.0 on Linux, as seen on a pseudo-terminal, a file and a folder; of the
  // others as its documentation and issue tracker have them.
  it.each([
    [
      'Error: No such file or directory, cannot open X',
      'missing',
      'There is no port',
      '/dev/serial',
    ],
    [
      'Error: No such device or address, cannot open X',
      'missing',
      'There is no port',
      '/dev/serial',
    ],
    ['Error: Permission denied, cannot open X', 'forbidden', 'may not open', 'dialout'],
    ['Opening COM7: Access denied', 'forbidden', 'may not open', 'dialout'],
    ['Error Resource temporarily unavailable Cannot lock port', 'busy', 'Another program', 'Close'],
    ['Error: Device or resource busy, cannot open X', 'busy', 'Another program', 'Close'],
    ['Error: Is a directory, cannot open X', 'unfit', 'is not a serial port', 'by-id'],
    [
      'Error: Inappropriate ioctl for device setting custom baud rate of 115200',
      'unfit',
      'is not a serial port',
      'by-id',
    ],
    ['Error: Invalid baud rate setting 7', 'unfit', 'baud rate', '--baud'],
    ['"baudRate" is not a valid baudRate', 'unfit', 'baud rate', '--baud'],
  ])('%s', (message, kind, reason, hint) => {
    const trouble = describeTrouble(PATH, new Error(message))
    expect(trouble.kind).toBe(kind)
    expect(trouble.reason).toContain(reason)
    expect(trouble.reason).toContain(PATH)
    expect(trouble.hint).toContain(hint)
    expect(trouble.reason).toMatch(/^[^.]*.*\.$/)
  })

  it.each([
    [new Error('Error: the adapter is on fire'), 'the adapter is on fire.'],
    [new Error('odd.'), 'odd.'],
    ['a text', 'a text.'],
    [undefined, 'undefined.'],
  ])('what is not known is quoted: %s', (error, words) => {
    const trouble = describeTrouble(PATH, error)
    expect(trouble.kind).toBe('other')
    expect(trouble.reason).toBe(`${PATH} could not be opened: ${words}`)
    expect(trouble.hint).not.toBe('')
  })
})
