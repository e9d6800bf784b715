import type { Bend } from '../messages/bends.ts'
import type { CertifiedBend } from './certificate.ts'
import { use } from './faces.ts'
import { heading, LEFT_PT, line, type Paper, WIDE_PT } from './paper.ts'
import { words } from './words.ts'

const ROW_PT = 11
const NAME_PT = 74

const say = words.facts

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
  for (const { bend } of bends)
    numbersBy.set(of(bend), [...(numbersBy.get(of(bend)) ?? []), bend.id])
  if (numbersBy.size === 1) return [...numbersBy.keys()]
  return [...numbersBy].map(([value, ids]) => `${value} (record ${ids.join(', ')})`)
}

/** Everything that was in force, once where it was the same for all bends of the piece. */
export function inForce(paper: Paper, bends: readonly CertifiedBend[]): void {
  heading(paper, words.inForce, 3 * ROW_PT)
  const times = bends.map(({ bend }) => bend.startedAt)
  const time = [times[0], times.at(-1)].filter((at, place) => place === 0 || at !== times[0])
  const rows: [string, string[]][] = FACTS.map(([name, of]) => [name, told(bends, of)])
  rows.splice(6, 0, [say.time, [time.join(' … ')]])
  for (const [name, values] of rows)
    for (const [place, value] of values.entries()) {
      paper.need(ROW_PT)
      use(paper.doc, 'plain', 6.5)
      if (place === 0) line(paper.doc, name, LEFT_PT, paper.yPt + 1, NAME_PT)
      use(paper.doc, 'plain', 8)
      line(paper.doc, value, LEFT_PT + NAME_PT, paper.yPt, WIDE_PT - NAME_PT)
      paper.yPt += ROW_PT
    }
}
