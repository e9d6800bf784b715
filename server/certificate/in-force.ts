import type { Bend } from '../messages/bends.ts'
import type { CertifiedBend } from './certificate.ts'
import { use } from './faces.ts'
import { heading, LEFT_PT, line, type Paper, type Steps, WIDE_PT } from './paper.ts'
import { words } from './words.ts'

const ROW_PT = 11
const NAME_PT = 74

const say = words.facts

const toleranceFrom = ({ toleranceBy: by }: Bend['job']) =>
  by === undefined ? words.ownTolerance : words.byClass(by.toleranceClass, by.shorterLegMm)

const finderOf = ({ checkedDeg, job }: Bend) =>
  checkedDeg === null ? '–' : (job.angleFinder ?? '–')

/** What was in force, a name and what each bend says of it. */
const FACTS: readonly (readonly [name: string, of: (bend: Bend) => string])[] = [
  [say.station, ({ setup }) => setup.station],
  [
    say.die,
    ({ setup: { die } }) => `${die.name}, for OD ${die.odMm} mm, centreline radius ${die.clrMm} mm`,
  ],
  [say.tube, ({ tube }) => `${tube.odMm} × ${tube.wallMm} mm`],
  [say.lot, ({ lot }) => lot],
  [say.material, ({ tube }) => tube.material],
  [say.tolerance, ({ job }) => toleranceFrom(job)],
  [say.revision, ({ job }) => job.drawingRevision ?? '–'],
  [say.finder, finderOf],
  [say.operator, ({ operator }) => operator],
  [say.calibration, ({ calibration }) => calibration],
  [say.check, ({ verification }) => verification ?? words.never],
  [
    say.standing,
    ({ readout }) => [words.standing(readout?.standing), readout?.why].filter(Boolean).join(': '),
  ],
  [say.chain, ({ chainRevision }) => chainRevision],
  [say.firmware, ({ firmware }) => firmware ?? '–'],
  [say.software, ({ software }) => software],
]

/** Where bends differ, each value with the numbers of its bends. */
function told(bends: readonly CertifiedBend[], of: (bend: Bend) => string): string[] {
  const numbersBy = new Map<string, number[]>()
  for (const { bend } of bends) {
    const value = of(bend)
    const numbers = numbersBy.get(value)
    if (numbers === undefined) numbersBy.set(value, [bend.id])
    else numbers.push(bend.id)
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
    const [left, right] = cells.slice(at, at + 2)
    if (left === undefined) break
    const isPair = right !== undefined && isShort(left) && isShort(right)
    yield isPair ? [left, right] : [left]
    if (isPair) at += 1
  }
}

/** Everything that was in force, once where it was the same for all bends of the piece. */
export function* inForce(paper: Paper, bends: readonly CertifiedBend[]): Steps {
  heading(paper, words.inForce, 3 * ROW_PT)
  const times = bends.map(({ bend }) => bend.startedAt)
  const time = [times[0], times.at(-1)].filter((at, place) => place === 0 || at !== times[0])
  const facts: [string, string[]][] = FACTS.map(([name, of]) => [name, told(bends, of)])
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
