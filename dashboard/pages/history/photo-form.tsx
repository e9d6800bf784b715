import { useState } from 'preact/hooks'
import { api } from '../../live/api.ts'
import { useForm } from '../../live/use-form.ts'
import { TextField } from '../../widgets/field.tsx'
import { words } from '../../words/en.ts'

const { inspection: say, trail } = words

type Field = 'caption' | 'who'
const idOf = (field: Field) => `photo-${field}`

/** A photo of the bend: of a telephone, straight from its camera. */
export function PhotoForm(props: { bendId: number; asksWho: boolean; onDone: () => void }) {
  const { bendId, asksWho, onDone } = props
  const [image, setImage] = useState<File | null>(null)
  const asked: readonly Field[] = asksWho ? ['caption', 'who'] : ['caption']
  const form = useForm<Field>(() => ({ caption: '', who: '' }), {
    idOf,
    problemsOf: (texts) =>
      Object.fromEntries(
        asked.filter((field) => texts[field].trim() === '').map((field) => [field, say.required]),
      ),
    fieldOf: (path) => asked.find((field) => field === path) ?? null,
    async send(texts) {
      if (image === null) throw new Error(say.photo.none)
      const photo = await api.addPhoto(image)
      const asks = Object.fromEntries(asked.map((field) => [field, texts[field].trim()]))
      await api.addAct(bendId, 'photos', { ...photo, ...asks })
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
      {asksWho && (
        <TextField
          {...{ id: idOf('who'), label: trail.asks.who, value: form.texts.who }}
          problem={form.problems.who}
          onText={(text) => form.change('who', text)}
        />
      )}
      <button type="submit" class="plain" disabled={form.isBusy}>
        {trail.doings.photos}
      </button>
      <p class="form-refused" role="alert">
        {form.refusal}
      </p>
    </form>
  )
}
