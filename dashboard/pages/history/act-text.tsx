import type { Act } from '../../../server/messages/acts.ts'
import type { Bend } from '../../../server/messages/bends.ts'
import { api } from '../../live/api.ts'
import { words } from '../../words/en.ts'
import { InspectionText } from './inspection-text.tsx'

const { trail: say } = words

/** A person's own words, exactly as written: line breaks, right-to-left text and all. */
function OwnWords({ text }: { text: string }) {
  return (
    <p class="own-words" dir="auto">
      {text}
    </p>
  )
}

const Value = ({ text }: { text: string | null }) =>
  text === null ? <em>{say.nothing}</em> : <bdi>{text}</bdi>

/** What stood there, struck, beside what is to stand there. */
export const AmendedValue = ({ from, to }: { from: string | null; to: string | null }) => (
  <>
    <del>
      <Value text={from} />
    </del>{' '}
    <ins>
      <Value text={to} />
    </ins>
  </>
)

function Amendment({ act }: { act: Act<'amendment'> }) {
  return (
    <>
      <p class="act-said">
        {say.kinds.amendment}: {say.fields[act.field]} <AmendedValue from={act.from} to={act.to} />
      </p>
      <OwnWords text={act.reason} />
    </>
  )
}

function Said({ said, why }: { said: string; why: string }) {
  return (
    <>
      <p class="act-said">{said}</p>
      <OwnWords text={why} />
    </>
  )
}

const Photo = ({ act: { sha256, caption } }: { act: Act<'photo'> }) => (
  <figure class="photo">
    <a href={api.photoAddress(sha256)}>
      <img src={api.photoAddress(sha256)} alt={caption} loading="lazy" />
    </a>
    <figcaption dir="auto">{caption}</figcaption>
  </figure>
)

/** What an act says, as a person reads it. */
export function ActText({ act, bend }: { act: Act; bend: Bend }) {
  switch (act.kind) {
    case 'teaching':
      return <Said said={say.decisions[act.decision]} why={act.reason} />
    case 'amendment':
      return <Amendment act={act} />
    case 'void':
    case 'reinstated':
      return <Said said={say.kinds[act.kind]} why={act.reason} />
    case 'signature':
      return <Said said={say.roles[act.role]} why={act.meaning} />
    case 'note':
      return <Said said={say.kinds.note} why={act.text} />
    case 'inspection':
      return (
        <>
          <p class="act-said">{say.kinds.inspection}</p>
          <InspectionText act={act} bend={bend} />
        </>
      )
    case 'photo':
      return <Photo act={act} />
  }
}
