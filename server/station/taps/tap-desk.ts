import * as Value from 'typebox/value'
import type { CsvTapParameters } from '../../blocks/csv-tap.ts'
import { catalogue } from '../../blocks/index.ts'
import type { MqttPublishParameters } from '../../blocks/mqtt-publish.ts'
import type { TapMessage } from '../../blocks/tap-message.ts'
import type { WebhookParameters } from '../../blocks/webhook.ts'
import type { ChainFile } from '../../chain/chain-file.ts'
import type { TapCount } from '../../messages/chain.ts'
import type { Notice } from '../../messages/live.ts'
import type { StationParts } from '../station-parts.ts'
import { wallTime } from '../wall-time.ts'
import type { ChainOutputs } from './chain-outputs.ts'
import { openCsvTap } from './csv-tap.ts'
import { post } from './http-post.ts'
import { connectBroker } from './mqtt-connection.ts'
import { openMqttTap } from './mqtt-tap.ts'
import type { Tap } from './tap.ts'
import type { TapAround } from './tap-around.ts'
import { openWebhookTap } from './webhook-tap.ts'

/** What a chain's taps are told, and what they tell. */
export interface TapEar {
  /** This chain runs from now on. */
  begin(file: ChainFile): void
  hear(message: TapMessage): void
  counts(): TapCount[]
}

type BlockEntry = ChainFile['blocks'][number]

/** The parameters as the chain's check has filled and found them. */
function settingsOf({ kind, parameters = {} }: BlockEntry): unknown {
  const block = catalogue.find((one) => one.kind === kind)
  return block && Value.Default(block.parameters, Value.Clone(parameters))
}

const OPENERS: Readonly<
  Record<string, (block: string, settings: unknown, around: TapAround) => Tap>
> = {
  'csv-tap': (_, settings, around) => openCsvTap(settings as CsvTapParameters, around),
  'mqtt-publish': (_, settings, around) => openMqttTap(settings as MqttPublishParameters, around),
  webhook: (block, settings, around) =>
    openWebhookTap(block, settings as WebhookParameters, around),
}

interface Open {
  readonly tap: Tap
  /** What it was opened with: a tap of the same settings goes on when another chain begins. */
  readonly key: string
}

/**
 * Does what the running chain's taps ask for: files, broker, receiver, outputs. Only a station has one, so nothing
 * leaves a proof or a bend that is run again.
 */
export class TapDesk implements TapEar {
  readonly #around: Omit<TapAround, 'after'> | null
  readonly #outputs: () => ChainOutputs
  #open = new Map<string, Open>()
  #switches: readonly string[] = []
  #closing: Promise<unknown> = Promise.resolve()

  constructor({ clock, taps }: StationParts, outputs: () => ChainOutputs) {
    this.#outputs = outputs
    this.#around =
      taps === undefined ? null : { clock, wallMsAt: wallTime(clock), connectBroker, post, ...taps }
  }

  begin(file: ChainFile): void {
    const before = this.#open
    this.#open = new Map()
    if (this.#switches.length > 0) this.#outputs().release()
    this.#switches = file.blocks.filter(({ kind }) => kind === 'output').map(({ id }) => id)
    const wanted = file.blocks.filter(({ kind }) => OPENERS[kind] !== undefined)
    const keyOf = (entry: BlockEntry) => JSON.stringify([entry.kind, settingsOf(entry)])
    for (const entry of wanted) {
      const open = before.get(entry.id)
      if (open?.key !== keyOf(entry)) continue
      this.#open.set(entry.id, open)
      before.delete(entry.id)
    }
    this.#letGo([...before.values()])
    for (const entry of wanted) if (!this.#open.has(entry.id)) this.#openOne(entry, keyOf(entry))
  }

  hear(message: TapMessage): void {
    if (message.type === 'switch') {
      if (this.#switches.includes(message.block)) this.#outputs().hear(message)
    } else this.#open.get(message.block)?.tap.hear(message)
  }

  counts(): TapCount[] {
    const opened = [...this.#open].map(([block, { tap }]) => ({ block, ...tap.standing() }))
    const switched = this.#switches.map((block) => ({
      block,
      ...this.#outputs().standing(block),
    }))
    return [...opened, ...switched]
  }

  /** Every tap that is in trouble, or has left things out. */
  notices(): Notice[] {
    return this.counts().flatMap(({ block, waiting, dropped, trouble }) => {
      if (trouble === null) return []
      const counts = [waiting > 0 && `${waiting} wait`, dropped > 0 && `${dropped} were left out`]
      const said = counts.filter((count) => count !== false).join(', ')
      return {
        id: `tap-${block}`,
        kind: 'doubt' as const,
        text: `Tap "${block}": ${trouble}${said && ` Of its values and events ${said}.`}`,
        hint: 'Bends go on and are recorded all the same; the block stands on the Chain page.',
      }
    })
  }

  async close(): Promise<void> {
    if (this.#switches.length > 0) this.#outputs().release()
    this.#letGo([...this.#open.values()])
    this.#open.clear()
    await this.#closing
  }

  #letGo(taps: readonly Open[]): void {
    this.#closing = Promise.all([this.#closing, ...taps.map(({ tap }) => tap.close())])
  }

  #openOne(entry: BlockEntry, key: string): void {
    const open = OPENERS[entry.kind]
    if (this.#around === null || open === undefined) return
    const around = { ...this.#around, after: this.#closing }
    this.#open.set(entry.id, { tap: open(entry.id, settingsOf(entry), around), key })
  }
}
