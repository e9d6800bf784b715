import jsep from 'jsep'

/** Where values come from, and units as factors: `5*deg` is five degrees. */
export const INPUT_NAMES: readonly string[] = ['a', 'b', 'c', 'd']
export const UNIT_NAMES = ['deg', 's', 'bar', 'count'] as const
/** Functions, and how many arguments each takes: at least, at most. */
export const FUNCTIONS: Readonly<Record<string, readonly [number, number]>> = {
  abs: [1, 1],
  min: [2, 4],
  max: [2, 4],
  clamp: [3, 3],
  round: [1, 1],
  sign: [1, 1],
  sqrt: [1, 1],
  pow: [2, 2],
  exp: [1, 1],
  log: [1, 1],
  sin: [1, 1],
  cos: [1, 1],
  tan: [1, 1],
  atan2: [2, 2],
}

const TOKEN =
  /\s+|(?<number>(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)|(?<word>[A-Za-z_$][\w$]*)|(?<operator><=|>=|==(?!=)|!=(?!=)|[-+*/^<>?:])|(?<open>\()|(?<close>\))|(?<comma>,)/y

const isFunction = (word: string) => Object.hasOwn(FUNCTIONS, word)
const isName = (word: string) =>
  [...INPUT_NAMES, ...UNIT_NAMES].some((name) => name === word) || isFunction(word)

/** A refusal of a formula: one sentence, the rest of one that begins with the parameter's name. */
export const refusal = (why: string) => new RangeError(`expression is refused: ${why}.`)

function checkOperand(word: string | undefined, number: string | undefined, at: string): void {
  if (number !== undefined && !Number.isFinite(Number(number)))
    throw refusal(`the number ${at} is too large`)
  if (word === undefined || isName(word)) return
  const known = [...INPUT_NAMES, ...UNIT_NAMES, ...Object.keys(FUNCTIONS)].join(', ')
  throw refusal(`there is no "${word.slice(0, 20)}" (${at}); it knows ${known}`)
}

/**
 * Lets nothing through but numbers, known names, the operators, brackets and commas, two operands never side by
 * side. What is left to the parser is which belongs to which.
 * @throws RangeError naming the place, counted from 1.
 */
function checkTokens(expression: string): void {
  let place = 0
  let before = ''
  while (place < expression.length) {
    TOKEN.lastIndex = place
    const found = TOKEN.exec(expression)
    const at = `at place ${place + 1}`
    if (found === null)
      throw refusal(`${JSON.stringify(expression[place])} ${at} is no part of a formula`)
    const [text] = found
    place += text.length
    if (text.trim() === '') continue
    const { number, word, open } = found.groups ?? {}
    checkOperand(word, number, at)
    if (isFunction(before) && open === undefined)
      throw refusal(`after ${before} an opening bracket is missing ${at}`)
    const begins = number ?? word ?? open
    const ended = before !== '' && /[\w$.)]$/.test(before)
    if (begins !== undefined && ended && !(open !== undefined && isFunction(before)))
      throw refusal(`an operator is missing ${at}`)
    before = text
  }
  if (before === '') throw refusal('it is empty; write for example a')
}

// Higher than times and right to left, as written on paper; a minus before it is looked after where it is read.
jsep.addBinaryOp('^', 11, true)
jsep.removeAllLiterals()
/** Brackets stay in sight, since −a^2 is −(a^2) and not (−a)^2. */
jsep.hooks.add('gobble-token', function keepBrackets(env) {
  if (this.char !== '(') return
  const inside = this.gobbleGroup()
  if (inside) env.node = { type: 'Brackets', inside }
})

/** @throws RangeError in one sentence, naming the place where it can. */
export function parseFormula(expression: string): jsep.Expression {
  checkTokens(expression)
  try {
    return jsep(expression)
  } catch (error) {
    const { description, index } = error as { description?: unknown; index?: unknown }
    if (typeof index !== 'number') throw error
    throw refusal(`${String(description)} (at place ${index + 1})`)
  }
}
