import type { Block } from '../chain/block.ts'
import { alphaBeta } from './alpha-beta.ts'
import { autoDatum } from './auto-datum.ts'
import { average } from './average.ts'
import { bendRecord } from './bend-record.ts'
import { bendWatch } from './bend-watch.ts'
import { calibration } from './calibration.ts'
import { clock } from './clock.ts'
import { command } from './command.ts'
import { compare } from './compare.ts'
import { counter } from './counter.ts'
import { csvTap } from './csv-tap.ts'
import { datum } from './datum.ts'
import { decode } from './decode.ts'
import { decodeModbus } from './decode-modbus.ts'
import { decodeNumber } from './decode-number.ts'
import { decodeXdr } from './decode-xdr.ts'
import { degrees } from './degrees.ts'
import { delay } from './delay.ts'
import { deviceFeed } from './device-feed.ts'
import { formula } from './formula.ts'
import { joinStrokes } from './join-strokes.ts'
import { letOff } from './let-off.ts'
import { lineClock } from './line-clock.ts'
import { link } from './link.ts'
import { liveFeed } from './live-feed.ts'
import { lowPass } from './low-pass.ts'
import { median } from './median.ts'
import { mqttPublish } from './mqtt-publish.ts'
import { notch } from './notch.ts'
import { oneEuro } from './one-euro.ts'
import { output } from './output.ts'
import { pressure } from './pressure.ts'
import { rateLimiter } from './rate-limiter.ts'
import { rawRecord } from './raw-record.ts'
import { scale } from './scale.ts'
import { smoother } from './smoother.ts'
import { spikeGuard } from './spike-guard.ts'
import { stopCue } from './stop-cue.ts'
import { switchInput } from './switch.ts'
import { switchOver } from './switch-over.ts'
import { threshold } from './threshold.ts'
import { tilt } from './tilt.ts'
import { timer } from './timer.ts'
import { unwrap } from './unwrap.ts'
import { webhook } from './webhook.ts'

/** Every block there is, in the order of a sample's way, those for any value before the ends. A new one is one file, one test and one line here. */
export const catalogue: readonly Block[] = [
  link,
  decode,
  decodeXdr,
  decodeNumber,
  decodeModbus,
  command,
  clock,
  lineClock,
  unwrap,
  scale,
  degrees,
  tilt,
  pressure,
  switchInput,
  calibration,
  spikeGuard,
  autoDatum,
  datum,
  letOff,
  joinStrokes,
  smoother,
  bendWatch,
  stopCue,
  lowPass,
  notch,
  median,
  oneEuro,
  alphaBeta,
  rateLimiter,
  average,
  compare,
  switchOver,
  threshold,
  timer,
  counter,
  formula,
  delay,
  liveFeed,
  bendRecord,
  deviceFeed,
  rawRecord,
  csvTap,
  mqttPublish,
  webhook,
  output,
]
