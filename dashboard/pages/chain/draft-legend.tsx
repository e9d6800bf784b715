import { words } from '../../words/en.ts'

const { legend: say } = words.chain.edit

const BLOCKS = ['added', 'changed', 'fault'] as const
const LINES = ['connected', 'item'] as const

/** What the forms of a draft's drawing say. */
export function DraftLegend() {
  return (
    <ul class="chain-legend">
      {BLOCKS.map((change) => (
        <li key={change}>
          <svg class="chain-drawing" width="42" height="20" aria-hidden="true">
            <g class="block" data-change={change}>
              <rect x="3" y="3" width="36" height="14" />
            </g>
          </svg>
          {say[change]}
        </li>
      ))}
      {LINES.map((line) => (
        <li key={line}>
          <svg width="42" height="12" aria-hidden="true">
            <g class="draft-line" data-state={line === 'connected' ? 'new' : 'as-before'}>
              <polyline class={line === 'item' ? 'flow item' : 'flow number'} points="2,6 40,6" />
            </g>
          </svg>
          {say[line]}
        </li>
      ))}
    </ul>
  )
}
