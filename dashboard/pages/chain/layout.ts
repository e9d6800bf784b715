import type { ElkNode } from 'elkjs/lib/elk-api.js'
import type { ChainBlock } from '../../../server/messages/chain.ts'

/** Sizes of the drawing, px. */
const HEAD_PX = 30
const ROW_PX = 24
const FOOT_PX = 8
const CHARACTER_PX = 8.4
const PADDING_PX = 26
/** Beside an output stands what goes over it: sign, five digits, a point, its unit. */
const VALUE_CHARACTERS = 15

interface Point {
  readonly x: number
  readonly y: number
}

interface PlacedPort extends Point {
  readonly name: string
}

export interface PlacedBlock extends Point {
  readonly block: ChainBlock
  readonly widthPx: number
  readonly heightPx: number
  readonly inputs: readonly PlacedPort[]
  readonly outputs: readonly PlacedPort[]
}

export interface PlacedLine {
  /** Block and output that it comes from. */
  readonly from: string
  readonly to: string
  readonly isItem: boolean
  readonly points: readonly Point[]
}

export interface Placed {
  readonly widthPx: number
  readonly heightPx: number
  readonly blocks: readonly PlacedBlock[]
  readonly lines: readonly PlacedLine[]
}

const longest = (names: readonly string[]) => Math.max(0, ...names.map(({ length }) => length))

/** Inputs stand on the left, outputs with their values on the right, one a row. */
export function sizeOf({ id, inputs, outputs }: ChainBlock) {
  const left = longest(inputs.map(({ name }) => name))
  const right = longest(outputs.map(({ name }) => name))
  const characters = Math.max(id.length + 4, left + right + (right > 0 ? VALUE_CHARACTERS : 0))
  return {
    widthPx: Math.round(characters * CHARACTER_PX + PADDING_PX),
    heightPx: HEAD_PX + Math.max(1, inputs.length, outputs.length) * ROW_PX + FOOT_PX,
  }
}

const rowPx = (row: number) => HEAD_PX + row * ROW_PX + ROW_PX / 2

function nodeOf(block: ChainBlock): ElkNode {
  const { widthPx, heightPx } = sizeOf(block)
  const port = (side: 'in' | 'out', name: string, row: number) => ({
    id: `${side} ${block.id}.${name}`,
    x: side === 'in' ? 0 : widthPx,
    y: rowPx(row),
    width: 0,
    height: 0,
    layoutOptions: { 'elk.port.side': side === 'in' ? 'WEST' : 'EAST' },
  })
  return {
    id: block.id,
    width: widthPx,
    height: heightPx,
    layoutOptions: { 'elk.portConstraints': 'FIXED_POS' },
    ports: [
      ...block.inputs.map(({ name }, row) => port('in', name, row)),
      ...block.outputs.map(({ name }, row) => port('out', name, row)),
    ],
  }
}

/**
 * The chain as the layout library takes it: from left to right, and where the sheet ends on below.
 *
 * @param aspect Width over height of the sheet.
 */
export function graphOf(blocks: readonly ChainBlock[], aspect: number): ElkNode {
  return {
    id: 'chain',
    layoutOptions: {
      'elk.algorithm': 'layered',
      'elk.direction': 'RIGHT',
      'elk.edgeRouting': 'ORTHOGONAL',
      'elk.layered.spacing.nodeNodeBetweenLayers': '72',
      'elk.layered.spacing.edgeNodeBetweenLayers': '18',
      'elk.spacing.nodeNode': '34',
      'elk.layered.nodePlacement.strategy': 'NETWORK_SIMPLEX',
      'elk.layered.wrapping.strategy': 'MULTI_EDGE',
      'elk.aspectRatio': String(aspect),
      'elk.padding': '[top=30,left=14,bottom=14,right=14]',
    },
    children: blocks.map(nodeOf),
    edges: blocks.flatMap(({ id, inputs }) =>
      inputs.flatMap(({ name, from }) =>
        from === null
          ? []
          : [
              {
                id: `${from} ${id}.${name}`,
                sources: [`out ${from}`],
                targets: [`in ${id}.${name}`],
              },
            ],
      ),
    ),
  }
}

/** What the layout library made of it, as the page draws it. */
function placedFrom(laid: ElkNode, blocks: readonly ChainBlock[]): Placed {
  const nodes = new Map(laid.children?.map((node) => [node.id, node]))
  const items = new Set(
    blocks.flatMap(({ id, outputs }) =>
      outputs.filter(({ carries }) => carries === 'item').map(({ name }) => `${id}.${name}`),
    ),
  )
  return {
    widthPx: laid.width ?? 0,
    heightPx: laid.height ?? 0,
    blocks: blocks.map((block) => {
      const { widthPx, heightPx } = sizeOf(block)
      const { x = 0, y = 0 } = nodes.get(block.id) ?? {}
      return {
        block,
        ...{ x, y, widthPx, heightPx },
        inputs: block.inputs.map(({ name }, row) => ({ name, x, y: y + rowPx(row) })),
        outputs: block.outputs.map(({ name }, row) => ({
          name,
          x: x + widthPx,
          y: y + rowPx(row),
        })),
      }
    }),
    lines: (laid.edges ?? []).map(({ id, sections }) => {
      const [from = '', to = ''] = id.split(' ')
      const points = (sections ?? []).flatMap(({ startPoint, bendPoints = [], endPoint }) => [
        startPoint,
        ...bendPoints,
        endPoint,
      ])
      return { from, to, isItem: items.has(from), points }
    }),
  }
}

/** As bundlers and Node hand out the library; its own types know one of the two only. */
interface Library {
  readonly default: new () => { layout(graph: ElkNode): Promise<ElkNode> }
}

/** Places the blocks. The library is large, and fetched when this page is first opened. */
export async function place(blocks: readonly ChainBlock[], aspect: number): Promise<Placed> {
  const { default: Layouter } = (await import('elkjs/lib/elk.bundled.js')) as unknown as Library
  return placedFrom(await new Layouter().layout(graphOf(blocks, aspect)), blocks)
}
