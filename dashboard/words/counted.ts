/** A number of things: `1 record`, `2 records`. */
export const counted = (count: number, one: string, many: string): string =>
  `${count} ${count === 1 ? one : many}`

export const bends = (count: number): string => counted(count, 'bend', 'bends')
