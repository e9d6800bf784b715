import { signal } from '@preact/signals'
import {
  NOTEBOOK_LENGTH_MAX,
  type NotebookPreview,
  type NotebookTaken,
} from '../../../server/messages/notebook.ts'
import { notebookWords as say } from '../../words/en-notebook.ts'
import { decodeFile, type Encoding } from './decode-file.ts'
import { guessStyle, mappedWithin, type NotebookForm } from './notebook-ask.ts'

/** As much of a browser's file as is needed here. */
interface ChosenFile {
  readonly name: string
  arrayBuffer(): Promise<ArrayBuffer>
}

/** What is chosen, what the daemon makes of it, and what went wrong. */
interface Book {
  readonly form: NotebookForm | null
  readonly header: readonly string[]
  /** Of the form as it stands, never of an earlier one. */
  readonly preview: NotebookPreview | null
  readonly problem: string | null
  readonly encoding: Encoding
  readonly taken: NotebookTaken | null
  readonly isLooking: boolean
}

const CLOSED: Book = {
  ...{ form: null, header: [], preview: null, problem: null, taken: null },
  ...{ encoding: 'utf-8', isLooking: false },
}

const NAME_MAX = 80

/** The end of a long name, with no half of a letter before it. */
const shortName = (name: string) => name.slice(-NAME_MAX).replace(/^[\uDC00-\uDFFF]/, '')

/**
 * An old notebook, from the file that is chosen to what was recorded of it.
 *
 * @param preview asks the daemon; an answer to what was asked before the last change is dropped.
 * @param setupId that it is bent with, until another is chosen.
 */
export function makeNotebookBook(
  preview: (form: NotebookForm) => Promise<NotebookPreview>,
  sentenceOf: (error: unknown) => string,
  setupId: number,
) {
  const book = signal<Book>(CLOSED)
  /** Counts what was asked and what made it void. */
  let turn = 0
  const put = (part: Partial<Book>) => {
    book.value = { ...book.value, ...part }
  }

  async function look(form: NotebookForm, isGuess: boolean): Promise<void> {
    turn += 1
    const mine = turn
    put({ form, preview: null, problem: null, isLooking: true, ...(isGuess && { header: [] }) })
    try {
      const seen = await preview(form)
      if (mine !== turn) return
      put({ header: seen.header })
      if (isGuess) await look({ ...form, mapping: seen.guess }, false)
      else put({ preview: seen, isLooking: false })
    } catch (error) {
      if (mine === turn) put({ problem: sentenceOf(error), isLooking: false })
    }
  }

  return {
    book,
    /** Another file, or none: nothing of the one before stays but its set-up. */
    async choose(file: ChosenFile | undefined): Promise<void> {
      turn += 1
      const mine = turn
      const kept = book.value.form?.setupId ?? setupId
      put(CLOSED)
      const bytes = await file?.arrayBuffer().catch(() => null)
      if (mine !== turn || file === undefined || bytes === undefined) return
      if (bytes === null) return put({ problem: say.unreadable })
      const { text, encoding } = decodeFile(new Uint8Array(bytes))
      // A picture or a workbook has these; no text does.
      if (text.includes('\0')) return put({ problem: say.noText })
      if (text.length > NOTEBOOK_LENGTH_MAX)
        return put({ problem: say.tooLong(NOTEBOOK_LENGTH_MAX) })
      put({ encoding })
      const style = guessStyle(text)
      await look({ file: shortName(file.name), text, ...style, setupId: kept, mapping: {} }, true)
    },
    async look(): Promise<void> {
      const { form, header } = book.value
      if (form !== null)
        await look({ ...form, mapping: mappedWithin(form.mapping, header.length) }, false)
    },
    /** Another separator makes other columns: they are guessed anew. */
    restyle: (next: NotebookForm): Promise<void> =>
      look(next, next.separator !== book.value.form?.separator),
    /** What was looked over holds no more, nor does what is being looked over. */
    remap(form: NotebookForm): void {
      turn += 1
      put({ form, preview: null, isLooking: false })
    },
    done(taken: NotebookTaken): void {
      turn += 1
      put({ ...CLOSED, taken })
    },
  }
}
