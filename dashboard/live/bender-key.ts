let chosen: string | null = null

/** The key of the bender that this page looks at; null: the first. Another one is another page: all of it begins anew. */
export const benderKey = (): string | null => chosen

/** Once, before anything of a bender is asked for. */
export function lookAt(key: string | null): void {
  chosen = key
}
