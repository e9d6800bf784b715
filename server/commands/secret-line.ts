import type { ReadStream } from 'node:tty'

const END_OF_LINE = ['\r', '\n', '\u0004']
const RUB_OUT = ['\u007f', '\b']
const INTERRUPT = '\u0003'

type Terminal = Pick<
  ReadStream,
  'setRawMode' | 'setEncoding' | 'on' | 'off' | 'resume' | 'pause' | 'isRaw'
>

/**
 * One line typed at a terminal that shows none of it. The terminal is put back as it was, whatever happens.
 *
 * @returns null when it was broken off with Ctrl+C, or the terminal was closed.
 */
export function secretLine(terminal: Terminal): Promise<string | null> {
  const wasRaw = terminal.isRaw
  return new Promise((resolve) => {
    let typed: string[] = []
    function end(line: string | null): void {
      terminal.off('data', onData)
      terminal.off('end', onEnd)
      terminal.setRawMode(wasRaw)
      terminal.pause()
      resolve(line)
    }
    const onEnd = () => end(null)
    function onData(text: string): void {
      for (const character of text) {
        const isOver = character === INTERRUPT || END_OF_LINE.includes(character)
        if (isOver) {
          end(character === INTERRUPT ? null : typed.join(''))
          break
        }
        if (RUB_OUT.includes(character)) typed = typed.slice(0, -1)
        else typed.push(character)
      }
    }
    terminal.setEncoding('utf8')
    terminal.setRawMode(true)
    terminal.on('data', onData)
    terminal.on('end', onEnd)
    terminal.resume()
  })
}
