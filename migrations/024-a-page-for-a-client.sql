-- The address under which a client sees where their fibre is, without a sign-in: it cannot be guessed, and ends at a press.
CREATE TABLE client_page (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  token TEXT NOT NULL UNIQUE CHECK (length(token) = 26 AND token NOT GLOB '*[^A-Z2-7]*'),
  client_id INTEGER NOT NULL REFERENCES client (id),
  made_at TEXT NOT NULL,
  made_by INTEGER NOT NULL REFERENCES worker (id),
  off_at TEXT,
  off_by INTEGER REFERENCES worker (id),
  CHECK ((off_at IS NULL) = (off_by IS NULL))
) STRICT;
CREATE UNIQUE INDEX client_page_live ON client_page (client_id) WHERE off_at IS NULL;
CREATE TRIGGER client_page_stays BEFORE UPDATE OF id, token, client_id, made_at, made_by ON client_page
BEGIN SELECT RAISE(ABORT, 'the address of a client belongs to that client'); END;
CREATE TRIGGER client_page_ended BEFORE UPDATE ON client_page WHEN OLD.off_at IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'an address that was ended stays ended'); END;
CREATE TRIGGER client_page_kept BEFORE DELETE ON client_page
BEGIN SELECT RAISE(ABORT, 'an address that was given out is never used again'); END;
