import { useEffect, useState } from 'preact/hooks'
import { ApiError, sentenceOf } from './api.ts'
import { focusSoon } from './focus-soon.ts'
import type { Who } from './who.ts'

/** A form of many fields: each a text as typed, or a key as chosen. */
interface FormParts<Field extends string> {
  /** The id of a field's element. */
  idOf(field: Field): string
  /** Who sends it, where somebody has to. */
  readonly who?: Who
  /** What the form can see by itself is wrong; nothing is sent then. */
  problemsOf(texts: Record<Field, string>): Partial<Record<Field, string>>
  /** The field that the daemon's path names; null for one the form has not. */
  fieldOf(path: string | undefined): Field | null
  /** @returns what to say when it is done; null: nothing. */
  send(texts: Record<Field, string>): Promise<string | null>
}

interface Said {
  readonly text: string
  readonly isRefusal: boolean
}

/** Keeps what is typed, and puts each refusal beside its field, or under the form where it belongs to none. */
export function useForm<Field extends string>(
  first: () => Record<Field, string>,
  { idOf, who, problemsOf, fieldOf, send }: FormParts<Field>,
) {
  const [texts, setTexts] = useState(first)
  const [problems, setProblems] = useState<Partial<Record<Field, string>>>({})
  const [said, setSaid] = useState<Said | null>(null)
  const [isBusy, setIsBusy] = useState(false)

  const refuse = (error: unknown) => setSaid({ text: sentenceOf(error), isRefusal: true })

  function place(error: unknown): void {
    const field = error instanceof ApiError ? fieldOf(error.field) : null
    if (field === null) refuse(error)
    else {
      setProblems({ [field]: sentenceOf(error) } as Partial<Record<Field, string>>)
      focusSoon(`#${CSS.escape(idOf(field))}`)
    }
  }

  // That one had to sign in is said no longer.
  useEffect(() => {
    if (who?.is === 'signed-in') setSaid(null)
  }, [who?.is])

  async function submit(): Promise<void> {
    if (isBusy) return
    const wrong = problemsOf(texts)
    setProblems(wrong)
    setSaid(null)
    const [firstWrong] = Object.keys(wrong) as Field[]
    if (firstWrong) return document.getElementById(idOf(firstWrong))?.focus()
    setIsBusy(true)
    try {
      const text = await send(texts)
      if (text !== null) setSaid({ text, isRefusal: false })
    } catch (error) {
      place(error)
    } finally {
      setIsBusy(false)
    }
  }

  return {
    ...{ texts, problems, isBusy, refuse },
    refusal: said?.isRefusal ? said.text : null,
    done: said && !said.isRefusal ? said.text : null,
    hush: () => setSaid(null),
    /** To a form's `onSubmit`: the page stays. */
    onSubmit(event: Event): void {
      event.preventDefault()
      void submit()
    },
    fill(filled: Record<Field, string>): void {
      setTexts(filled)
      setSaid(null)
    },
    change: (field: Field, text: string) => setTexts((before) => ({ ...before, [field]: text })),
  }
}
