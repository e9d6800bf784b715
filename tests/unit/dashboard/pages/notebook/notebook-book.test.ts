import { describe, expect, test } from 'vitest'
import type { NotebookForm } from '../../../../../dashboard/pages/notebook/notebook-ask.ts'
import { makeNotebookBook } from '../../../../../dashboard/pages/notebook/notebook-book.ts'
import type { NotebookPreview } from '../../../../../server/messages/notebook.ts'

const TEXT = 'Day;Part\n4.3.2019;BR-5\n'
const fileOf = (text: string, name = 'old.csv') => ({
  name,
  arrayBuffer: async () => new TextEncoder().encode(text).buffer as ArrayBuffer,
})
const BROKEN = { name: 'broken.csv', arrayBuffer: () => Promise.reject(new Error('gone')) }

/** What a preview says of itself: how the days were read. */
const previewOf = (form: NotebookForm): NotebookPreview => ({
  ...{ header: ['Day', 'Part'], guess: { part: { column: 1 } }, lines: 1, canTeach: 0 },
  ...{ problems: [{ line: 2, field: null, sentence: form.dates }], problemCount: 1, rows: [] },
})

/** A daemon whose answers come when they are let go. */
function makeSlowDaemon() {
  const waiting: { readonly form: NotebookForm; readonly answer: () => Promise<void> }[] = []
  const preview = (form: NotebookForm) =>
    new Promise<NotebookPreview>((resolve) => {
      waiting.push({
        form,
        answer: async () => {
          resolve(previewOf(form))
          await new Promise(setImmediate)
        },
      })
    })
  return { waiting, preview }
}

const sentenceOf = (error: unknown) => String(error)

describe('an old notebook, looked over', () => {
  const open = async () => {
    const daemon = makeSlowDaemon()
    const it = makeNotebookBook(daemon.preview, sentenceOf, 7)
    const chosen = it.choose(fileOf(TEXT))
    await new Promise(setImmediate)
    await daemon.waiting[0]?.answer()
    await daemon.waiting[1]?.answer()
    await chosen
    return { it, daemon }
  }
  const formOf = ({ book }: Awaited<ReturnType<typeof open>>['it']) => {
    if (book.value.form === null) throw new Error('No file is open.')
    return book.value.form
  }

  test('is not asked about where it is no text', async () => {
    const daemon = makeSlowDaemon()
    const it = makeNotebookBook(daemon.preview, sentenceOf, 7)
    await it.choose(fileOf('PK\u0003\u0004\0\0', 'old.xlsx'))
    expect(daemon.waiting).toEqual([])
    expect(it.book.value).toMatchObject({ form: null, problem: expect.stringMatching(/no text/) })
  })

  test('is guessed first, then looked over by the guess', async () => {
    const { it, daemon } = await open()
    expect(daemon.waiting.map(({ form }) => form.mapping)).toEqual([{}, { part: { column: 1 } }])
    expect(it.book.value).toMatchObject({ problem: null, isLooking: false, encoding: 'utf-8' })
    expect(it.book.value.preview?.lines).toBe(1)
    expect(formOf(it)).toMatchObject({ file: 'old.csv', setupId: 7, separator: 'semicolon' })
  })

  test('an answer that is overtaken by a newer question is never shown', async () => {
    const { it, daemon } = await open()
    const slow = it.restyle({ ...formOf(it), dates: 'month-first' })
    const quick = it.restyle({ ...formOf(it), dates: 'year-first' })
    await daemon.waiting[3]?.answer()
    await daemon.waiting[2]?.answer()
    await Promise.all([slow, quick])
    expect(it.book.value.preview?.problems[0]?.sentence).toBe('year-first')
    expect(formOf(it).dates).toBe('year-first')
  })

  test('a column that is chosen while an answer is under way stays chosen, and that answer is dropped', async () => {
    const { it, daemon } = await open()
    const looking = it.look()
    expect(it.book.value.isLooking).toBe(true)
    it.remap({ ...formOf(it), mapping: { lot: { column: 0 } } })
    await daemon.waiting[2]?.answer()
    await looking
    expect(it.book.value).toMatchObject({ preview: null, isLooking: false })
    expect(formOf(it).mapping).toEqual({ lot: { column: 0 } })
  })

  test('nothing of the file before stays under a file that cannot be read, or under none', async () => {
    for (const next of [BROKEN, undefined]) {
      const { it } = await open()
      await it.choose(next)
      expect(it.book.value).toMatchObject({ form: null, preview: null, header: [] })
      expect(it.book.value.problem === null).toBe(next === undefined)
    }
  })

  test('a file that is still being read gives way to the one that is chosen after it', async () => {
    const daemon = makeSlowDaemon()
    const it = makeNotebookBook(daemon.preview, sentenceOf, 7)
    let read: (bytes: ArrayBuffer) => void = () => undefined
    const first = it.choose({
      name: 'first.csv',
      arrayBuffer: () =>
        new Promise((resolve) => {
          read = resolve
        }),
    })
    const second = it.choose(fileOf(TEXT, 'second.csv'))
    await new Promise(setImmediate)
    read(new TextEncoder().encode('Day\n').buffer as ArrayBuffer)
    await first
    expect(daemon.waiting.map(({ form }) => form.file)).toEqual(['second.csv'])
    await daemon.waiting[0]?.answer()
    await daemon.waiting[1]?.answer()
    await second
    expect(formOf(it).file).toBe('second.csv')
  })

  test('what was refused is said; the file stays to be read otherwise', async () => {
    const refusing = () => Promise.reject(new Error('not now'))
    const it = makeNotebookBook(refusing, sentenceOf, 7)
    await it.choose(fileOf(TEXT))
    expect(it.book.value).toMatchObject({ problem: 'Error: not now', isLooking: false })
    expect(formOf(it).file).toBe('old.csv')
  })

  test('a long name is told by its end, in whole letters', async () => {
    const { it } = await open()
    await Promise.race([it.choose(fileOf(TEXT, `🔧${'n'.repeat(79)}`)), new Promise(setImmediate)])
    expect(formOf(it).file).toBe('n'.repeat(79))
  })
})
