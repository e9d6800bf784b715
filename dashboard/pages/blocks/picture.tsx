import type { BlockReference } from '../../../server/messages/chain.ts'
import { blocksWords as say } from '../../words/en-blocks.ts'
import { boundsOf, runsOf, STRIP } from './strip.ts'

type Shown = NonNullable<BlockReference['example']>
type Port = Shown['inputs'][number]

/** From here on, values are points of a line. */
const ROWS_DRAWN_MIN = 10
const WIDTH = STRIP.left + STRIP.width + 6
const STEP = STRIP.height + STRIP.gap

const short = (value: number) => String(Number(value.toPrecision(3))).replace('-', '−')

function Strip({ port, at }: { port: Port; at: number }) {
  const bounds = boundsOf(port.values)
  return (
    <g transform={`translate(0 ${at})`}>
      <rect x={STRIP.left} y={0} width={STRIP.width} height={STRIP.height} class="strip" />
      <text x={0} y={STRIP.height / 2} class="strip-name">
        {port.name}
      </text>
      {bounds !== null && (
        <>
          <text x={STRIP.left - 6} y={9} class="strip-bound">
            {short(bounds.high)}
          </text>
          {bounds.low < bounds.high && (
            <text x={STRIP.left - 6} y={STRIP.height - 7} class="strip-bound">
              {short(bounds.low)}
            </text>
          )}
        </>
      )}
      {runsOf(port).map(({ isBad, points }) => (
        <polyline key={points} points={points} class={isBad ? 'run bad' : 'run'} />
      ))}
    </g>
  )
}

/** Inputs over outputs on one time axis, with a thick line between. */
function Strips({
  kind,
  inputs,
  outputs,
  lengthS,
}: {
  kind: string
  inputs: readonly Port[]
  outputs: readonly Port[]
  lengthS: number
}) {
  const divider = inputs.length * STEP
  const height = divider + 10 + outputs.length * STEP + 18
  return (
    <svg
      class="block-picture"
      viewBox={`0 0 ${WIDTH} ${height}`}
      role="img"
      aria-label={say.picture(kind)}
    >
      {inputs.map((port, place) => (
        <Strip key={port.name} port={port} at={place * STEP} />
      ))}
      <line x1={0} x2={WIDTH} y1={divider} y2={divider} class="strip-divider" />
      {outputs.map((port, place) => (
        <Strip key={port.name} port={port} at={divider + 10 + place * STEP} />
      ))}
      <text x={STRIP.left} y={height - 7} class="strip-time">
        0
      </text>
      <text x={STRIP.left + STRIP.width} y={height - 7} class="strip-time end">
        {say.seconds(lengthS)}
      </text>
    </svg>
  )
}

/** Items, and numbers too few to draw, as lines of text. */
function textsOf({ values, items }: Port, timeS: readonly number[]): string[] {
  const numbers = values.flatMap((value, row) =>
    value === null ? [] : [say.moment(timeS[row] ?? 0, String(value))],
  )
  return [...numbers, ...items.map((one) => say.moment(one.timeS, one.text))]
}

function Texts({
  title,
  ports,
  timeS,
}: {
  title: string
  ports: readonly Port[]
  timeS: readonly number[]
}) {
  const told = ports.map((port) => ({ name: port.name, texts: textsOf(port, timeS) }))
  const shown = told.filter(({ texts }) => texts.length > 0)
  if (shown.length === 0) return null
  return (
    <dl class="block-texts">
      {shown.map(({ name, texts }) => (
        <div key={name}>
          <dt>
            {name} ({title})
          </dt>
          {texts.map((text) => (
            <dd key={text}>
              <code>{text}</code>
            </dd>
          ))}
        </div>
      ))}
    </dl>
  )
}

/** What a block makes of its test signal. */
export function Picture({ kind, example }: { kind: string; example: Shown }) {
  const { timeS, inputs, outputs, told } = example
  const isDrawn = timeS.length >= ROWS_DRAWN_MIN
  const drawn = (ports: readonly Port[]) =>
    isDrawn ? ports.filter(({ values }) => values.some((value) => value !== null)) : []
  const rest = (ports: readonly Port[]) => ports.filter((port) => !drawn(ports).includes(port))
  const [over, under] = [drawn(inputs), drawn(outputs)]
  return (
    <figure class="block-figure">
      {over.length + under.length > 0 && (
        <Strips {...{ kind, inputs: over, outputs: under, lengthS: timeS.at(-1) ?? 0 }} />
      )}
      <Texts title={say.into} ports={rest(inputs)} timeS={timeS} />
      <Texts title={say.out} ports={rest(outputs)} timeS={timeS} />
      {told.length > 0 && (
        <dl class="block-texts">
          <div>
            <dt>{say.told}</dt>
            {told.map((text) => (
              <dd key={text}>
                <code>{text}</code>
              </dd>
            ))}
          </div>
        </dl>
      )}
    </figure>
  )
}
