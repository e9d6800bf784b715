import type { Migration } from './migration.ts'

/** The log of revisions of the dataflow chain. Append-only by trigger and chained by hash, in a chain of its own. */
export const chainLog: Migration = {
  version: 4,
  sql: `
    CREATE TABLE chain_log (
      id INTEGER PRIMARY KEY CHECK (id >= 1),
      name TEXT NOT NULL,
      revision INTEGER NOT NULL CHECK (revision >= 2),
      record TEXT NOT NULL,
      previous_hash BLOB NOT NULL CHECK (length(previous_hash) = 32),
      hash BLOB NOT NULL CHECK (length(hash) = 32),
      UNIQUE (name, revision)
    ) STRICT;

    CREATE TRIGGER chain_log_never_changes BEFORE UPDATE ON chain_log
    BEGIN SELECT RAISE(ABORT, 'chain_log is append-only'); END;
    CREATE TRIGGER chain_log_never_goes BEFORE DELETE ON chain_log
    BEGIN SELECT RAISE(ABORT, 'chain_log is append-only'); END;
    CREATE TRIGGER chain_log_follows_the_last BEFORE INSERT ON chain_log
    WHEN NEW.id IS NOT (SELECT coalesce(max(id), 0) + 1 FROM chain_log)
    BEGIN SELECT RAISE(ABORT, 'chain_log is append-only'); END;
  `,
}
