import type { Migration } from './migration.ts'

/** Photos, by their hash: in the one file, so that whatever copies a history copies them. */
export const photos: Migration = {
  version: 8,
  sql: `
    CREATE TABLE photo (
      sha256 BLOB PRIMARY KEY CHECK (length(sha256) = 32),
      type TEXT NOT NULL,
      image BLOB NOT NULL
    ) STRICT;
    CREATE TRIGGER photo_never_changes BEFORE UPDATE ON photo
      BEGIN SELECT raise(ABORT, 'photos are never changed'); END;
    CREATE TRIGGER photo_never_goes BEFORE DELETE ON photo
      BEGIN SELECT raise(ABORT, 'photos are never deleted'); END;
  `,
}
