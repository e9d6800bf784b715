import { tables } from './tables.ts'

process.stdout.write(`${Object.values(tables).join('\n\n')}\n`)
