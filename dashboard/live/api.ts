import { signal } from '@preact/signals'
import type { Act, TeachingAsk } from '../../server/messages/acts.ts'
import type { Bend, BendTrace } from '../../server/messages/bends.ts'
import type {
  BlockReference,
  ChainApplied,
  ChainAsk,
  ChainKind,
  ChainProof,
  ChainProofAsk,
  ChainRevisionFile,
  ChainRevisionRow,
  ChainSeen,
  ChainView,
} from '../../server/messages/chain.ts'
import type { BendCharts } from '../../server/messages/charts.ts'
import type { BenchAct, OperatorAct, Refusal } from '../../server/messages/commands.ts'
import type { LoggedExport } from '../../server/messages/exports.ts'
import type { BendPage, BendSummary, KnownNames } from '../../server/messages/find.ts'
import type { FirstBend, FirstBendAsk } from '../../server/messages/first-bend.ts'
import type { StationState } from '../../server/messages/live.ts'
import type { MaterialRow } from '../../server/messages/material.ts'
import type {
  NotebookAsk,
  NotebookPreview,
  NotebookTake,
  NotebookTaken,
} from '../../server/messages/notebook.ts'
import type { ArmOutput } from '../../server/messages/output.ts'
import type {
  AddPersonAsk,
  ChangePersonAsk,
  FirstAsk,
  Here,
  OwnPasswordAsk,
  Person,
  PersonChange,
  SignInAsk,
} from '../../server/messages/people.ts'
import type { KeptPhoto } from '../../server/messages/photos.ts'
import type { PieceAsk, PieceNow, PieceSigned } from '../../server/messages/piece.ts'
import type {
  Axes,
  Calibration,
  CalibrationAsk,
  CalibrationFit,
  Capture,
  Check,
  CheckAsk,
  CheckChart,
  ReadoutState,
  ReferencePiece,
  ReferencePieceAsk,
  SixPositions,
  SixPositionsAsk,
} from '../../server/messages/readout.ts'
import type { Job, Setup, StoredSetup } from '../../server/messages/setup.ts'
import type { LotTable, SpringbackView } from '../../server/messages/springback.ts'
import type { HistoryVerified } from '../../server/messages/verified.ts'
import type { SavedView, SaveViewAsk } from '../../server/messages/views.ts'
import type {
  PortFound,
  ProbeAsk,
  Probed,
  RecentLine,
  Wire,
  WireChoice,
} from '../../server/messages/wire.ts'
import { words } from '../words/en.ts'
import { benderKey } from './bender-key.ts'
import { sessionChanged } from './session.ts'
import { pathAt } from './station-choice.ts'

/** What the daemon said no to, with its one sentence. `field` names the input it is about. */
export class ApiError extends Error {
  readonly code: string
  readonly field: string | undefined
  constructor(refusal: Refusal) {
    super(refusal.sentence)
    this.name = 'ApiError'
    this.code = refusal.code
    this.field = refusal.field
  }
}

/** What went wrong, for a person. */
export const sentenceOf = (error: unknown): string =>
  error instanceof Error ? error.message : String(error)

/** True once the daemon asked this device for the code it printed. */
export const needsPairing = signal(false)

/** Longer than any answer of a daemon on the same network takes. */
const ANSWER_WITHIN_MS = 8000
/** A port is listened to at each usual speed in turn. */
const PROBED_WITHIN_MS = 90_000
/** Every block is run once, on a small computer. */
const REFERENCE_WITHIN_MS = 30_000
/** Twenty bends run again, twice each, on a small computer. */
const PROVED_WITHIN_MS = 180_000

/** Eight megabytes over the wireless network of a shop. */
const PHOTO_WITHIN_MS = 120_000
/** Ten thousand lines on a slow disk. */
const NOTEBOOK_WITHIN_MS = 120_000
/** A million records, walked on a small computer. */
const VERIFIED_WITHIN_MS = 900_000

/** The body of an answer, which a wire that breaks may cut off. */
async function bodyOf<T>(response: Response): Promise<T> {
  try {
    return (await response.json()) as T
  } catch {
    throw new ApiError({ code: 'unreachable', sentence: words.api.unreachable })
  }
}

async function refusalOf(response: Response): Promise<Refusal> {
  const fallback = { code: `http-${response.status}`, sentence: words.api.noSentence }
  const body = (await response.json().catch(() => null)) as Partial<Refusal> | null
  return body?.sentence ? { ...fallback, ...body, sentence: body.sentence } : fallback
}

