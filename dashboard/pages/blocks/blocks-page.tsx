import { useState } from 'preact/hooks'
import type { BlockReference } from '../../../server/messages/chain.ts'
import { api } from '../../live/api.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { blocksWords as say } from '../../words/en-blocks.ts'
import { BlockEntry } from './block-entry.tsx'

const has = ({ kind, summary }: BlockReference, text: string) =>
  `${kind} ${summary}`.toLowerCase().includes(text.trim().toLowerCase())

/** The block reference, from the blocks' own declarations. Fetched when it is first opened. */
export function BlocksPage() {
  const { value: blocks, problem } = useAnswer('block reference', api.blockReference)
  const [text, setText] = useState('')
  const found = (blocks ?? []).filter((block) => has(block, text))
  return (
    <main class="desk blocks">
      <h1>{say.title}</h1>
      <p class="desk-intro">{say.intro}</p>
      <p class="blocks-bar">
        <a href="#/chain">{say.back}</a>
        <label>
          {say.find}{' '}
          <input
            type="search"
            value={text}
            onInput={(event) => setText(event.currentTarget.value)}
          />
        </label>
        <span role="status">{blocks !== null && say.count(found.length)}</span>
      </p>
      {problem !== null && (
        <p class="form-refused" role="alert">
          {problem}
        </p>
      )}
      {blocks === null && problem === null && <p role="status">{say.loading}</p>}
      {blocks !== null && found.length === 0 && <p>{say.none(text)}</p>}
      {found.map((block) => (
        <BlockEntry key={block.kind} block={block} />
      ))}
    </main>
  )
}
