import type { StationState } from '../../server/messages/live.ts'
import { settings } from '../live/settings.ts'
import { words } from '../words/en.ts'
import { askedDegrees, length, moment } from '../words/format.ts'

function Cell({ name, value, wide }: { name: string; value: string; wide?: boolean }) {
  return (
    <div class={wide ? 'block-cell block-wide' : 'block-cell'}>
      <dt>{name}</dt>
      <dd title={value}>{value}</dd>
    </div>
  )
}

const checked = (verification: string | null) =>
  verification !== null && !Number.isNaN(Date.parse(verification))
    ? moment(verification).slice(0, 16)
    : (verification ?? words.block.never)

/** What is in force, as on any drawing: nothing on this sheet is true without it. */
export function TitleBlock({ state }: { state: StationState }) {
  const { block } = words
  const unit = settings.unit.value
  const setup = state.setup?.setup
  const { job } = state
  const tube = setup?.tube
  const tubeText = tube
    ? `${length(tube.odMm, unit).replace(/ .*/, '')} × ${length(tube.wallMm, unit)}`
    : block.none
  const dieText = setup ? `${setup.die.name}, CLR ${length(setup.die.clrMm, unit)}` : block.none
  const setupNumber = state.setup ? ` no. ${state.setup.id}` : ''
  const wanted = job
    ? `${askedDegrees(job.wantedDeg)} ± ${askedDegrees(job.toleranceDeg)}`
    : block.none
  return (
    <dl class="title-block" aria-label={block.title}>
      <Cell name={block.part} value={job?.part ?? block.none} wide />
      <Cell name={block.piece} value={job ? String(job.piece) : block.none} />
      <Cell name={block.bend} value={job ? String(job.bendNumber) : block.none} />
      <Cell name={block.wanted} value={wanted} />
      <Cell name={block.operator} value={job?.operator ?? block.none} />
      <Cell name={block.check} value={checked(state.verification)} />
      <Cell name={`${block.setup}${setupNumber}: ${block.die}`} value={dieText} wide />
      <Cell name={block.tube} value={tubeText} />
      <Cell name={block.material} value={tube?.material ?? block.none} />
      <Cell name={block.lot} value={tube?.lot ?? block.none} />
      <Cell name={block.station} value={state.station} />
      <Cell name={block.source} value={state.simulated ? block.simulated : block.real} />
    </dl>
  )
}
