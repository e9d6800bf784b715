import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import type { History } from '../../../../../server/history/history.ts'
import type { NotebookAsk, NotebookTake } from '../../../../../server/messages/notebook.ts'
import { makeNotebookDesk } from '../../../../../server/station/notebook/notebook-desk.ts'
import { Refused } from '../../../../../server/web/station-door.ts'
import { makeFolder, newBend, openShop, rawOf, SETUP } from '../../history/shop.ts'

const HEAD = 'Date;Part;Piece;Bend;Lot;Who;Angle;Tol;Bent to;Got'
const LINES = [
  '4.3.2019;BR-5;1;1;RT-1;Ada;90;1;93,2;90,3',
  '4.3.2019 9:30;BR-5;1;2;RT-2;Ada;45;1;46,9;45,1',
  '1.3.2019;BR-5;1;3;RT-1;Ada;30;0,5;31,6;30,9',
]
const text = (lines: readonly string[] = LINES) => [HEAD, ...lines, ''].join('\r\n')

let dir: string
let remove: () => void
let history: History
const retaught = vi.fn()
beforeEach(() => {
  ;({ dir, remove } = makeFolder())
  history = openShop(dir)
  history.addSetup(SETUP)
  vi.resetAllMocks()
})
afterEach(() => {
  history.close()
  remove()
})

let isBending = false
const deskOf = (given: History = history) =>
  makeNotebookDesk({
    history: given,
    clock: { wallMs: () => Date.UTC(2026, 0, 5) },
    software: '0.1.0',
    teaching: () => [{ retaught, isBending: () => isBending }],
  })
const ask = (changes: Partial<NotebookAsk> = {}): NotebookAsk => {
  const whole: NotebookAsk = {
    file: 'notebook.csv',
    text: text(),
    separator: 'semicolon',
    decimal: 'comma',
    dates: 'day-first',
    setupId: 1,
    mapping: {},
    ...changes,
  }
  const mapping = changes.mapping ?? deskOf().preview(whole).guess
  return { ...whole, mapping }
}
const take = (changes: Partial<NotebookTake> = {}): NotebookTake => ({
  ...ask(changes),
  who: 'Quality',
  teach: false,
  ...changes,
})
function refusal(work: () => unknown): string {
  try {
    work()
  } catch (error) {
    if (error instanceof Refused) return error.message
    throw error
  }
  throw new Error('It was not refused.')
}

