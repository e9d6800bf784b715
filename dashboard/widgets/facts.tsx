import { useComputed } from '@preact/signals'
import type { ComponentChildren } from 'preact'
import { useEffect, useRef } from 'preact/hooks'
import type { Result } from '../../server/messages/live.ts'
import { useStation } from '../live/context.ts'
import { eachFrame } from '../live/frame.ts'
import { decimalsFor, leftDeg, shownErrorDeg } from '../live/shown-angle.ts'
import { words } from '../words/en.ts'
import { askedDegrees, expanded, fixed, signedDegrees } from '../words/format.ts'

function Fact(props: { name: string; pencil?: boolean; children: ComponentChildren }) {
  return (
    <div class={props.pencil ? 'fact fact-pencil' : 'fact'}>
      <dt>{props.name}</dt>
      <dd>{props.children}</dd>
    </div>
  )
}

/** What is left to the stop. Changes with every sample, so it is written past the view library. */
function ToGo({ commandedDeg }: { commandedDeg: number }) {
  const { state, latest } = useStation()
  const uncertaintyDeg = useComputed(() => state.value?.uncertaintyDeg ?? null).value
  const decimals = decimalsFor(uncertaintyDeg)
  const name = useRef<HTMLElement>(null)
  const value = useRef<HTMLElement>(null)
  useEffect(() => {
    let writtenDeg: number | null = null
    return eachFrame(() => {
      const toGoDeg = leftDeg(commandedDeg, latest.shownDeg)
      if (Object.is(toGoDeg, writtenDeg) || !name.current || !value.current) return
      writtenDeg = toGoDeg
      name.current.textContent = toGoDeg < 0 ? words.facts.past : words.facts.toGo
      value.current.textContent = Number.isNaN(toGoDeg)
        ? words.facts.none
        : fixed(Math.abs(toGoDeg), Math.max(1, decimals))
    })
  }, [latest, commandedDeg, decimals])
  return (
    <div class="fact">
      <dt ref={name}>{words.facts.toGo}</dt>
      <dd aria-live="off">
        <span ref={value} />
        {uncertaintyDeg !== null && <small> {expanded(uncertaintyDeg)}</small>}
      </dd>
    </div>
  )
}

function Outcome({ result }: { result: Result }) {
  const { go, expandedUncertaintyDeg } = result
  const errorDeg = shownErrorDeg(result)
  const { facts } = words
  return (
    <>
      <Fact name={facts.released}>
        {go.releasedDeg === null ? facts.none : fixed(go.releasedDeg, 1)}
        {expandedUncertaintyDeg !== null && <small> {expanded(expandedUncertaintyDeg)}</small>}
      </Fact>
      <Fact name={facts.offBy}>
        {errorDeg === null ? facts.none : signedDegrees(errorDeg).replace('°', '')}
      </Fact>
    </>
  )
}

/** The three numbers beside the angle: before letting off the aim, after it the outcome. */
export function Facts(props: { commandedDeg: number | null; fresh: boolean }) {
  const { commandedDeg, fresh } = props
  const state = useStation().state.value
  if (!state?.job) return <dl class="facts" />
  const { facts } = words
  const outcome = state.phase === 'settled' && !state.result?.goingAgain ? state.result : null
  return (
    <dl class="facts">
      <Fact name={facts.wanted} pencil>
        {fixed(state.job.wantedDeg, 1)}
        <small> ±{askedDegrees(state.job.toleranceDeg)}</small>
      </Fact>
      {outcome ? (
        <Outcome result={outcome} />
      ) : (
        <>
          <Fact name={facts.stopAt} pencil>
            {commandedDeg === null ? facts.none : fixed(commandedDeg, 1)}
          </Fact>
          {commandedDeg === null || !fresh || state.phase === 'no-datum' ? (
            <Fact name={facts.toGo}>{facts.none}</Fact>
          ) : (
            <ToGo commandedDeg={commandedDeg} />
          )}
        </>
      )}
    </dl>
  )
}
