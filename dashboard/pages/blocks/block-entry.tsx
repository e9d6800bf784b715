import type { BlockReference } from '../../../server/messages/chain.ts'
import { TableHead } from '../../widgets/table-head.tsx'
import { blocksWords as say } from '../../words/en-blocks.ts'
import { parameterTexts } from '../chain/parameter-texts.ts'
import { propertiesOf, textOf } from '../chain/schema.ts'
import { Picture } from './picture.tsx'

type Port = BlockReference['inputs'][number] | BlockReference['outputs'][number]

const carriedBy = ({ of, unitFrom, isRate }: Port) =>
  of ?? (unitFrom === null ? '' : say.asParameter(unitFrom, isRate))

function Ports({ title, ports }: { title: string; ports: readonly Port[] }) {
  if (ports.length === 0)
    return (
      <p>
        {title}: {say.nothing}
      </p>
    )
  return (
    <div class="table-scroll">
      <table aria-label={title}>
        <TableHead heads={[title, say.carries, say.what]} />
        <tbody>
          {ports.map((port) => (
            <tr key={port.name}>
              <th scope="row">{port.name}</th>
              <td>{carriedBy(port)}</td>
              <td class="prose">
                {port.help} {'isOptional' in port && port.isOptional && <i>({say.optional})</i>}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}

function Parameters({ schema }: BlockReference) {
  const parameters = Object.fromEntries(
    Object.entries(propertiesOf(schema)).map(([name, property]) => [name, property.default]),
  )
  const texts = parameterTexts({ parameters, schema })
  if (texts.length === 0) return <p>{say.noParameters}</p>
  return (
    <div class="table-scroll">
      <table aria-label={say.parameter}>
        <TableHead heads={[say.parameter, say.byDefault, say.range, say.what]} />
        <tbody>
          {texts.map(({ name, value, range, help }) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              <td>{value}</td>
              <td>{range}</td>
              <td class="prose">{help}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}

const settingsOf = (parameters: Readonly<Record<string, unknown>>) =>
  Object.entries(parameters)
    .map(([name, value]) => `${name} ${textOf(value)}`)
    .join(', ')

function Example({ kind, example }: Pick<BlockReference, 'kind' | 'example'>) {
  if (example === null) return <p>{say.noExample}</p>
  const settings = settingsOf(example.parameters)
  return (
    <section class="block-example">
      <h3>{settings === '' ? say.example : say.exampleWith(settings)}</h3>
      <Picture kind={kind} example={example} />
    </section>
  )
}

/** One block of the catalogue: what it says of itself, and what it does. */
export function BlockEntry({ block }: { block: BlockReference }) {
  const { kind, summary, ownFile, delaySamples, delays, inputs, outputs, example } = block
  return (
    <article class="block-entry" id={`block-${kind}`} aria-label={kind}>
      <h2>{kind}</h2>
      <p>
        {summary} {ownFile !== null && <b>{say.own(ownFile)}</b>}
      </p>
      {delaySamples !== null && <p>{say.delay(delaySamples)}</p>}
      {delays && <p>{say.delays}</p>}
      <div class="block-halves">
        <div>
          <Ports title={say.takes} ports={inputs} />
          <Ports title={say.gives} ports={outputs} />
          <Parameters {...block} />
        </div>
        <Example {...{ kind, example }} />
      </div>
    </article>
  )
}
