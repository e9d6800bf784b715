import { notebookWords as say } from '../../words/en-notebook.ts'
import type { Encoding } from './decode-file.ts'
import { dayTaken, type NotebookForm } from './notebook-ask.ts'

/** How the file was read where it could be read otherwise. */
export function HowRead(props: { form: NotebookForm; encoding: Encoding }) {
  const { form, encoding } = props
  const day = dayTaken(form.text, form.dates)
  return (
    <>
      {encoding !== 'utf-8' && <p>{say.readAs[encoding]}</p>}
      {day && <p>{say.dayTaken(day.typed, day.meant)}</p>}
    </>
  )
}