/** The response to a request that was granted. */
async function granted(address: string, request: RequestInit): Promise<Response> {
  const response = await fetch(address, request).catch(() => {
    throw new ApiError({ code: 'unreachable', sentence: words.api.unreachable })
  })
  if (response.ok) return response
  const refusal = await refusalOf(response)
  if (refusal.code === 'not-paired') needsPairing.value = true
  if (refusal.code === 'not-signed-in') sessionChanged()
  throw new ApiError(refusal)
}

/** The answer to a request, or what it was refused with. */
const answerTo = async <T>(path: string, request: RequestInit): Promise<T> =>
  await bodyOf<T>(await granted(`/api/${pathAt(benderKey(), path)}`, request))

/** Asks once more for a file that did not come, for the sentence of its refusal. */
async function askWhy(address: string): Promise<void> {
  const over = new AbortController()
  const within = AbortSignal.any([over.signal, AbortSignal.timeout(ANSWER_WITHIN_MS)])
  await granted(address, { signal: within })
  over.abort()
}

async function ask<T>(
  method: string,
  path: string,
  body?: unknown,
  withinMs = ANSWER_WITHIN_MS,
): Promise<T> {
  return await answerTo<T>(path, {
    method,
    signal: AbortSignal.timeout(withinMs),
    ...(body === undefined
      ? {}
      : { body: JSON.stringify(body), headers: { 'content-type': 'application/json' } }),
  })
}

/** The type that the browser goes by says nothing: the daemon looks at the image itself. */
const sendImage = (path: string, image: Blob) =>
  answerTo<KeptPhoto>(path, {
    method: 'POST',
    signal: AbortSignal.timeout(PHOTO_WITHIN_MS),
    body: image,
    headers: { 'content-type': 'application/octet-stream' },
  })

