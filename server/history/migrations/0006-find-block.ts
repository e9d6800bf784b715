import type { Migration } from './migration.ts'

/**
 * What bends are found by, packed in blocks of columns. Derived from the bends, no evidence: it may be emptied at
 * any time and is made anew, so nothing keeps it from changing. Filled after the step, block by block.
 */
export const findBlock: Migration = {
  version: 6,
  sql: `
    CREATE TABLE find_block (
      number INTEGER PRIMARY KEY CHECK (number >= 0),
      format INTEGER NOT NULL,
      last_hash BLOB NOT NULL,
      names TEXT NOT NULL,
      columns BLOB NOT NULL
    ) STRICT;
  `,
}
