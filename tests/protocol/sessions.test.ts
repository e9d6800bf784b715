import { describe, expect, it } from 'vitest'
import { decodeLine } from '../../firmware-protocol/codec/decode.ts'
import { encodeSentence } from '../../firmware-protocol/codec/encode.ts'
import { FORM_LIST } from '../../firmware-protocol/codec/forms.ts'
import type { Sentence } from '../../firmware-protocol/codec/sentence.ts'
import { makeCountingHost } from './counting-host.ts'
import { parseSession, readSessions, type Session, type SessionLine } from './session-file.ts'

const COMMANDS = new Set(['identify', 'set-rate', 'set-output', 'heartbeat', 'clock-query'])
const sessions = readSessions()

function sentenceOf({ line }: SessionLine): Sentence {
  const decoded = decodeLine(line)
  if (!decoded.ok) throw new Error(`${decoded.reason}: ${line}`)
  return decoded.sentence
}

/** The number of a command that a device can read although it will not do it. */
const refusableCommand = ({ reason, line }: SessionLine): number | null =>
  reason === 'bad field' || reason === 'wrong field count' ? Number(line.split(',')[1]) : null

/** Commands of a session that must be answered, each with where it stands. */
const commandsIn = ({ lines }: Session): { command: number; at: number; sentence?: Sentence }[] =>
  lines.flatMap((line, at) => {
    if (line.from !== 'host') return []
    if (line.state === 'damaged') {
      const command = refusableCommand(line)
      return command === null ? [] : [{ command, at }]
    }
    const sentence = sentenceOf(line)
    return 'command' in sentence ? [{ command: sentence.command, at, sentence }] : []
  })

/** Answers to a command between its own line and the next command that is numbered the same. */
function answersTo(session: Session, command: number, at: number): Sentence[] {
  const answers: Sentence[] = []
  for (const line of session.lines.slice(at + 1)) {
    const decoded = decodeLine(line.line)
    if (!decoded.ok || !('command' in decoded.sentence)) continue
    if (decoded.sentence.command !== command) continue
    if (line.from === 'host') break
    answers.push(decoded.sentence)
  }
  return answers
}

/** Every line of a state, with a name for its test. */
const linesOf = (state: SessionLine['state']) =>
  sessions.flatMap(({ name, lines }) =>
    lines
      .filter((line) => line.state === state)
      .map((line) => ({ ...line, where: `${name}:${line.lineNumber}` })),
  )

const commands = sessions.flatMap((session) =>
  commandsIn(session).map((asked) => ({ ...asked, session, name: session.name })),
)

describe('a line of the golden sessions', () => {
  it.each(linesOf('good'))('decodes and re-encodes to itself, $where', (line) => {
    expect(encodeSentence(sentenceOf(line))).toBe(line.line)
  })

  it.each(linesOf('odd'))('decodes, and re-encodes to something else, $where', (line) => {
    const written = encodeSentence(sentenceOf(line))
    expect(written).not.toBe(line.line)
    expect(decodeLine(written)).toEqual(decodeLine(line.line))
  })

  it.each(linesOf('damaged'))('is refused because of $reason, $where', ({ line, reason }) => {
    expect(decodeLine(line)).toEqual({ ok: false, reason })
  })

  it.each([...linesOf('good'), ...linesOf('odd')])('is on its own side, $where', (line) => {
    expect(COMMANDS.has(sentenceOf(line).kind)).toBe(line.from === 'host')
  })
})

describe('a command of the golden sessions', () => {
  it.each(commands)('has one answer, $name $command', ({ session, command, at, sentence }) => {
    const answers = answersTo(session, command, at)
    expect(answers).toHaveLength(1)
    const [answer] = answers
    const refused = answer?.kind === 'answer' && !answer.ok
    expect(answer?.kind === 'clock-reply').toBe(sentence?.kind === 'clock-query' && !refused)
    if (!sentence) expect(refused).toBe(true)
  })

  it.each(commands.filter(({ sentence }) => sentence?.kind === 'identify'))(
    'has the hello straight behind its answer, $name $command',
    ({ session, command, at }) => {
      const answerAt = session.lines.findIndex(
        (line, index) => index > at && line.line.startsWith(`$PXOBA,${command},`),
      )
      expect(sentenceOf(session.lines[answerAt + 1]!).kind).toBe('hello')
    },
  )
})

describe.each(sessions)('golden session $name', (session) => {
  const told = session.lines
    .filter(({ from, state }) => from === 'device' && state !== 'damaged')
    .map(sentenceOf)

  it('has no answer to what was never asked', () => {
    const asked = commandsIn(session).map(({ command }) => command)
    const answered = told.flatMap((sentence) => ('command' in sentence ? sentence.command : []))
    expect(answered).toEqual(asked)
  })

  it('has ticks of readings and status that never run back, but for a new start', () => {
    let last: number | null = null
    let steps = 0
    for (const sentence of told) {
      if (sentence.kind === 'hello') last = null
      if (!['sample', 'axes', 'status'].includes(sentence.kind)) continue
      const { tickUs } = sentence as { tickUs: number }
      const forwardUs: number = last === null ? 0 : (tickUs - last + 2 ** 32) % 2 ** 32
      expect(forwardUs, JSON.stringify(sentence)).toBeLessThan(2 ** 31)
      last = tickUs
      steps++
    }
    expect(steps).toBeGreaterThan(0)
  })

  it('leaves a host with the tally that stands at its end', () => {
    const host = makeCountingHost()
    for (const { from, line } of session.lines)
      if (from === 'host') host.sent(line)
      else host.received(line)
    expect(host.tally()).toEqual(session.tally)
  })
})

describe('the golden sessions together', () => {
  it('hold every kind of sentence', () => {
    const seen = new Set(
      sessions.flatMap(({ lines }) =>
        lines.filter(({ state }) => state === 'good').map((line) => sentenceOf(line).kind),
      ),
    )
    expect([...seen].sort()).toEqual(FORM_LIST.map(({ kind }) => kind).sort())
  })

  it('hold every reason for refusing a printable line', () => {
    const seen = new Set(
      sessions.flatMap(({ lines }) => lines.flatMap(({ reason }) => reason ?? [])),
    )
    expect([...seen].sort()).toEqual([
      'bad checksum',
      'bad crc',
      'bad field',
      'no checksum',
      'no start',
      'overlong',
      'unknown sentence',
      'wrong field count',
    ])
  })
})

describe('the reader of session files', () => {
  const tally = '= starts 0, missing 0, duplicates 0, refused 0\n'
  it.each([
    ['a line of neither side', `$PXOBB,1\n${tally}`, /:1 is no session line/],
    ['a damaged line without its reason', `<! $PXOBB\n${tally}`, /:1 is no session line/],
    ['an empty line', `\n${tally}`, /:1 is no session line/],
    ['no tally', '# nothing\n', /no tally/],
    ['a line behind the tally', `${tally}# more\n`, /:2 stands behind the tally/],
    ['no line feed at the end', tally.trimEnd(), /does not end/],
  ])('refuses %s', (_, text, message) => {
    expect(() => parseSession('made-up', text)).toThrow(message)
  })
})
