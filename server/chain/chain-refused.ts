/** What can be wrong with a chain file or a snapshot. Each has its own test. */
export type ChainFault =
  | 'not a chain'
  | 'newer version'
  | 'unknown kind'
  | 'duplicate id'
  | 'other code'
  | 'bad parameters'
  | 'no source'
  | 'unknown block'
  | 'unknown port'
  | 'unequal types'
  | 'input taken'
  | 'input missing'
  | 'block objects'
  | 'loop'
  | 'bad snapshot'
  | 'bad test'
  | 'not for a bender'

/** Where the fault lies, as far as it can be told. */
interface Where {
  readonly block?: string
  readonly port?: string
}

/** A chain is taken whole or refused whole, with one sentence that names the block and port at fault. */
export class ChainRefused extends Error {
  readonly code: ChainFault
  readonly block: string | undefined
  readonly port: string | undefined
  constructor(code: ChainFault, sentence: string, where: Where = {}) {
    super(sentence)
    this.name = 'ChainRefused'
    this.code = code
    this.block = where.block
    this.port = where.port
  }
}
