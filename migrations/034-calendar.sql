-- The address under which a calendar reads this workshop's days, without a sign-in. Only its hash is kept: whoever has the
-- records cannot open it. `names`: whether it may say clients' names. Ended at a press, it stays ended.
CREATE TABLE calendar_feed (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  token_hash TEXT NOT NULL UNIQUE CHECK (length(token_hash) = 64),
  names INTEGER NOT NULL CHECK (names IN (0, 1)),
  made_at TEXT NOT NULL,
  made_by INTEGER NOT NULL REFERENCES worker (id),
  off_at TEXT,
  off_by INTEGER REFERENCES worker (id),
  CHECK ((off_at IS NULL) = (off_by IS NULL))
) STRICT;
CREATE UNIQUE INDEX calendar_feed_live ON calendar_feed ((off_at IS NULL)) WHERE off_at IS NULL;
CREATE TRIGGER calendar_feed_stays BEFORE UPDATE OF id, token_hash, names, made_at, made_by ON calendar_feed
BEGIN SELECT RAISE(ABORT, 'the address of a calendar stays as it was made'); END;
CREATE TRIGGER calendar_feed_ended BEFORE UPDATE ON calendar_feed WHEN OLD.off_at IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'an address that was ended stays ended'); END;
CREATE TRIGGER calendar_feed_kept BEFORE DELETE ON calendar_feed
BEGIN SELECT RAISE(ABORT, 'an address that was given out is never used again'); END;
