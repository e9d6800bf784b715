import type { KeyboardEvent } from 'preact/compat'
import { useRef } from 'preact/hooks'
import type { ChainBlock } from '../../../server/messages/chain.ts'
import { useSize } from '../../widgets/use-size.ts'
import { words } from '../../words/en.ts'
import { connectionKey } from './draft-changes.ts'
import type { Flow } from './flow.ts'
import type { Placed, PlacedBlock, PlacedLine } from './layout.ts'
import { tracePoints } from './trace-points.ts'
import { valueText } from './value-text.ts'

const { chain: say } = words

const SCALE_MIN = 0.8
/** Some ten seconds. */
const TRACE_POINTS = 40
const TRACE_WIDTH_PX = 40
const TRACE_HEIGHT_PX = 15

/** What the drawing of a draft shows and lets do beside that of the running chain. */
interface Drafting {
  /** Of a block, how it differs or that it is at fault, in words. */
  readonly flags: ReadonlyMap<string, Flag>
  /** Connections that the running chain has not, by both ends. */
  readonly newLines: ReadonlySet<string>
  readonly chosenLine: string | null
  chooseLine(line: { readonly from: string; readonly to: string }): void
}

export interface Flag {
  readonly change: 'added' | 'changed' | 'fault'
  readonly text: string
}

interface Props {
  readonly placed: Placed
  readonly flows: ReadonlyMap<string, Flow>
  readonly chosen: string | null
  readonly drafting?: Drafting | undefined
  /** Of a block, what is wrong from it on, in words. */
  readonly begins?: ReadonlyMap<string, string> | undefined
  choose(block: string): void
}

const pointsText = ({ points }: PlacedLine) => points.map(({ x, y }) => `${x},${y}`).join(' ')

function Line({ line, flow }: { line: PlacedLine; flow: Flow | undefined }) {
  const kind = line.isItem ? 'item' : 'number'
  const condition = flow?.condition ?? 'none'
  return <polyline class={`flow ${kind}`} data-condition={condition} points={pointsText(line)} />
}

/** A connection of a draft: wide enough to be hit. The keyboard finds it on the sheets of its blocks. */
function DraftLine({ line, drafting }: { line: PlacedLine; drafting: Drafting }) {
  const key = connectionKey(line)
  const choose = () => drafting.chooseLine({ from: line.from, to: line.to })
  const state = drafting.newLines.has(key) ? 'new' : 'as-before'
  return (
    <g class={key === drafting.chosenLine ? 'draft-line chosen' : 'draft-line'} data-state={state}>
      <polyline class={`flow ${line.isItem ? 'item' : 'number'}`} points={pointsText(line)} />
      {/* biome-ignore lint/a11y/noStaticElementInteractions: for the pointer; buttons do the same. */}
      <polyline class="line-to-hit" points={pointsText(line)} onClick={choose} />
    </g>
  )
}

/** How a block differs, on a tab over its upper edge. */
function Tab({ placed: { x, y }, flag }: { placed: PlacedBlock; flag: Flag | undefined }) {
  if (flag === undefined) return null
  return (
    <text class="block-tab" x={x} y={y - 12}>
      {flag.text}
    </text>
  )
}

/** The last seconds of what goes over a connection, on its beginning. */
function LineTrace({ at, flow }: { at: PlacedBlock['outputs'][number]; flow: Flow }) {
  const points = tracePoints(flow.trace.slice(-TRACE_POINTS), TRACE_WIDTH_PX, TRACE_HEIGHT_PX)
  if (points === '') return null
  return (
    <polyline
      class="line-trace"
      transform={`translate(${at.x + 7} ${at.y - TRACE_HEIGHT_PX - 3})`}
      points={points}
    />
  )
}

/** From where on something is wrong: by its form and its word, over the block's upper edge. */
function BeginsHere({ placed: { x, y }, text }: { placed: PlacedBlock; text: string }) {
  return (
    <g class="begins-here">
      <polygon points={`${x},${y - 4} ${x + 16},${y - 4} ${x + 8},${y - 18}`} />
      <text x={x + 22} y={y - 11}>
        {text}
      </text>
    </g>
  )
}

function Output({
  at,
  block,
  row,
  flow,
  isDraft,
}: {
  at: PlacedBlock['outputs'][number]
  block: ChainBlock
  row: number
  flow: Flow | undefined
  isDraft: boolean
}) {
  const output = block.outputs[row]
  if (output === undefined) return null
  // A draft runs nowhere yet: it has units, but no values.
  const idle = isDraft ? output.of : ''
  const text = flow === undefined ? idle : valueText(flow, output.carries, output.of)
  return (
    <g class="output" data-condition={isDraft ? 'draft' : (flow?.condition ?? 'none')}>
      <text class="port-name" x={at.x - 8} y={at.y} text-anchor="end">
        {output.name} <tspan class="port-value">{text}</tspan>
      </text>
      <circle cx={at.x} cy={at.y} r="4" />
      {output.carries === 'number' && flow !== undefined && <LineTrace at={at} flow={flow} />}
    </g>
  )
}

function Block({
  placed,
  flows,
  isChosen,
  drafting,
  begins,
  choose,
}: Pick<Props, 'flows' | 'drafting' | 'begins' | 'choose'> & {
  placed: PlacedBlock
  isChosen: boolean
}) {
  const { block, x, y, widthPx, heightPx, inputs, outputs } = placed
  const flag = drafting?.flags.get(block.id)
  const trouble = begins?.get(block.id)
  const label = `${say.blockOf(block.id, block.kind)}. ${block.summary}`
  const told = flag?.text ?? trouble
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
      data-change={flag?.change}
      data-block={block.id}
      data-begins={trouble === undefined ? undefined : true}
      role="button"
      tabindex={0}
      aria-label={told === undefined ? label : `${label} ${told}.`}
      onClick={open}
      onKeyDown={onKeyDown}
    >
      <Tab placed={placed} flag={flag} />
      {trouble !== undefined && <BeginsHere placed={placed} text={trouble} />}
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
          isDraft={drafting !== undefined}
          flow={flows.get(`${block.id}.${at.name}`)}
        />
      ))}
    </g>
  )
}

/** The chain from left to right: a block diagram, each output with what goes over it now. */
export function ChainDrawing({ placed, flows, chosen, drafting, begins, choose }: Props) {
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
        <title>{drafting ? say.edit.draftDrawing : say.drawing}</title>
        {lines.map((line) =>
          drafting ? (
            <DraftLine key={connectionKey(line)} line={line} drafting={drafting} />
          ) : (
            <Line key={connectionKey(line)} line={line} flow={flows.get(line.from)} />
          ),
        )}
        {blocks.map((one) => (
          <Block
            key={one.block.id}
            placed={one}
            flows={flows}
            isChosen={one.block.id === chosen}
            drafting={drafting}
            begins={begins}
            choose={choose}
          />
        ))}
      </svg>
    </div>
  )
}
