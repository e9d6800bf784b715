import type { Migration } from './migration.ts'

/** The log of what left the daemon as a file. Append-only by trigger and chained by hash, in a chain of its own. */
export const exportLog: Migration = {
  version: 9,
  sql: `
    CREATE TABLE export_log (
      id INTEGER PRIMARY KEY CHECK (id >= 1),
      format TEXT NOT NULL,
      record TEXT NOT NULL,
      previous_hash BLOB NOT NULL CHECK (length(previous_hash) = 32),
      hash BLOB NOT NULL CHECK (length(hash) = 32)
    ) STRICT;

    CREATE TRIGGER export_log_never_changes BEFORE UPDATE ON export_log
    BEGIN SELECT RAISE(ABORT, 'export_log is append-only'); END;
    CREATE TRIGGER export_log_never_goes BEFORE DELETE ON export_log
    BEGIN SELECT RAISE(ABORT, 'export_log is append-only'); END;
    CREATE TRIGGER export_log_follows_the_last BEFORE INSERT ON export_log
    WHEN NEW.id IS NOT (SELECT coalesce(max(id), 0) + 1 FROM export_log)
    BEGIN SELECT RAISE(ABORT, 'export_log is append-only'); END;
  `,
}
