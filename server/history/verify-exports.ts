import { type ExportRow, exportRecord } from './export-record.ts'
import { type LogKind, makeHashes } from './verify-log.ts'

/** An entry names the last record of its moment, so that a history cut short or written anew shows. */
export const EXPORT_LOG: LogKind<ExportRow> = {
  table: 'export_log',
  name: 'the log of exports',
  entry: 'Export',
  sinceVersion: 9,
  makeJudge(db) {
    const bendHash = makeHashes(db, 'bend')
    return function whyTextDiffers({ id, format, record }) {
      try {
        const evidence = exportRecord.evidenceIn(record)
        if (evidence.id !== id) return 'its number is not that of its text'
        if (evidence.format !== format) return 'its column format is not that of its text'
        const { after } = evidence
        if (after !== null && bendHash(after.number) !== after.hash)
          return 'the history holds another record than it names'
        return null
      } catch {
        return 'its text is no export'
      }
    }
  },
}