/** Everything the dashboard asks of the daemon, besides the live stream. Each throws `ApiError`. */
export const api = {
  act: (act: OperatorAct['act']) => ask<unknown>('POST', 'station/act', { act }),
  check: (checkedDeg: number) => ask<unknown>('POST', 'station/act', { act: 'check', checkedDeg }),
  bench: (act: BenchAct) => ask<unknown>('POST', 'bench', act),
  armOutput: (what: ArmOutput) => ask<unknown>('PUT', 'output', what),
  keepOutput: () => ask<unknown>('POST', 'output/keep', {}),
  disarmOutput: () => ask<unknown>('DELETE', 'output'),
  ports: () => ask<PortFound[]>('GET', 'ports'),
  probe: (port: ProbeAsk) => ask<Probed>('POST', 'wire/probe', port, PROBED_WITHIN_MS),
  wire: () => ask<Wire>('GET', 'wire'),
  wireLines: () => ask<RecentLine[]>('GET', 'wire/lines'),
  useWire: (wire: WireChoice) => ask<unknown>('PUT', 'wire', wire),
  readout: () => ask<ReadoutState>('GET', 'readout'),
  captureReadout: () => ask<Capture>('POST', 'readout/capture', {}),
  tryCalibration: (what: CalibrationAsk) =>
    ask<CalibrationFit>('POST', 'readout/calibrations/trial', what),
  calibrate: (what: CalibrationAsk) => ask<Calibration>('POST', 'readout/calibrations', what),
  captureAxes: () => ask<Axes>('POST', 'readout/axes/capture', {}),
  calibrateAxes: (what: SixPositionsAsk) => ask<SixPositions>('POST', 'readout/axes', what),
  addPiece: (what: ReferencePieceAsk) => ask<ReferencePiece>('POST', 'readout/pieces', what),
  checkReadout: (what: CheckAsk) => ask<Check>('POST', 'readout/checks', what),
  checkChart: (piece: number) => ask<CheckChart>('GET', `readout/pieces/${piece}/chart`),
  materials: () => ask<MaterialRow[]>('GET', 'materials'),
  firstBend: (what: FirstBendAsk) => ask<FirstBend>('POST', 'first-bend', what),
  setups: () => ask<StoredSetup[]>('GET', 'station/setups'),
  useSetup: (setup: Setup) => ask<StoredSetup>('PUT', 'station/setup', setup),
  async pair(code: string): Promise<void> {
    await ask<unknown>('POST', 'pair', { code })
    needsPairing.value = false
  },
  station: () => ask<StationState>('GET', 'station'),
  useJob: (job: Job) => ask<unknown>('PUT', 'station/job', job),
  bends: (query: URLSearchParams) => ask<BendPage>('GET', `bends?${query}`),
  bendSummary: (query: URLSearchParams) => ask<BendSummary>('GET', `bends/summary?${query}`),
  bendCharts: (query: URLSearchParams) => ask<BendCharts>('GET', `bends/charts?${query}`),
  bendNames: () => ask<KnownNames>('GET', 'bends/names'),
  views: () => ask<SavedView[]>('GET', 'views'),
  saveView: (what: SaveViewAsk) => ask<SavedView>('PUT', 'views', what),
  removeView: (name: string) => ask<unknown>('DELETE', `views?${new URLSearchParams({ name })}`),
  bend: (bendId: number) => ask<Bend>('GET', `bends/${bendId}`),
  addAct: (bendId: number, address: string, body: object) =>
    ask<Act>('POST', `bends/${bendId}/${address}`, body),
  piece: ({ part, piece }: PieceAsk) =>
    ask<PieceNow>('GET', `piece?${new URLSearchParams({ part, piece: String(piece) })}`),
  signPiece: (what: object) => ask<PieceSigned>('POST', 'piece/signatures', what),
  addPhoto: (image: Blob) => sendImage('photos', image),
  photoAddress: (sha256: string) => `/api/photos/${sha256}`,
  session: () => ask<Here>('GET', 'session'),
  signIn: (who: SignInAsk) => ask<unknown>('POST', 'session', who),
  signOut: () => ask<unknown>('DELETE', 'session'),
  firstPerson: (who: FirstAsk) => ask<unknown>('POST', 'people/first', who),
  people: () => ask<{ people: Person[]; changes: PersonChange[] }>('GET', 'people'),
  exportsLogged: () => ask<LoggedExport[]>('GET', 'exports'),
  addPerson: (what: AddPersonAsk) => ask<Person>('POST', 'people', what),
  changePerson: (what: ChangePersonAsk) => ask<Person>('PUT', 'people', what),
  ownPassword: (what: OwnPasswordAsk) => ask<unknown>('PUT', 'session/password', what),
  acts: (bendId: number) => ask<Act[]>('GET', `bends/${bendId}/acts`),
  decide: (bendId: number, what: TeachingAsk) => ask<Act>('POST', `bends/${bendId}/teaching`, what),
  chain: () => ask<ChainView>('GET', 'chain'),
  chainSeen: () => ask<ChainSeen>('GET', 'chain/seen'),
  blockReference: () =>
    ask<BlockReference[]>('GET', 'chain/blocks/reference', undefined, REFERENCE_WITHIN_MS),
  chainKinds: () => ask<ChainKind[]>('GET', 'chain/blocks'),
  checkChain: (file: unknown) => ask<ChainView>('POST', 'chain/check', { file }),
  proveChain: (what: ChainProofAsk) =>
    ask<ChainProof>('POST', 'chain/proof', what, PROVED_WITHIN_MS),
  applyChain: (what: ChainAsk) => ask<ChainApplied>('PUT', 'chain', what),
  chainRevisions: () => ask<ChainRevisionRow[]>('GET', 'chain/revisions'),
  chainRevision: (id: number) => ask<ChainRevisionFile>('GET', `chain/revisions/${id}`),
  shippedChain: () => ask<{ readonly file: unknown }>('GET', 'chain/shipped'),
  springback: (setupId: number | null) =>
    ask<SpringbackView>('GET', setupId === null ? 'springback' : `springback?setup=${setupId}`),
  lots: () => ask<LotTable>('GET', 'springback/lots'),
  previewNotebook: (what: NotebookAsk) =>
    ask<NotebookPreview>('POST', 'notebook/preview', what, NOTEBOOK_WITHIN_MS),
  takeNotebook: (what: NotebookTake) =>
    ask<NotebookTaken>('POST', 'notebook', what, NOTEBOOK_WITHIN_MS),
  trace: (bendId: number) => ask<BendTrace>('GET', `bends/${bendId}/trace`),
  certificateAddress: (query: URLSearchParams) => `/api/certificate?${query}`,
  verify: () => ask<HistoryVerified>('GET', 'history/verify', undefined, VERIFIED_WITHIN_MS),
  exportAddress: (query: URLSearchParams, format: 'csv' | 'json') =>
    `/api/bends/export?${new URLSearchParams([...query, ['format', format]])}`,
  signedAddress: (query: URLSearchParams) => `/api/bends/signed?${query}`,
  /** Throws what a file at one of these addresses was refused with. */
  refusalOf: askWhy,
  rawAddress: (bendId: number) => `/api/bends/${bendId}/raw`,
}
