import type { Migration } from './migration.ts'

/**
 * Evidence (bend, raw, setup) is append-only by trigger; notes (open_bend, setting) may change. The full
 * record is the canonical text; the columns beside it repeat what is filtered by. Each index holds every
 * filtered column and the number in its order, so that a page and a count never touch the wide rows.
 */
export const first: Migration = {
  version: 1,
  sql: `
    CREATE TABLE setup (
      id INTEGER PRIMARY KEY,
      created_at TEXT NOT NULL,
      setup TEXT NOT NULL UNIQUE
    ) STRICT;

    CREATE TABLE bend (
      id INTEGER PRIMARY KEY CHECK (id >= 1),
      started_ms INTEGER NOT NULL,
      part TEXT NOT NULL,
      lot TEXT NOT NULL,
      operator TEXT NOT NULL,
      verdict TEXT NOT NULL,
      setup_id INTEGER NOT NULL REFERENCES setup (id),
      learned INTEGER NOT NULL CHECK (learned IN (0, 1)),
      record TEXT NOT NULL,
      previous_hash BLOB NOT NULL CHECK (length(previous_hash) = 32),
      hash BLOB NOT NULL CHECK (length(hash) = 32)
    ) STRICT;

    CREATE INDEX bend_by_id ON bend (id, started_ms, part, lot, operator, verdict);
    CREATE INDEX bend_by_part ON bend (part, id, started_ms, lot, operator, verdict);
    CREATE INDEX bend_by_lot ON bend (lot, id, started_ms, part, operator, verdict);
    CREATE INDEX bend_by_operator ON bend (operator, id, started_ms, part, lot, verdict);
    CREATE INDEX bend_by_verdict ON bend (verdict, id, started_ms, part, lot, operator);
    CREATE INDEX bend_by_start ON bend (started_ms, id, part, lot, operator, verdict);

    CREATE TABLE raw (
      bend_id INTEGER PRIMARY KEY REFERENCES bend (id),
      packed BLOB NOT NULL
    ) STRICT;

    CREATE TABLE open_bend (
      id INTEGER PRIMARY KEY CHECK (id = 1),
      bend TEXT NOT NULL
    ) STRICT;

    CREATE TABLE setting (
      name TEXT PRIMARY KEY,
      value TEXT NOT NULL
    ) STRICT, WITHOUT ROWID;

    CREATE TRIGGER bend_never_changes BEFORE UPDATE ON bend
    BEGIN SELECT RAISE(ABORT, 'bend is append-only'); END;
    CREATE TRIGGER bend_never_goes BEFORE DELETE ON bend
    BEGIN SELECT RAISE(ABORT, 'bend is append-only'); END;
    CREATE TRIGGER bend_follows_the_last BEFORE INSERT ON bend
    WHEN NEW.id IS NOT (SELECT coalesce(max(id), 0) + 1 FROM bend)
    BEGIN SELECT RAISE(ABORT, 'bend is append-only'); END;

    CREATE TRIGGER raw_never_changes BEFORE UPDATE ON raw
    BEGIN SELECT RAISE(ABORT, 'raw is append-only'); END;
    CREATE TRIGGER raw_never_goes BEFORE DELETE ON raw
    BEGIN SELECT RAISE(ABORT, 'raw is append-only'); END;
    CREATE TRIGGER raw_follows_the_last BEFORE INSERT ON raw
    WHEN NEW.bend_id IS NOT (SELECT coalesce(max(bend_id), 0) + 1 FROM raw)
    BEGIN SELECT RAISE(ABORT, 'raw is append-only'); END;

    CREATE TRIGGER setup_never_changes BEFORE UPDATE ON setup
    BEGIN SELECT RAISE(ABORT, 'setup is append-only'); END;
    CREATE TRIGGER setup_never_goes BEFORE DELETE ON setup
    BEGIN SELECT RAISE(ABORT, 'setup is append-only'); END;
    CREATE TRIGGER setup_follows_the_last BEFORE INSERT ON setup
    WHEN NEW.id IS NOT (SELECT coalesce(max(id), 0) + 1 FROM setup)
    BEGIN SELECT RAISE(ABORT, 'setup is append-only'); END;
  `,
}
