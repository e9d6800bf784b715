import { first } from './0001-first.ts'
import { readoutLog } from './0002-readout-log.ts'
import { actLog } from './0003-act-log.ts'
import { chainLog } from './0004-chain-log.ts'
import { peopleLog } from './0005-people-log.ts'
import { findBlock } from './0006-find-block.ts'
import { openBends } from './0007-open-bends.ts'
import { photos } from './0008-photos.ts'
import { exportLog } from './0009-export-log.ts'
import type { Migration } from './migration.ts'

/** Every step of the schema, in order. */
export const migrations: readonly Migration[] = [
  first,
  readoutLog,
  actLog,
  chainLog,
  peopleLog,
  findBlock,
  openBends,
  photos,
  exportLog,
]