describe('a preview', () => {
  test('guesses the columns and shows the bends as they would be recorded', () => {
    const preview = deskOf().preview(ask())
    expect(preview.problems).toEqual([])
    expect(preview.lines).toBe(3)
    expect(preview.rows[0]).toMatchObject({
      ...{ line: 2, part: 'BR-5', lot: 'RT-1', operator: 'Ada', wantedDeg: 90, toleranceDeg: 1 },
      ...{ peakDeg: 93.2, releasedDeg: 90.3, verdict: 'in', cannotTeachWhy: null },
    })
    expect(preview.rows[2]).toMatchObject({ verdict: 'over', line: 4 })
    expect(history.count()).toBe(0)
  })

  test('names each fault by line and column, and takes one value for all lines', () => {
    const lines = ['4.3.2019;;1;1;;Ada;90;1;x;90', '99.3.2019;BR-5;0;1;;Ada;90;1;93;', ...LINES]
    const preview = deskOf().preview(ask({ text: text(lines) }))
    expect(preview.problems.map(({ line, field }) => `${line} ${field}`)).toEqual([
      '2 part',
      '2 peakDeg',
      '3 startedAt',
      '3 piece',
      '3 releasedDeg',
    ])
    expect(preview.problemCount).toBe(5)
    const { guess } = preview
    const mapping = { ...guess, part: { value: 'BR-6' }, lot: { value: 'L-9' } }
    const again = deskOf().preview(ask({ mapping }))
    expect(again.rows.map(({ part, lot }) => `${part} ${lot}`)).toEqual(Array(3).fill('BR-6 L-9'))
  })

  test('of a column that was not chosen says so once, and of each cell that is empty', () => {
    const { operator: _, toleranceDeg: __, ...mapping } = ask().mapping
    const lines = ['4.3.2019;;4;1;;Ada;90;1;93;90', ...LINES]
    const { problems, problemCount } = deskOf().preview(ask({ text: text(lines), mapping }))
    expect(problems.map(({ line, field }) => `${line} ${field}`)).toEqual([
      ...['1 operator', '1 toleranceDeg', '2 part'],
    ])
    expect(problemCount).toBe(3)
    const empty = { ...ask().mapping, operator: { value: ' ' } }
    expect(deskOf().preview(ask({ mapping: empty })).problems).toMatchObject([
      { line: 1, field: 'operator' },
    ])
  })

  test.each([
    ['', 'The file is empty'],
    ['\r\n\r\n', 'The file is empty'],
    [`${HEAD}\r\n"4.3.2019;BR-5`, 'no CSV'],
    [`${HEAD}\r\n${LINES[0]};one;more`, '12 cells, but the header has 10'],
  ])('of %j says so', (given, sentence) => {
    const { problems } = deskOf().preview({ ...ask(), text: given })
    expect(problems[0]?.sentence).toContain(sentence)
  })

  test('refuses a letter that could not be read, once a cell that would be recorded', () => {
    const lines = ['4.3.2019;B\uFFFDR-5;9;1;;J\uFFFDrg;90\uFFFD;1;93;90', ...LINES]
    const given = ask({ text: text(lines) })
    const { problems, problemCount } = deskOf().preview(given)
    expect(problems.map(({ line, field }) => `${line} ${field}`)).toEqual([
      '2 part',
      '2 operator',
      '2 wantedDeg',
    ])
    expect(problemCount).toBe(3)
    expect(refusal(() => deskOf().take({ ...given, who: 'Quality', teach: false }))).toContain(
      'Line 2, part: A letter here could not be read: save the file as UTF-8',
    )
    expect(history.count()).toBe(0)
    // What is not recorded is in nobody's way.
    const { operator: _, part: __, wantedDeg: ___, ...rest } = given.mapping
    const values = {
      operator: { value: 'Ada' },
      part: { value: 'BR-5' },
      wantedDeg: { value: '90' },
    }
    const mapping = { ...rest, ...values }
    expect(deskOf().preview({ ...given, mapping }).problems).toEqual([])
  })

  test('refuses a day that is still to come', () => {
    const lines = ['5.1.2026;BR-5;2;1;;Ada;90;1;93;90', '6.1.2026 12:00;BR-5;3;1;;Ada;90;1;93;90']
    const { problems, rows } = deskOf().preview(ask({ text: text(lines) }))
    expect(rows).toHaveLength(1)
    expect(problems).toMatchObject([{ line: 3, field: 'startedAt' }])
    expect(problems[0]?.sentence).toMatch(
      /^"6\.1\.2026 12:00" is still to come, today is 2026-01-0/,
    )
  })

  test('refuses a bend that stands on two lines, at the later one', () => {
    const [, second = ''] = LINES
    const lines = [...LINES, second.replace(/;[^;]*$/, ';91'), '9.3.2019;BR-6;1;2;;Bo;45;1;46;45']
    const whole = ask({ text: text(lines) })
    expect(deskOf().preview(whole).problems).toEqual([
      {
        line: 5,
        field: 'bendNumber',
        sentence:
          'Bend 2 of BR-5, piece 1, stands on line 3 already, of the same day and lot: take one out, or number them apart.',
      },
    ])
    // Where pieces are not counted, a bend 2 stands there once a piece.
    const { piece: _, ...mapping } = whole.mapping
    expect(deskOf().preview({ ...whole, mapping }).problems).toEqual([])
  })

  test('takes pieces that are counted anew each day, or in each lot', () => {
    const lines = [
      '4.3.2019 23:50;BR-7;1;1;RT-1;Ada;90;1;93;90',
      '5.3.2019 00:10;BR-7;1;1;RT-1;Ada;90;1;93;90',
      '5.3.2019 00:20;BR-7;1;1;RT-2;Ada;90;1;93;90',
    ]
    const { lines: count, problems } = deskOf().preview(ask({ text: text(lines) }))
    expect({ count, problems }).toEqual({ count: 3, problems: [] })
    const again = deskOf().preview(ask({ text: text([...lines, ...lines.slice(1, 2)]) }))
    expect(again.problems.map(({ line, field }) => [line, field])).toEqual([[5, 'bendNumber']])
  })

  test('counts lines inside quotes', () => {
    const lines = ['4.3.2019;"BR\r\n5";1;1;;Ada;90;1;93;90', '4.3.2019;;1;1;;Ada;90;1;93;90']
    expect(deskOf().preview(ask({ text: text(lines) })).problems[0]?.line).toBe(4)
  })

  test('says why a bend cannot teach', () => {
    const lines = ['4.3.2019;BR-5;1;1;;Ada;90;1;;90', '4.3.2019;BR-5;2;1;;Ada;90;1;89;90']
    const { rows, canTeach } = deskOf().preview(ask({ text: text(lines) }))
    expect(canTeach).toBe(0)
    expect(rows[0]?.cannotTeachWhy).toContain('No angle under load')
    expect(rows[1]?.cannotTeachWhy).toContain('No springback')
  })
})

