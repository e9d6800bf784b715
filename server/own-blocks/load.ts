import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { readdir, readFile, stat } from 'node:fs/promises'
import { extname, join } from 'node:path'
import type { Block } from '../chain/block.ts'
import { ID } from '../chain/names.ts'
import { guarded } from './guard.ts'
import { KIT } from './kit.ts'
import type { OwnBlock } from './own-block.ts'
import { ownBlockOf } from './shape.ts'
import { type Trouble, textOfThrown } from './trouble.ts'
import { tryOut } from './try-out.ts'

const FILES_MAX = 100
const FILE_MAX_BYTES = 256 * 1024
/** A file that waits for something while it is loaded would keep the daemon from starting. */
const LOADED_WITHIN_MS = 5000

/** A folder of own blocks is taken whole or not at all, with one sentence that names the file at fault. */
export class OwnBlocksRefused extends Error {
  override readonly name = 'OwnBlocksRefused'
}

const refuse = (sentence: string): never => {
  throw new OwnBlocksRefused(sentence)
}

async function filesIn(folder: string): Promise<string[]> {
  const names = await readdir(folder).catch((error: Error) =>
    refuse(`--blocks ${folder} cannot be read: ${textOfThrown(error)}.`),
  )
  const files = names.filter((name) => ['.js', '.mjs'].includes(extname(name))).sort()
  if (files.length === 0) refuse(`--blocks ${folder} holds no file <kind>.mjs or <kind>.js.`)
  if (files.length > FILES_MAX)
    refuse(`--blocks ${folder} holds ${files.length} blocks; ${FILES_MAX} at the most.`)
  return files
}

async function bytesOf(folder: string, file: string): Promise<Buffer> {
  const path = join(folder, file)
  const { size } = await stat(path)
  if (size > FILE_MAX_BYTES) throw new RangeError(`it has ${size} bytes, ${FILE_MAX_BYTES} at most`)
  return readFile(path)
}

function timeLimit(): { readonly passed: Promise<never>; cancel(): void } {
  let timer: NodeJS.Timeout | undefined
  const passed = new Promise<never>((_, reject) => {
    const why = `it was not loaded within ${LOADED_WITHIN_MS / 1000} s`
    timer = setTimeout(() => reject(new RangeError(why)), LOADED_WITHIN_MS)
  })
  return { passed, cancel: () => clearTimeout(timer) }
}

/** Only a check of the text alone says in which line a syntax error is; it runs nothing of it. */
function syntaxErrorLine(bytes: Buffer): string | undefined {
  const { stderr } = spawnSync(process.execPath, ['--input-type=module', '--check', '-'], {
    ...{ input: bytes, encoding: 'utf8', timeout: LOADED_WITHIN_MS },
  })
  return /^\[stdin\]:(\d+)$/m.exec(stderr ?? '')?.[1]
}

/** Line of the file at which reading it failed, where the runtime tells it. */
function placeOf(error: unknown, bytes: Buffer): string {
  const [, told] = /^data:[^\n]*:(\d+)$/m.exec((error as Error)?.stack ?? '') ?? []
  const line = told ?? (error instanceof SyntaxError ? syntaxErrorLine(bytes) : undefined)
  return line === undefined ? '' : ` in line ${line}`
}

/**
 * The module that these very bytes are, so that their hash stands for all of it: it has no address that another
 * file could be imported by.
 */
async function moduleOf(bytes: Buffer): Promise<{ readonly default?: unknown }> {
  const address = `data:text/javascript;base64,${bytes.toString('base64')}`
  const limit = timeLimit()
  try {
    return await Promise.race([import(/* @vite-ignore */ address), limit.passed])
  } catch (error) {
    if (error instanceof RangeError) throw error
    // The message may quote the whole address.
    const why = textOfThrown(error).replace(/["']?data:text\/javascript\S*/g, 'it')
    throw new RangeError(`it cannot be loaded${placeOf(error, bytes)}: ${why}`)
  } finally {
    limit.cancel()
  }
}

async function loadOne(
  folder: string,
  file: string,
  taken: ReadonlySet<string>,
): Promise<OwnBlock> {
  const kind = file.slice(0, -extname(file).length)
  if (!new RegExp(`^${ID}$`).test(kind))
    throw new RangeError('its name is no kind: small letters, digits and -, from a letter on')
  if (taken.has(kind)) throw new RangeError(`there is a block "${kind}" already; call it otherwise`)
  const bytes = await bytesOf(folder, file)
  const sha256 = createHash('sha256').update(bytes).digest('hex')
  const { default: make } = await moduleOf(bytes)
  if (typeof make !== 'function')
    throw new RangeError('it must export a function: export default ({ defineBlock }) => …')
  const made = madeBy(make as (kit: typeof KIT) => unknown)
  const trouble: Trouble = { times: 0, last: null }
  const block: Block = { ...guarded(ownBlockOf(made, kind), trouble), code: sha256 }
  tryOut(ownBlockOf(made, kind))
  return { block, file, sha256, trouble }
}

function madeBy(make: (kit: typeof KIT) => unknown): unknown {
  try {
    return make(KIT)
  } catch (error) {
    throw new RangeError(`its function threw: ${textOfThrown(error)}`)
  }
}

/** @throws OwnBlocksRefused in one sentence; no block of the folder is taken then. */
export async function loadOwnBlocks(
  folder: string,
  shippedKinds: ReadonlySet<string>,
): Promise<OwnBlock[]> {
  const own: OwnBlock[] = []
  const taken = new Set(shippedKinds)
  for (const file of await filesIn(folder)) {
    try {
      const one = await loadOne(folder, file, taken)
      taken.add(one.block.kind)
      own.push(one)
    } catch (error) {
      refuse(`The block file ${file} cannot be used: ${textOfThrown(error)}.`)
    }
  }
  return own
}
