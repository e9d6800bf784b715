/** What stands over a column. `kind`: classes of the style sheet, `number` for what is aligned on its right. */
export interface Head {
  readonly name: string
  readonly kind?: string
}

/** The head of a table: each column named once. */
export const TableHead = ({ heads }: { heads: readonly (Head | string)[] }) => (
  <thead>
    <tr>
      {heads
        .map((head) => (typeof head === 'string' ? { name: head } : head))
        .map(({ name, kind }: Head) => (
          <th key={name} scope="col" class={kind}>
            {name}
          </th>
        ))}
    </tr>
  </thead>
)

/** The head of a column of numbers. */
export const numberHead = (name: string): Head => ({ name, kind: 'number' })
