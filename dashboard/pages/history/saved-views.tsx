import { useState } from 'preact/hooks'
import type { SavedView } from '../../../server/messages/views.ts'
import { api, sentenceOf } from '../../live/api.ts'
import { focusSoon, STATUS_LINE } from '../../live/focus-soon.ts'
import { useToLook } from '../../live/use-to-look.ts'
import { ChoiceField } from '../../widgets/field.tsx'
import { findWords } from '../../words/en-find.ts'
import { moment } from '../../words/format.ts'
import { addressOf, type Filter, typedFilter } from './filter-address.ts'
import { SaveViewForm } from './save-view-form.tsx'

const say = findWords.views

const queryOf = ({ filter }: SavedView) => addressOf('', typedFilter(filter))

/** Who saved the view that is looked at, and how it goes: asked for twice, since it goes for everybody. */
function Looked({ view, onRemoved }: { view: SavedView; onRemoved: (name: string) => void }) {
  const [isSure, setIsSure] = useState(false)
  const [problem, setProblem] = useState<string | null>(null)
  const remove = () =>
    api.removeView(view.name).then(
      () => onRemoved(view.name),
      (error: unknown) => setProblem(sentenceOf(error)),
    )
  return (
    <>
      <p class="view-by">
        {say.savedBy} <bdi>{view.who}</bdi>, {moment(view.at).slice(0, 16)}
      </p>
      <button
        type="button"
        class="plain"
        onClick={({ detail }) => {
          // A second click at once is no second thought.
          if (!isSure) setIsSure(true)
          else if (detail < 2) void remove()
        }}
      >
        {isSure ? say.removeSure : say.remove}
      </button>
      {isSure && (
        <button
          type="button"
          class="plain"
          onClick={() => {
            setIsSure(false)
            focusSoon('#view')
          }}
        >
          {say.keep}
        </button>
      )}
      {problem && (
        <p class="form-refused" role="alert">
          {problem}
        </p>
      )}
    </>
  )
}

/** The filters that the shop saved: one is chosen, the present one saved, or the one that is looked at removed. */
export function SavedViews(props: {
  filter: Filter
  views: readonly SavedView[]
  onOpen: (filter: Filter) => void
  onChanged: () => void
}) {
  const { filter, views, onOpen, onChanged } = props
  const isToLook = useToLook()
  const [said, setSaid] = useState('')
  const [isSaving, setIsSaving] = useState(false)
  /** Two views may ask for the same. */
  const [opened, setOpened] = useState('')
  const here = addressOf('', filter)
  const same = views.filter((view) => queryOf(view) === here)
  const looked = same.find(({ name }) => name === opened) ?? same[0] ?? null
  const maySave = here !== '' && looked === null && !isToLook
  const changed = (sentence: string) => {
    setSaid(sentence)
    setIsSaving(false)
    onChanged()
    focusSoon('#view', STATUS_LINE)
  }
  const open = (name: string) => {
    const view = views.find((one) => one.name === name)
    setOpened(name)
    onOpen(view ? typedFilter(view.filter) : {})
  }
  return (
    <section class="views" aria-label={say.title}>
      <div class="filter">
        {views.length > 0 && (
          <ChoiceField
            id="view"
            label={say.title}
            value={looked?.name ?? ''}
            choices={[
              { key: '', name: looked ? say.none : say.choose },
              ...views.map(({ name }) => ({ key: name, name })),
            ]}
            onText={open}
          />
        )}
        {looked && !isToLook && (
          <Looked
            key={looked.name}
            view={looked}
            onRemoved={(name) => changed(say.removed(name))}
          />
        )}
        {maySave && (
          <button
            type="button"
            class="plain"
            aria-expanded={isSaving}
            onClick={() => setIsSaving(!isSaving)}
          >
            {say.saveThese}
          </button>
        )}
      </div>
      {maySave && isSaving && (
        <SaveViewForm filter={filter} onSaved={(name) => changed(say.saved(name))} />
      )}
      <p class="for-the-ear" role="status">
        {said}
      </p>
    </section>
  )
}
