import { dieEncoderChain } from '../../server/blocks/shipped/die-encoder.ts'
import type { History } from '../../server/history/history.ts'
import type { BendTrace } from '../../server/messages/bends.ts'
import type { BenchAct, OperatorAct } from '../../server/messages/commands.ts'
import type {
  Cue,
  LinkState,
  LiveMessage,
  Phase,
  Result,
  StationState,
} from '../../server/messages/live.ts'
import type { OutputName } from '../../server/messages/output.ts'
import type { Axes } from '../../server/messages/readout.ts'
import type { Job, Setup, StoredSetup } from '../../server/messages/setup.ts'
import { SHIPPED } from '../../server/own-blocks/catalogue.ts'
