import type { ChainFile } from '../../chain/chain-file.ts'
import { autoDatumPart } from './auto-datum-part.ts'
import { onTheArm } from './on-the-arm.ts'
import { onTheDie } from './on-the-die.ts'
import { type Front, joined } from './part.ts'

export interface Mounting {
  readonly name: string
  readonly note: string
  /** The sensor moves with the arm, and so loses sight of a tube that is let off. */
  readonly isOnArm: boolean
  /** Needs a front that gives a pressure or a switch. */
  readonly autoDatum: boolean
}

/** A front with the body of its mount. */
export function mounted(front: Front, { name, note, isOnArm, autoDatum }: Mounting): ChainFile {
  const body = isOnArm ? onTheArm(front) : onTheDie(front)
  const parts = autoDatum ? [front, autoDatumPart(front), body] : [front, body]
  return joined({ name, revision: 1, note }, parts)
}
