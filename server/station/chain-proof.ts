import { isDeepStrictEqual } from 'node:util'
import type { Block } from '../chain/block.ts'
import type { ChainFile } from '../chain/chain-file.ts'
import { ChainRefused } from '../chain/chain-refused.ts'
import type { RawRecord } from '../history/history.ts'
import type { ProofOfBend, ProvedBend } from '../messages/chain.ts'
import { type Rerun, rerun } from './rerun.ts'

/** What a draft is to be proved by. Plain data: it goes to a worker. */
export interface ProofTask {
  readonly running: ChainFile
  readonly draft: ChainFile
  /** Folder of own blocks; null without. */
  readonly blocksFolder: string | null
  readonly bends: readonly { readonly id: number; readonly raw: RawRecord }[]
}

type BlockEntry = ChainFile['blocks'][number]

/**
 * The draft as it would have been when a bend was made: what the draft leaves as it is in the running chain (the
 * calibration, say) is as it was in the recorded one.
 */
function asOfThen(draft: ChainFile, running: ChainFile, recorded: ChainFile): ChainFile {
  const byId = (file: ChainFile) => new Map(file.blocks.map((block) => [block.id, block]))
  const [now, then] = [byId(running), byId(recorded)]
  const block = (drafted: BlockEntry): BlockEntry => {
    const before = then.get(drafted.id)
    const isUntouched = isDeepStrictEqual(now.get(drafted.id), drafted)
    return isUntouched && before?.kind === drafted.kind ? before : drafted
  }
  return { ...draft, blocks: draft.blocks.map(block) }
}

function proofOf({ drafts, cueS, trace }: Rerun): ProofOfBend | null {
  const draft = drafts.at(-1)
  if (draft === undefined) return null
  const go = draft.goes.at(-1)
  return {
    datumDeg: draft.datumDeg,
    peakDeg: go?.peakDeg ?? null,
    releasedDeg: go?.releasedDeg ?? null,
    cueDeg: go?.cueDeg ?? null,
    cueS,
    trace,
  }
}

async function proveOne(
  { running, draft }: ProofTask,
  blocks: readonly Block[],
  id: number,
  raw: RawRecord,
): Promise<ProvedBend> {
  if (raw.lines.length === 0)
    return { id, before: null, after: null, why: `Of bend ${id} no lines were kept.` }
  try {
    const recorded = JSON.parse(raw.chain) as ChainFile
    const before = proofOf(await rerun(raw, blocks, recorded))
    const after = proofOf(await rerun(raw, blocks, asOfThen(draft, running, recorded)))
    const why = after === null ? `In the lines of bend ${id} the draft sees no bend.` : null
    return { id, before, after, why }
  } catch (error) {
    if (!(error instanceof ChainRefused)) throw error
    return {
      id,
      before: null,
      after: null,
      why: `Bend ${id} cannot be run again: ${error.message}`,
    }
  }
}

/** Runs each bend's lines through the chain that recorded it and through the draft. */
export async function prove(task: ProofTask, blocks: readonly Block[]): Promise<ProvedBend[]> {
  const proved: ProvedBend[] = []
  for (const { id, raw } of task.bends) proved.push(await proveOne(task, blocks, id, raw))
  return proved
}
