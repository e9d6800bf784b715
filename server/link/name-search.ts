/** Under which name to look for the board: its own, or the one port that has come since it went. */
export interface NameSearch {
  /** The name that was asked for. */
  readonly named: string
  /** Ports that were there while the board was: none of them is the board under another name. */
  baseline: ReadonlySet<string> | null
  lostAtS: number | null
  /** Names that turned out to be another board, since the loss. */
  readonly rejected: Set<string>
}

/** A board that only resets is back by then: no need to touch other ports for it. */
const LOOK_ELSEWHERE_AFTER_S = 2

export const makeNameSearch = (named: string): NameSearch => ({
  named,
  baseline: null,
  lostAtS: null,
  rejected: new Set(),
})

/** The board is there, beside these ports. */
export function noteFound(search: NameSearch, ports: readonly string[]): void {
  search.baseline = new Set(ports)
  search.lostAtS = null
  search.rejected.clear()
}

export function noteLost(search: NameSearch, nowS: number): void {
  search.lostAtS ??= nowS
}

/** Whether it is time to look at other ports: only for a board that was there and whose name is gone. */
export function shallLookElsewhere({ baseline, lostAtS }: NameSearch, nowS: number): boolean {
  return baseline !== null && lostAtS !== null && nowS - lostAtS > LOOK_ELSEWHERE_AFTER_S
}

/** @returns the one port that is new, or null when there is none or more than one. */
export function otherName(search: NameSearch, ports: readonly string[]): string | null {
  const isNew = (port: string): boolean =>
    port !== search.named && !search.baseline?.has(port) && !search.rejected.has(port)
  const fresh = [...new Set(ports)].filter(isNew)
  return fresh.length === 1 ? (fresh[0] ?? null) : null
}
