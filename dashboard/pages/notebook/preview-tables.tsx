import type { NotebookPreview } from '../../../server/messages/notebook.ts'
import { numberHead, TableHead } from '../../widgets/table-head.tsx'
import { words } from '../../words/en.ts'
import { notebookWords as say } from '../../words/en-notebook.ts'
import { askedDegrees, asWritten, degrees } from '../../words/format.ts'

const { fields } = say

/** Everything that is in the way, by line and column. */
export function Problems({ problems, problemCount }: NotebookPreview) {
  return (
    <section>
      <h2>{say.problemsTitle}</h2>
      <p class="form-refused" role="alert">
        {say.problems(problemCount)}
        {problems.length < problemCount && ` ${say.shown(problems.length, problemCount)}`}
      </p>
      <div class="table-scroll">
        <table aria-label={say.problemsTitle}>
          <TableHead heads={[say.line, say.column, say.why]} />
          <tbody>
            {problems.map(({ line, field, sentence }) => (
              <tr key={`${line} ${field}`}>
                <td>{line}</td>
                <td>{field === null ? '' : fields[field]}</td>
                <td class="prose" dir="auto">
                  {sentence}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  )
}

const angle = (deg: number | null) => (deg === null ? words.facts.none : degrees(deg, 2))

const ROW_HEADS = [
  ...[say.line, fields.startedAt, fields.part, fields.piece, fields.bendNumber, fields.lot],
  ...[fields.operator, ...[fields.wantedDeg, fields.peakDeg, fields.releasedDeg].map(numberHead)],
  ...[words.history.verdict, say.teaches],
]

/** The first lines as they would be recorded. */
export function Rows({ rows, lines, canTeach }: NotebookPreview) {
  return (
    <section>
      <h2>{say.previewTitle}</h2>
      <p>
        {say.found(lines, canTeach)} {rows.length < lines && say.shown(rows.length, lines)}
      </p>
      <div class="table-scroll">
        <table aria-label={say.previewTitle}>
          <TableHead heads={ROW_HEADS} />
          <tbody>
            {rows.map((row) => (
              <tr key={row.line}>
                <td>{row.line}</td>
                <td>{asWritten(row.startedAt)}</td>
                <td dir="auto">{row.part}</td>
                <td>{row.piece}</td>
                <td>{row.bendNumber}</td>
                <td dir="auto">{row.lot}</td>
                <td dir="auto">{row.operator}</td>
                <td class="number">
                  {askedDegrees(row.wantedDeg, 2)} ± {askedDegrees(row.toleranceDeg, 2)}
                </td>
                <td class="number">{angle(row.peakDeg)}</td>
                <td class="number">{angle(row.releasedDeg)}</td>
                <td>{words.history.verdicts[row.verdict]}</td>
                <td class="prose">{row.cannotTeachWhy ?? say.yes}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  )
}
