import type { Migration } from './migration.ts'

/**
 * The log of what people did about recorded bends. Append-only by trigger and chained by hash as bends are, in a
 * chain of its own that names bends by number and hash.
 */
export const actLog: Migration = {
  version: 3,
  sql: `
    CREATE TABLE act_log (
      id INTEGER PRIMARY KEY CHECK (id >= 1),
      kind TEXT NOT NULL,
      bend_id INTEGER NOT NULL REFERENCES bend (id),
      record TEXT NOT NULL,
      previous_hash BLOB NOT NULL CHECK (length(previous_hash) = 32),
      hash BLOB NOT NULL CHECK (length(hash) = 32)
    ) STRICT;

    CREATE INDEX act_log_by_bend ON act_log (bend_id, id);

    CREATE TRIGGER act_log_never_changes BEFORE UPDATE ON act_log
    BEGIN SELECT RAISE(ABORT, 'act_log is append-only'); END;
    CREATE TRIGGER act_log_never_goes BEFORE DELETE ON act_log
    BEGIN SELECT RAISE(ABORT, 'act_log is append-only'); END;
    CREATE TRIGGER act_log_follows_the_last BEFORE INSERT ON act_log
    WHEN NEW.id IS NOT (SELECT coalesce(max(id), 0) + 1 FROM act_log)
    BEGIN SELECT RAISE(ABORT, 'act_log is append-only'); END;
  `,
}
