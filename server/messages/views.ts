import { type Static, Type } from 'typebox'
import { who } from './act-kinds/act-kind.ts'
import { BendFilter } from './find.ts'
import { VIEW_NAME_MAX } from './find-choices.ts'
import { strict } from './schema.ts'

const viewName = Type.String({
  minLength: 1,
  maxLength: VIEW_NAME_MAX,
  pattern: '\\S',
  description: 'What the shop calls it; kept and shown exactly as it was written.',
})

/** A filter of the history under a name. It finds what fits whenever it is looked at. */
export const SavedView = strict({
  name: viewName,
  filter: BendFilter,
  who,
  at: Type.String({ description: 'When it was saved, ISO 8601 with offset.' }),
})
export type SavedView = Static<typeof SavedView>

export const SaveViewAsk = strict({
  who,
  name: viewName,
  filter: BendFilter,
  replaces: Type.Optional(
    Type.Boolean({ description: 'True: it takes the place of the view of that name.' }),
  ),
})
export type SaveViewAsk = Static<typeof SaveViewAsk>

export const RemoveViewAsk = strict({ name: viewName })
