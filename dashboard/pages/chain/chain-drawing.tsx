import type { KeyboardEvent } from 'preact/compat'
import { useRef } from 'preact/hooks'
import type { ChainBlock } from '../../../server/messages/chain.ts'
import { useSize } from '../../widgets/use-size.ts'
import { words } from '../../words/en.ts'
import type { Flow } from './flow.ts'
import type { Placed, PlacedBlock, PlacedLine } from './layout.ts'
import { valueText } from './value-text.ts'

const { chain: say } = words

const SCALE_MIN = 0.8

interface Props {
  readonly placed: Placed
  readonly flows: ReadonlyMap<string, Flow>
  readonly chosen: string | null
  choose(block: string): void
}

function Line({ line, flow }: { line: PlacedLine; flow: Flow | undefined }) {
  const points = line.points.map(({ x, y }) => `${x},${y}`).join(' ')
  const kind = line.isItem ? 'item' : 'number'
  return (
    <polyline class={`flow ${kind}`} data-condition={flow?.condition ?? 'none'} points={points} />
  )
}

function Output({
  at,
  block,
  row,
  flow,
}: {
  at: PlacedBlock['outputs'][number]
  block: ChainBlock
  row: number
  flow: Flow | undefined
}) {
  const output = block.outputs[row]
  if (output === undefined) return null
  const text = flow === undefined ? '' : valueText(flow, output.carries, output.of)
  return (
    <g class="output" data-condition={flow?.condition ?? 'none'}>
      <text class="port-name" x={at.x - 8} y={at.y} text-anchor="end">
        {output.name} <tspan class="port-value">{text}</tspan>
      </text>
      <circle cx={at.x} cy={at.y} r="4" />
    </g>
  )
}

function Block({
  placed,
  flows,
  isChosen,
  choose,
}: {
  placed: PlacedBlock
  flows: Props['flows']
  isChosen: boolean
  choose: Props['choose']
}) {
  const { block, x, y, widthPx, heightPx, inputs, outputs } = placed
  const open = () => choose(block.id)
  const onKeyDown = (event: KeyboardEvent<SVGGElement>) => {
    if (event.key !== 'Enter' && event.key !== ' ') return
    event.preventDefault()
    open()
  }
  return (
    // biome-ignore lint/a11y/useSemanticElements: a drawing has no button of its own.
    <g
      class={isChosen ? 'block chosen' : 'block'}
      role="button"
      tabindex={0}
      aria-label={`${say.blockOf(block.id, block.kind)}. ${block.summary}`}
      onClick={open}
      onKeyDown={onKeyDown}
    >
      <rect x={x} y={y} width={widthPx} height={heightPx} />
      <line x1={x} x2={x + widthPx} y1={y + 28} y2={y + 28} />
      <text class="block-name" x={x + 10} y={y + 15}>
        {block.id}
      </text>
      {inputs.map((at) => (
        <g key={at.name}>
          <text class="port-name" x={at.x + 8} y={at.y}>
            {at.name}
          </text>
          <line class="port-in" x1={at.x - 5} x2={at.x} y1={at.y} y2={at.y} />
        </g>
      ))}
      {outputs.map((at, row) => (
        <Output
          key={at.name}
          at={at}
          block={block}
          row={row}
          flow={flows.get(`${block.id}.${at.name}`)}
        />
      ))}
    </g>
  )
}

/** The chain from left to right: a block diagram, each output with what goes over it now. */
export function ChainDrawing({ placed, flows, chosen, choose }: Props) {
  const { widthPx, heightPx, lines, blocks } = placed
  const sheet = useRef<HTMLDivElement>(null)
  const size = useSize(sheet).value
  // Smaller could not be read: then the drawing is moved under the frame.
  const scale = Math.min(1, Math.max(SCALE_MIN, size.widthPx / widthPx))
  return (
    <div class="chain-scroll" ref={sheet}>
      <svg
        class="chain-drawing"
        width={widthPx * scale}
        height={heightPx * scale}
        viewBox={`0 0 ${widthPx} ${heightPx}`}
      >
        <title>{say.drawing}</title>
        {lines.map((line) => (
          <Line key={`${line.from} ${line.to}`} line={line} flow={flows.get(line.from)} />
        ))}
        {blocks.map((one) => (
          <Block
            key={one.block.id}
            placed={one}
            flows={flows}
            isChosen={one.block.id === chosen}
            choose={choose}
          />
        ))}
      </svg>
    </div>
  )
}
