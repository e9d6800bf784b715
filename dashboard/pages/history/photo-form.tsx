import { useState } from 'preact/hooks'
import { api } from '../../live/api.ts'
import { useForm } from '../../live/use-form.ts'
import { lacksName, nameOf, type Who } from '../../live/who.ts'
import { TextField } from '../../widgets/field.tsx'
import { SubmitButton } from '../../widgets/submit-button.tsx'
import { WhoField } from '../../widgets/who-field.tsx'
import { words } from '../../words/en.ts'

const { inspection: say, trail } = words

const FIELDS = ['caption', 'who'] as const
type Field = (typeof FIELDS)[number]
const idOf = (field: Field) => `photo-${field}`

/** A photo of the bend: of a telephone, straight from its camera. */
export function PhotoForm(props: { bendId: number; who: Who; onDone: () => void }) {
  const { bendId, who, onDone } = props
  const [image, setImage] = useState<File | null>(null)
  const form = useForm<Field>(() => ({ caption: '', who: '' }), {
    idOf,
    who,
    problemsOf: (texts) => ({
      ...(texts.caption.trim() === '' && { caption: say.required }),
      ...(lacksName(who, texts.who) && { who: say.required }),
    }),
    fieldOf: (path) => FIELDS.find((field) => field === path) ?? null,
    async send(texts) {
      if (image === null) throw new Error(say.photo.none)
      const photo = await api.addPhoto(image)
      const said = { caption: texts.caption.trim(), who: nameOf(who, texts.who) }
      await api.addAct(bendId, 'photos', { ...photo, ...said })
      onDone()
      return null
    },
  })
  return (
    <form class="act-form" aria-label={trail.doings.photos} onSubmit={form.onSubmit}>
      <label class="photo-file">
        {say.photo.file}
        <input
          type="file"
          accept="image/jpeg,image/png,image/webp"
          capture="environment"
          onChange={(event) => setImage(event.currentTarget.files?.[0] ?? null)}
        />
      </label>
      <TextField
        {...{ id: idOf('caption'), label: say.photo.caption, value: form.texts.caption }}
        lengthMax={200}
        problem={form.problems.caption}
        onText={(text) => form.change('caption', text)}
      />
      <WhoField
        {...{ who, id: idOf('who'), value: form.texts.who }}
        problem={form.problems.who}
        onText={(text) => form.change('who', text)}
      />
      <SubmitButton name={trail.doings.photos} isBusy={form.isBusy} />
      <p class="form-refused" role="alert">
        {form.refusal}
      </p>
    </form>
  )
}
