import { writeSync } from 'node:fs'
import { restoreHistory } from '../../server/history/restore.ts'

/** Restores two backups over one folder in turn, for ever. Arguments: folder, backup, backup. */
const [, , dir = '', ...backups] = process.argv
writeSync(1, 'ready\n')
for (let turn = 0; ; turn += 1) {
  await restoreHistory(dir, backups[turn % 2] ?? '', { mayReplace: true })
  writeSync(1, `${turn}\n`)
}