describe('an import', () => {
  test('records all lines in the order they were made, marked, without a sensor’s word', () => {
    history.append(newBend(1), rawOf(1))
    const taken = deskOf().take(take())
    expect(taken).toEqual({ bends: 3, first: 2, last: 4 })
    const bends = [2, 3, 4].map((id) => history.bend(id)!)
    expect(bends.map(({ bendNumber }) => bendNumber)).toEqual([3, 1, 2])
    for (const bend of bends) {
      expect(bend).toMatchObject({
        imported: { file: 'notebook.csv', by: 'Quality' },
        ...{ closedBy: 'imported', goes: [], rawLines: 0, learned: 'no', releasedFrom: 'checked' },
        notLearnedWhy: 'It was imported, and not to teach.',
      })
      expect(bend.checkedDeg).toBe(bend.releasedDeg)
    }
    expect(bends[2]?.tube.lot).toBe('RT-2')
    expect(history.verify()).toMatchObject({ intact: true, records: 4 })
    expect([...history.lessons()].map(({ id }) => id)).toEqual([1])
    expect(retaught).not.toHaveBeenCalled()
  })

  test('teaches when told to, and only then', () => {
    deskOf().take(take({ teach: true }))
    const lessons = [...history.lessons()]
    expect(lessons.map(({ peakDeg }) => peakDeg)).toEqual([31.6, 93.2, 46.9])
    expect(lessons.every(({ checked }) => checked?.byHandAlone === true)).toBe(true)
    expect(retaught).toHaveBeenCalledOnce()
  })

  test('with one bad line takes nothing and says which', () => {
    const lines = [...LINES, '4.3.2019;BR-5;1;1;;Ada;ninety;1;93;90']
    const sentence = refusal(() => deskOf().take(take({ text: text(lines) })))
    expect(sentence).toContain('Nothing was imported. Line 5, wantedDeg: "ninety" is no number')
    expect(history.count()).toBe(0)
  })

  test('that the disk refuses half way leaves nothing behind', () => {
    let left = 2
    const failing: History = {
      ...history,
      append(...given) {
        if (left === 0) throw new Error('no more')
        left -= 1
        return history.append(...given)
      },
    }
    expect(() => deskOf(failing).take(take())).toThrow('no more')
    expect(history.count()).toBe(0)
    expect(history.setups()).toHaveLength(1)
    expect(history.recall('notebooks imported') ?? null).toBeNull()
  })

  test('of the same file twice is refused with where it is', () => {
    deskOf().take(take())
    expect(refusal(() => deskOf().take(take()))).toContain('imported before, as records 1 to 3')
    expect(history.count()).toBe(3)
  })

  test('with nothing but a header, or with a set-up that is not there, is refused', () => {
    expect(refusal(() => deskOf().take(take({ text: HEAD })))).toContain('no line below the header')
    expect(refusal(() => deskOf().take(take({ mapping: {}, setupId: 9 })))).toContain(
      'no set-up number 9',
    )
  })

  test('of a long file waits for the bend in hand, so that no stop is called late', () => {
    const long = (lines: number, part = 'R') =>
      text(
        Array.from(
          { length: lines },
          (_, i) => `4.3.2019;${part};${i + 1};1;RT-1;Ada;90;1;93,2;90,3`,
        ),
      )
    isBending = true
    try {
      expect(refusal(() => deskOf().take(take({ text: long(201) })))).toMatch(
        /bends just now, and 201/,
      )
      const { mapping } = ask({ text: long(1) })
      expect(refusal(() => deskOf().preview(ask({ text: long(201), mapping })))).toMatch(
        /bends just now, and 201/,
      )
      expect(deskOf().preview(ask({ text: long(200), mapping })).lines).toBe(200)
      expect(history.count()).toBe(0)
      expect(deskOf().take(take({ text: long(200) })).bends).toBe(200)
    } finally {
      isBending = false
    }
    expect(deskOf().take(take({ text: long(201, 'S') })).bends).toBe(201)
  })

  test('in mid-bend is entered at once, and the open bend stays open', () => {
    const { job } = newBend(1)
    history.openBend({
      startedAt: '2026-01-05T07:00:00.000+00:00',
      setupId: 1,
      job,
      simulated: false,
      leadS: 0,
    })
    deskOf().take(take())
    expect(history.count()).toBe(3)
    expect(history.leftOpen()?.job).toEqual(job)
  })

  test('keeps text as it stands: emoji, right-to-left, markup, formulas', () => {
    const names = ['🙂 rail', 'מעקה', '<b>x</b>', "=1+1'; DROP TABLE bend;--"]
    const lines = names.map(
      (part) => `4.3.2019;${part.includes(';') ? `"${part}"` : part};1;1;;Ada;90;1;93;90`,
    )
    const { first, last } = deskOf().take(take({ text: text(lines) }))
    const kept = Array.from({ length: last - first + 1 }, (_, n) => history.bend(first + n)?.part)
    expect(kept).toEqual(names)
  })
})
