/** Names that a person takes for the same are the same: case and spaces around do not tell two people apart. */
export const plainName = (name: string): string => name.normalize('NFKC').trim().toLowerCase()
