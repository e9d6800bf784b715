import type { ChainBlock, TapCount } from '../../../server/messages/chain.ts'
import { words } from '../../words/en.ts'
import type { Flow } from './flow.ts'
import { type ParameterText, parameterTexts } from './parameter-texts.ts'
import { SmallTrace } from './small-trace.tsx'
import { TapCounts } from './tap-counts.tsx'
import { valueText } from './value-text.ts'

const { chain: say } = words

interface Props {
  readonly block: ChainBlock
  readonly flows: ReadonlyMap<string, Flow>
  /** Of a block that lets things out of the chain. */
  readonly tap: TapCount | undefined
  close(): void
}

type Output = ChainBlock['outputs'][number]

function Given({ output, flow }: { output: Output; flow: Flow | undefined }) {
  const { good = 0, uncertain = 0, bad = 0 } = flow?.output ?? {}
  const ageS = flow?.ageS ?? null
  return (
    <tr>
      <th scope="row">{output.name}</th>
      <td class="prose">{output.help}</td>
      <td>{output.of}</td>
      <td class="number" data-condition={flow?.condition ?? 'none'}>
        {flow === undefined ? '' : valueText(flow, output.carries, output.of)}
      </td>
      <td class="number">{ageS === null ? say.never : say.ago(ageS)}</td>
      <td class="number">{`${good} / ${uncertain} / ${bad}`}</td>
      <td>
        <SmallTrace values={flow?.trace ?? []} />
      </td>
    </tr>
  )
}

function Gives({
  outputs,
  id,
  flows,
}: {
  outputs: readonly Output[]
  id: string
  flows: Props['flows']
}) {
  if (outputs.length === 0) return null
  return (
    <div class="table-scroll">
      <table>
        <thead>
          <tr>
            <th scope="col">{say.gives}</th>
            <td />
            <th scope="col">{say.carries}</th>
            <th scope="col" class="number">
              {say.now}
            </th>
            <th scope="col" class="number">
              {say.age}
            </th>
            <th scope="col" class="number">
              {say.counts}
            </th>
            <td />
          </tr>
        </thead>
        <tbody>
          {outputs.map((output) => (
            <Given key={output.name} output={output} flow={flows.get(`${id}.${output.name}`)} />
          ))}
        </tbody>
      </table>
    </div>
  )
}

function Takes({ inputs }: Pick<ChainBlock, 'inputs'>) {
  if (inputs.length === 0) return null
  return (
    <div class="table-scroll">
      <table>
        <thead>
          <tr>
            <th scope="col">{say.takes}</th>
            <td />
            <th scope="col">{say.carries}</th>
            <th scope="col">{say.from}</th>
          </tr>
        </thead>
        <tbody>
          {inputs.map(({ name, help, of, from }) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              <td class="prose">{help}</td>
              <td>{of}</td>
              <td>{from ?? say.unconnected}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}

function Parameter({ name, value, range, help }: ParameterText) {
  return (
    <tr>
      <th scope="row">{name}</th>
      <td class="number">{value}</td>
      <td>{range}</td>
      <td class="prose">{help}</td>
    </tr>
  )
}

function Parameters({ block }: { block: ChainBlock }) {
  const texts = parameterTexts(block)
  if (texts.length === 0) return null
  return (
    <div class="table-scroll">
      <table>
        <thead>
          <tr>
            <th scope="col">{say.parameters}</th>
            <th scope="col" class="number">
              {say.value}
            </th>
            <th scope="col">{say.range}</th>
            <td />
          </tr>
        </thead>
        <tbody>
          {texts.map((text) => (
            <Parameter key={text.name} {...text} />
          ))}
        </tbody>
      </table>
    </div>
  )
}

/** One block: what it takes, what it gives and how that is doing, and what it was told to do. */
export function BlockSheet({ block, flows, tap, close }: Props) {
  return (
    <section class="block-sheet" aria-label={say.blockOf(block.id, block.kind)}>
      <div class="block-sheet-head">
        <h2>{say.blockOf(block.id, block.kind)}</h2>
        <button type="button" class="plain" onClick={close}>
          {say.close}
        </button>
      </div>
      <p>{block.summary}</p>
      {tap !== undefined && <TapCounts tap={tap} />}
      <Gives outputs={block.outputs} id={block.id} flows={flows} />
      <Takes inputs={block.inputs} />
      <Parameters block={block} />
    </section>
  )
}
