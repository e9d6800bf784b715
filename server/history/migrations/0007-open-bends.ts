import type { Migration } from './migration.ts'

/** One open bend a bender: the one that was marked before is that of the only bender there was. */
export const openBends: Migration = {
  version: 7,
  sql: `
    CREATE TABLE open_bend_at (
      station TEXT PRIMARY KEY,
      bend TEXT NOT NULL
    ) STRICT, WITHOUT ROWID;
    INSERT INTO open_bend_at (station, bend) SELECT '', bend FROM open_bend;
    DROP TABLE open_bend;
    ALTER TABLE open_bend_at RENAME TO open_bend;
  `,
}
