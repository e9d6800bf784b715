import { useComputed } from '@preact/signals'
import { useEffect, useRef, useState } from 'preact/hooks'
import type { BendPage } from '../../../server/messages/find.ts'
import { api } from '../../live/api.ts'
import { useStation } from '../../live/context.ts'
import { focusSoon } from '../../live/focus-soon.ts'
import { useAnswer } from '../../live/use-answer.ts'
import { useToLook } from '../../live/use-to-look.ts'
import { FileLink, FileRefusal } from '../../widgets/file-link.tsx'
import { words } from '../../words/en.ts'
import { findWords as find } from '../../words/en-find.ts'
import { BendTable } from './bend-table.tsx'
import { certificateOf } from './certificate-of.ts'
import { CheckRecord } from './check-record.tsx'
import { Conditions } from './conditions.tsx'
import {
  addressOfPlace,
  type Filter,
  type FilterName,
  queryOfFilter,
  readPlace,
} from './filter-address.ts'
import { FilterForm } from './filter-form.tsx'
import { FoundSummary } from './found-summary.tsx'
import { pieceOf } from './piece-of.ts'
import { SavedViews } from './saved-views.tsx'
import { SignPiece } from './sign-piece.tsx'

const { history: say } = words

const OLDER = 'pages-older'
const NEWEST = 'pages-newest'

/** At either end the button that led there is of no use any more, and the focus goes to the other one. */
function Paging(props: {
  before: number | null
  page: BendPage | null
  onTurn: (before: number | null) => void
}) {
  const { before, page, onTurn } = props
  const nextBefore = page?.nextBefore ?? null
  const pressed = useRef<string | null>(null)
  useEffect(() => {
    if (pressed.current !== null) focusSoon(`#${pressed.current}`, `#${NEWEST}`, `#${OLDER}`)
    pressed.current = null
  }, [page])
  const turn = (to: number | null, by: string) => {
    pressed.current = by
    onTurn(to)
  }
  if (before === null && nextBefore === null) return null
  return (
    <p class="pages">
      <button
        id={NEWEST}
        type="button"
        class="plain"
        disabled={before === null}
        onClick={() => turn(null, NEWEST)}
      >
        {say.newest}
      </button>
      <button
        id={OLDER}
        type="button"
        class="plain"
        disabled={nextBefore === null}
        onClick={() => turn(nextBefore, OLDER)}
      >
        {say.older}
      </button>
    </p>
  )
}

/** One page's worth, in rows. */
const ROWS = 50

function pageQuery(filter: Filter, before: number | null): URLSearchParams {
  const query = queryOfFilter(filter)
  query.set('limit', String(ROWS))
  if (before !== null) query.set('before', String(before))
  return query
}

function goTo(filter: Filter, before: number | null = null): void {
  location.hash = addressOfPlace(filter, before)
}

/** What is done with all that is found; what only the shop's own daemon can do is not offered by one that looks at a file. */
function Links({ filter, total }: { filter: Filter; total: number }) {
  const isToLook = useToLook()
  const asked = queryOfFilter(filter)
  const certificate = certificateOf(filter, total)
  return (
    <>
      <p class="act-doings">
        <a class="plain" href={`#/history/charts${asked.size > 0 ? `?${asked}` : ''}`}>
          {find.charts}
        </a>
        {certificate && certificate.tooMany === null && (
          <FileLink name={certificate.name} address={api.certificateAddress(certificate.query)} />
        )}
        <FileLink name={find.exports.csv} address={api.exportAddress(asked, 'csv')} />
        <FileLink name={find.exports.json} address={api.exportAddress(asked, 'json')} />
        {!isToLook && <FileLink name={find.exports.signed} address={api.signedAddress(asked)} />}
        {!isToLook && (
          <a class="plain" href="#/notebook">
            {say.importNotebook}
          </a>
        )}
        <a class="plain" href="#/people">
          {words.people.title}
        </a>
        {certificate?.tooMany}
      </p>
      <FileRefusal />
    </>
  )
}

/** How many there are; on a later page, which of them these are. */
function totalText({ total, bends }: BendPage, before: number | null): string {
  const [first, last] = [bends.at(0), bends.at(-1)]
  return before === null || !first || !last
    ? say.total(total)
    : find.totalHere(say.total(total), first.id, last.id)
}

function Nothing({ filter, before }: { filter: Filter; before: number | null }) {
  if (before !== null) return <p class="desk-intro">{find.noneOlder(before)}</p>
  return <p class="desk-intro">{queryOfFilter(filter).size > 0 ? say.none : say.empty}</p>
}

/** The history, narrowed by what its address asks for, newest first. Looks again whenever a bend is recorded. */
export function HistoryPage({ address }: { address: string }) {
  const { filter, before, problems } = readPlace(address)
  const { state } = useStation()
  const [turn, setTurn] = useState(0)
  const [signed, setSigned] = useState(0)
  const newest = useComputed(() => state.value?.result?.bendId ?? null).value
  const place = pieceOf(filter)
  const maySign = !useToLook() && place !== null
  const query = pageQuery(filter, before)
  const asked = queryOfFilter(filter)
  const { value, problem, isOld } = useAnswer(`${query} ${newest} ${signed}`, () =>
    api.bends(query),
  )
  const { value: summary } = useAnswer(`${asked} ${newest}`, () => api.bendSummary(asked))
  const { value: names } = useAnswer(`names ${newest}`, api.bendNames)
  const views = useAnswer(`views ${turn}`, api.views)
  const drop = (name: FilterName) => goTo({ ...filter, [name]: '' })
  const wrong = [...problems, problem, views.problem].filter((text) => text !== null)
  return (
    <main class="desk">
      <div class="record-head">
        <h1>{say.title}</h1>
        <p role="status">{value ? totalText(value, before) : ''}</p>
      </div>
      <SavedViews
        filter={filter}
        views={views.value ?? []}
        onOpen={goTo}
        onChanged={() => setTurn((last) => last + 1)}
      />
      <FilterForm filter={filter} names={names} onFilter={goTo} />
      <p class="form-refused" role="alert">
        {[...new Set(wrong)].join(' ')}
      </p>
      <Conditions filter={filter} onDrop={drop} />
      <div class="found" aria-busy={isOld}>
        {value && value.bends.length === 0 && <Nothing filter={filter} before={before} />}
        {summary && (asked.size > 0 || summary.total > 0) && (
          <FoundSummary summary={summary} onDrop={drop} />
        )}
        {value && value.bends.length > 0 && <BendTable rows={value.bends} />}
      </div>
      <Paging before={before} page={value} onTurn={(to) => goTo(filter, to)} />
      <Links filter={filter} total={value?.total ?? 0} />
      {maySign && value && value.total > 0 && (
        <SignPiece key={`${asked}`} place={place} onDone={() => setSigned((last) => last + 1)} />
      )}
      <CheckRecord />
    </main>
  )
}
