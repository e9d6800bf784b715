import type jsep from 'jsep'
import type { Unit } from '../chain/unit.ts'
import { operationOf, type Part, type Run } from './formula-operations.ts'
import { FUNCTIONS, INPUT_NAMES, parseFormula, refusal, UNIT_NAMES } from './formula-tokens.ts'
import { type Dimension, dimensionName, dimensionOf, PURE, sameDimension } from './formula-units.ts'

const LENGTH_MAX = 200
const DEPTH_MAX = 20

/** A formula made ready: its steps read and write places of one array, so that nothing is made a value. */
export interface Program {
  /** The inputs in the first four places. */
  readonly places: Float64Array
  readonly steps: readonly (() => void)[]
  readonly result: number
  /** Of the four inputs those that are named. */
  readonly uses: readonly boolean[]
}

/** What is gathered while a formula is walked. */
interface Draft {
  readonly values: number[]
  readonly operations: { run: Run; to: number; from: readonly number[] }[]
  readonly uses: boolean[]
  readonly inputs: readonly Dimension[]
}

/**
 * @param inputUnits of a, b, c and d.
 * @throws RangeError in one sentence for what is no formula, or whose units do not go together.
 */
export function makeProgram(expression: string, inputUnits: readonly Unit[], unit: Unit): Program {
  if (expression.length > LENGTH_MAX)
    throw refusal(`it has ${expression.length} characters, ${LENGTH_MAX} at the most`)
  const draft: Draft = {
    values: INPUT_NAMES.map(() => 0),
    operations: [],
    uses: INPUT_NAMES.map(() => false),
    inputs: inputUnits.map(dimensionOf),
  }
  const result = walk(parseFormula(expression), draft, 0)
  if (!sameDimension(result.dimension, dimensionOf(unit)))
    throw refusal(
      `it gives ${dimensionName(result.dimension)}, but is to give ${dimensionName(dimensionOf(unit))}`,
    )
  const places = Float64Array.from(draft.values)
  const steps = draft.operations.map(({ run, to, from }) => {
    const [x = 0, y = 0, z = 0] = from
    return () => run(places, to, x, y, z)
  })
  return { places, steps, result: result.place, uses: draft.uses }
}

/** What is not listed here is refused, whatever it is. */
function walk(node: jsep.Expression, draft: Draft, depth: number): Part {
  if (depth > DEPTH_MAX) throw refusal(`it is nested deeper than ${DEPTH_MAX}`)
  const go = (inner: unknown) => walk(inner as jsep.Expression, draft, depth + 1)
  switch (node.type) {
    case 'Brackets': {
      const inside = go(node['inside'])
      return { ...inside, text: `(${inside.text})` }
    }
    case 'Literal':
      return numberPart(node['value'], draft)
    case 'Identifier':
      return namePart(String(node['name']), draft)
    case 'UnaryExpression':
      return unaryPart(String(node['operator']), go(node['argument']), draft)
    case 'BinaryExpression':
      return binaryPart(node as jsep.BinaryExpression, draft, go)
    case 'ConditionalExpression': {
      const parts = [go(node['test']), go(node['consequent']), go(node['alternate'])]
      const [test, yes, no] = parts.map(({ text }) => text)
      return apply('?:', parts, `${test} ? ${yes} : ${no}`, draft)
    }
    case 'CallExpression':
      return callPart(node as jsep.CallExpression, draft, go)
    default:
      throw refusal('it must be one formula of numbers, inputs, operators and known functions')
  }
}

function put(value: number, draft: Draft): number {
  draft.values.push(value)
  return draft.values.length - 1
}

function numberPart(value: unknown, draft: Draft): Part {
  if (typeof value !== 'number' || !Number.isFinite(value))
    throw refusal('only plain numbers can stand in it')
  return { place: put(value, draft), dimension: PURE, constant: value, text: String(value) }
}

function namePart(name: string, draft: Draft): Part {
  const input = INPUT_NAMES.indexOf(name)
  const dimension = draft.inputs[input]
  if (dimension !== undefined) {
    draft.uses[input] = true
    return { place: input, dimension, constant: null, text: name }
  }
  const unit = UNIT_NAMES.find((known) => known === name)
  if (unit === undefined) throw refusal(`there is no value "${name}"`)
  return { place: put(1, draft), dimension: dimensionOf(unit), constant: null, text: name }
}

function unaryPart(operator: string, argument: Part, draft: Draft): Part {
  if (operator === '+') return argument
  if (operator !== '-') throw refusal(`there is no operator "${operator}"`)
  const negative = apply('negate', [argument], `-${argument.text}`, draft)
  return { ...negative, constant: argument.constant === null ? null : -argument.constant }
}

function binaryPart(
  { operator, left, right }: jsep.BinaryExpression,
  draft: Draft,
  go: (inner: unknown) => Part,
): Part {
  // The parser binds a sign closer than a power; on paper it is the other way round.
  if (operator === '^' && left.type === 'UnaryExpression') {
    const power = { type: 'BinaryExpression', operator, left: left['argument'], right }
    return go({ ...left, argument: power })
  }
  const parts = [go(left), go(right)]
  return apply(operator, parts, parts.map(({ text }) => text).join(` ${operator} `), draft)
}

function callPart(
  { callee, arguments: given }: jsep.CallExpression,
  draft: Draft,
  go: (inner: unknown) => Part,
): Part {
  const name = callee.type === 'Identifier' ? String(callee['name']) : ''
  const bounds = Object.hasOwn(FUNCTIONS, name) ? FUNCTIONS[name] : undefined
  if (bounds === undefined) throw refusal('only the known functions can be called')
  const [least, most] = bounds
  if (given.length < least || given.length > most) {
    const wanted = least === most ? `${least}` : `${least} to ${most}`
    throw refusal(`${name} takes ${wanted} values, not ${given.length}`)
  }
  const parts = given.map(go)
  const text = (some: readonly Part[]) => `${name}(${some.map((part) => part.text).join(', ')})`
  if (name !== 'min' && name !== 'max') return apply(name, parts, text(parts), draft)
  return parts.reduce((one, other) => apply(name, [one, other], text(parts), draft))
}

/** One operation on parts that are there already: checks their units and notes the step. */
function apply(name: string, parts: readonly Part[], text: string, draft: Draft): Part {
  const operation = operationOf(name)
  if (operation === undefined) throw refusal(`there is no operator "${name}"`)
  const dimension = operation.dimension(parts, text)
  const to = put(0, draft)
  draft.operations.push({ run: operation.run, to, from: parts.map(({ place }) => place) })
  return { place: to, dimension, constant: null, text }
}
