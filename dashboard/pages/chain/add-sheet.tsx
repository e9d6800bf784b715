import { useState } from 'preact/hooks'
import { ChoiceField } from '../../widgets/field.tsx'
import { words } from '../../words/en.ts'
import type { Kinds } from './draft.ts'
import { Sheet } from './sheet.tsx'

const { edit: say } = words.chain

/** The blocks that there are, to add one of them. */
export function AddSheet(props: { kinds: Kinds; add(kind: string): void; close(): void }) {
  const kinds = [...props.kinds.values()]
  const [kind, setKind] = useState(kinds[0]?.kind ?? '')
  return (
    <Sheet title={say.addBlock} close={props.close}>
      <form
        class="add-block"
        onSubmit={(event) => {
          event.preventDefault()
          props.add(kind)
        }}
      >
        <ChoiceField
          id="add-kind"
          label={say.whichBlock}
          help={say.whichBlockHelp}
          value={kind}
          choices={kinds.map((one) => ({ key: one.kind, name: say.kindOf(one.kind, one.summary) }))}
          onText={setKind}
        />
        <button type="submit" class="plain">
          {say.add}
        </button>
      </form>
    </Sheet>
  )
}
