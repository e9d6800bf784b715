import type { Migration } from './migration.ts'

/**
 * The log of people enrolled: append-only by trigger and chained by hash, in a chain of its own. What a person's password
 * is checked by stands beside it, in no log, so that it can be replaced.
 */
export const peopleLog: Migration = {
  version: 5,
  sql: `
    CREATE TABLE people_log (
      id INTEGER PRIMARY KEY CHECK (id >= 1),
      person TEXT NOT NULL,
      record TEXT NOT NULL,
      previous_hash BLOB NOT NULL CHECK (length(previous_hash) = 32),
      hash BLOB NOT NULL CHECK (length(hash) = 32)
    ) STRICT;

    CREATE TABLE person_secret (
      person TEXT PRIMARY KEY,
      secret TEXT NOT NULL
    ) STRICT, WITHOUT ROWID;

    CREATE TRIGGER people_log_never_changes BEFORE UPDATE ON people_log
    BEGIN SELECT RAISE(ABORT, 'people_log is append-only'); END;
    CREATE TRIGGER people_log_never_goes BEFORE DELETE ON people_log
    BEGIN SELECT RAISE(ABORT, 'people_log is append-only'); END;
    CREATE TRIGGER people_log_follows_the_last BEFORE INSERT ON people_log
    WHEN NEW.id IS NOT (SELECT coalesce(max(id), 0) + 1 FROM people_log)
    BEGIN SELECT RAISE(ABORT, 'people_log is append-only'); END;
  `,
}
