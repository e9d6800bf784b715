import { readFileSync, statSync } from 'node:fs'
import { ChainRefused } from '../chain/chain-refused.ts'
import { runChainTests, type TestedChain } from '../chain/run-tests.ts'
import { catalogueFrom } from './blocks-option.ts'
import { type AddCommand, BadInput, printJson } from './command.ts'

interface Options {
  readonly blocks?: string
  readonly json?: true
}

const EXIT_TEST_FAILED = 1
/** A chain of 200 blocks with a hundred long tests is far below it. */
const FILE_MAX_BYTES = 8 * 1024 * 1024

function textOf(path: string): string {
  try {
    const { size } = statSync(path)
    if (size > FILE_MAX_BYTES)
      throw new BadInput(`${path} has ${size} bytes; a chain file has ${FILE_MAX_BYTES} at most.`)
    return readFileSync(path, 'utf8')
  } catch (error) {
    if (error instanceof BadInput) throw error
    throw new BadInput(`${path} cannot be read: ${(error as Error).message}.`)
  }
}

function chainIn(path: string): unknown {
  const text = textOf(path)
  try {
    return JSON.parse(text)
  } catch (error) {
    // What is not JSON may stand in the message, line ends and all.
    const why = (error as Error).message.replace(/\s+/g, ' ')
    throw new BadInput(`${path} is not JSON: ${why}.`)
  }
}

async function tested(path: string, { blocks: folder }: Options): Promise<TestedChain> {
  const file = chainIn(path)
  const { blocks } = await catalogueFrom(folder)
  try {
    const result = runChainTests(file, blocks)
    if (result.passed + result.failed.length > 0) return result
  } catch (error) {
    if (error instanceof ChainRefused) throw new BadInput(`${path}: ${error.message}`)
    throw error
  }
  throw new BadInput(`${path} carries no tests: put a list "tests" into it.`)
}

function sentences({ passed, failed }: TestedChain): string {
  const lines = failed.map(
    ({ test, block, port, atS, expected, got }) =>
      `Test "${test}": ${block}.${port} at ${atS} s is ${JSON.stringify(got)}, ` +
      `expected ${JSON.stringify(expected)}.`,
  )
  const count = new Set(failed.map(({ test }) => test)).size
  return [...lines, `${passed} passed, ${count} failed.`].join('\n')
}

/** `overbend chain-test`: the tests that a chain file carries. */
export const chainTest: AddCommand = (program) => {
  program
    .command('chain-test')
    .argument('<file>', 'a chain file with a list "tests"')
    .description('Run the tests that a chain file carries: values in at a port, out at another.')
    .option('--blocks <dir>', 'a folder of own blocks that the chain uses')
    .option('--json', 'one JSON document on standard output')
    .addHelpText('after', '\nExits 0 if all tests passed, 1 if one failed.')
    .action(async (path: string, options: Options) => {
      const result = await tested(path, options)
      if (options.json) printJson(result)
      else process.stdout.write(`${sentences(result)}\n`)
      if (result.failed.length > 0) process.exitCode = EXIT_TEST_FAILED
    })
}
