import { words } from '../words/en.ts'

/** What this readout is not, and what can hurt. Said before the first bend, not in small print. */
export function Cautions() {
  return (
    <section class="cautions" aria-labelledby="cautions-title">
      <h2 id="cautions-title">{words.cautions.title}</h2>
      <ul>
        {words.cautions.list.map((sentence) => (
          <li key={sentence}>{sentence}</li>
        ))}
      </ul>
    </section>
  )
}
