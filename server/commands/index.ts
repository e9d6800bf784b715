import { archive } from './archive.ts'
import { backup } from './backup.ts'
import { chainTest } from './chain-test.ts'
import { chart } from './chart.ts'
import type { AddCommand } from './command.ts'
import { decode } from './decode.ts'
import { exportBends } from './export.ts'
import { gauge } from './gauge.ts'
import { key } from './key.ts'
import { lookAt } from './look.ts'
import { people } from './people.ts'
import { predict } from './predict.ts'
import { restore } from './restore.ts'
import { serve } from './serve.ts'
import { trace } from './trace.ts'
import { verify } from './verify.ts'

/** Every command of `overbend`, in the order of its help. */
export const commands: readonly AddCommand[] = [
  serve,
  decode,
  chainTest,
  trace,
  chart,
  gauge,
  predict,
  verify,
  backup,
  restore,
  archive,
  lookAt,
  exportBends,
  people,
  key,
]
