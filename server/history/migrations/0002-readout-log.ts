import type { Migration } from './migration.ts'

/**
 * The log of acts about the readout: calibrations, reference pieces, checks. Append-only by trigger and chained
 * by hash as bends are, in a chain of its own.
 */
export const readoutLog: Migration = {
  version: 2,
  sql: `
    CREATE TABLE readout_log (
      id INTEGER PRIMARY KEY CHECK (id >= 1),
      kind TEXT NOT NULL,
      station TEXT NOT NULL,
      record TEXT NOT NULL,
      previous_hash BLOB NOT NULL CHECK (length(previous_hash) = 32),
      hash BLOB NOT NULL CHECK (length(hash) = 32)
    ) STRICT;

    CREATE INDEX readout_log_by_kind ON readout_log (station, kind, id);

    CREATE TRIGGER readout_log_never_changes BEFORE UPDATE ON readout_log
    BEGIN SELECT RAISE(ABORT, 'readout_log is append-only'); END;
    CREATE TRIGGER readout_log_never_goes BEFORE DELETE ON readout_log
    BEGIN SELECT RAISE(ABORT, 'readout_log is append-only'); END;
    CREATE TRIGGER readout_log_follows_the_last BEFORE INSERT ON readout_log
    WHEN NEW.id IS NOT (SELECT coalesce(max(id), 0) + 1 FROM readout_log)
    BEGIN SELECT RAISE(ABORT, 'readout_log is append-only'); END;
  `,
}
