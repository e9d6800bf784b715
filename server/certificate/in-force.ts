import type { Bend } from '../messages/bends.ts'
import type { CertifiedBend } from './certificate.ts'
import { use } from './faces.ts'
import { heading, LEFT_PT, line, type Paper, type Steps, WIDE_PT } from './paper.ts'
import { lotOf, recordedCheckDeg, told } from './standing.ts'
import { words } from './words.ts'

const ROW_PT = 11
const NAME_PT = 74

const say = words.facts

const dieOf = ({ setup: { die } }: Bend) =>
  `${die.name}, for OD ${die.odMm} mm, centreline radius ${die.clrMm} mm`

const toleranceFrom = ({ toleranceBy: by }: Bend['job']) =>
  by === undefined ? words.ownTolerance : words.byClass(by.toleranceClass, by.shorterLegMm)

const finderOf = (on: CertifiedBend) =>
  told(on, 'gauge', recordedCheckDeg(on) === null ? '–' : (on.bend.job.angleFinder ?? '–'))

/** What of this shop's readout was in force: of an imported bend nothing is known, whatever read the notebook. */
const seen = (of: (bend: Bend) => string) => (on: CertifiedBend) =>
  on.bend.imported === undefined ? of(on.bend) : words.notKnown

const standingOf = ({ readout }: Bend) =>
  [words.standing(readout?.standing), readout?.why].filter(Boolean).join(': ')

/** What was in force, a name and what each bend says of it. */
const FACTS: readonly (readonly [name: string, of: (on: CertifiedBend) => string])[] = [
  [say.station, ({ bend }) => bend.setup.station],
  [say.die, ({ bend }) => dieOf(bend)],
  [say.tube, ({ bend: { tube } }) => `${tube.odMm} × ${tube.wallMm} mm`],
  [say.lot, lotOf],
  [say.material, ({ bend }) => bend.tube.material],
  [say.tolerance, ({ bend }) => toleranceFrom(bend.job)],
  [say.revision, ({ bend }) => bend.job.drawingRevision ?? '–'],
  [say.finder, finderOf],
  [say.operator, (on) => told(on, 'operator', on.bend.operator)],
  [say.calibration, seen(({ calibration }) => calibration)],
  [say.check, seen(({ verification }) => verification ?? words.never)],
  [say.standing, seen(standingOf)],
  [say.chain, seen(({ chainRevision }) => chainRevision)],
  [say.firmware, seen(({ firmware }) => firmware ?? '–')],
  [say.software, seen(({ software }) => software)],
]

/** Where bends differ, each value with the numbers of its bends. */
function valuesOf(bends: readonly CertifiedBend[], of: (on: CertifiedBend) => string): string[] {
  const numbersBy = new Map<string, number[]>()
  for (const on of bends) {
    const value = of(on)
    const numbers = numbersBy.get(value)
    if (numbers === undefined) numbersBy.set(value, [on.bend.id])
    else numbers.push(on.bend.id)
  }
  if (numbersBy.size === 1) return [...numbersBy.keys()]
  return [...numbersBy].map(([value, ids]) => `${value} (record ${ids.join(', ')})`)
}

interface Cell {
  readonly name: string
  readonly value: string
}

const valueWidthPt = (isHalf: boolean) => (isHalf ? WIDE_PT / 2 : WIDE_PT) - NAME_PT

function cell({ doc, yPt }: Paper, { name, value }: Cell, side: 0 | 1, isHalf: boolean): void {
  const leftPt = LEFT_PT + (side * WIDE_PT) / 2
  use(doc, 'plain', 6.5)
  line(doc, name, leftPt, yPt + 1, NAME_PT)
  use(doc, 'plain', 8)
  line(doc, value, leftPt + NAME_PT, yPt, valueWidthPt(isHalf))
}

/** No longer text is short, whatever its letters. */
const SHORT_MAX = 100

/** Short ones stand side by side, so that a piece finds room on one page. */
function* rowsOf({ doc }: Paper, cells: readonly Cell[]): Generator<readonly [Cell, Cell?]> {
  const isShort = ({ name, value }: Cell) => {
    if (name === '' || value.length > SHORT_MAX) return false
    use(doc, 'plain', 8)
    return doc.widthOfString(value) < valueWidthPt(true)
  }
  for (let at = 0; at < cells.length; at++) {
    const [left, right, after] = cells.slice(at, at + 3)
    if (left === undefined) break
    // Further values stand below the first, at the left.
    const isAlone = after?.name !== ''
    const isPair = right !== undefined && isAlone && isShort(left) && isShort(right)
    yield isPair ? [left, right] : [left]
    if (isPair) at += 1
  }
}

/** Everything that was in force, once where it was the same for all bends of the piece. */
export function* inForce(paper: Paper, bends: readonly CertifiedBend[]): Steps {
  heading(paper, words.inForce, 3 * ROW_PT)
  // What an old notebook told was recorded later than it was bent.
  const times = bends
    .map(({ bend }) => bend.startedAt)
    .toSorted((a, b) => Date.parse(a) - Date.parse(b))
  const time = [times[0], times.at(-1)].filter((at, place) => place === 0 || at !== times[0])
  const facts: [string, string[]][] = FACTS.map(([name, of]) => [name, valuesOf(bends, of)])
  facts.splice(9, 0, [say.time, [time.join(' … ')]])
  const cells = facts.flatMap(([name, values]) =>
    values.map((value, place) => ({ name: place === 0 ? name : '', value })),
  )
  for (const [left, right] of rowsOf(paper, cells)) {
    paper.need(ROW_PT)
    cell(paper, left, 0, right !== undefined)
    if (right !== undefined) cell(paper, right, 1, true)
    paper.yPt += ROW_PT
    yield
  }
}
