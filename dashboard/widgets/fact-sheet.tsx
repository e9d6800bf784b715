export interface SheetFact {
  readonly name: string
  readonly value: string
  /** A hash: long, in letters of one width, on a line of its own. */
  readonly isHash?: boolean
}

/** Names and values in a ruled sheet, as beside a drawing. */
export function FactSheet({ facts }: { facts: readonly SheetFact[] }) {
  return (
    <dl class="sheet-of-facts">
      {facts.map(({ name, value, isHash }) => (
        <div key={name} class={isHash ? 'hash' : undefined}>
          <dt>{name}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  )
}
