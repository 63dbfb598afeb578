-- The tag that hangs on a bundle. Its id is its number in the sequence of codes: neither is ever used again.
CREATE TABLE tag (
  id INTEGER PRIMARY KEY CHECK (id >= 0),
  code TEXT NOT NULL UNIQUE CHECK (length(code) BETWEEN 6 AND 7 AND code NOT GLOB '*[^23467HKRTWXY]*'),
  bundle_id INTEGER NOT NULL REFERENCES bundle (id),
  made_at TEXT NOT NULL,
  replaces INTEGER UNIQUE REFERENCES tag (id),
  void_at TEXT,
  void_why TEXT NOT NULL DEFAULT '',
  CHECK ((void_at IS NULL) = (void_why = ''))
) STRICT;
CREATE UNIQUE INDEX tag_live ON tag (bundle_id) WHERE void_at IS NULL;
CREATE INDEX tag_bundle ON tag (bundle_id, id);

CREATE TRIGGER tag_kept BEFORE DELETE ON tag BEGIN SELECT RAISE(ABORT, 'a tag is never deleted'); END;
CREATE TRIGGER tag_stays BEFORE UPDATE ON tag
WHEN OLD.id <> NEW.id OR OLD.code <> NEW.code OR OLD.bundle_id <> NEW.bundle_id OR OLD.made_at <> NEW.made_at
  OR OLD.replaces IS NOT NEW.replaces
BEGIN SELECT RAISE(ABORT, 'a tag stays with its bundle'); END;
CREATE TRIGGER tag_void BEFORE UPDATE ON tag WHEN OLD.void_at IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'a void tag stays void'); END;
CREATE TRIGGER tag_follows BEFORE INSERT ON tag
WHEN NEW.replaces IS NOT (SELECT max(id) FROM tag WHERE bundle_id = NEW.bundle_id)
BEGIN SELECT RAISE(ABORT, 'a further tag replaces the last one of its bundle'); END;

-- Tags that were brought to paper, by the printer or by hand: each time is a row of its own, for ever.
CREATE TABLE tag_print (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  tag_id INTEGER NOT NULL REFERENCES tag (id),
  sheet INTEGER NOT NULL CHECK (sheet > 0),
  how TEXT NOT NULL CHECK (how IN ('printed', 'by hand')),
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  UNIQUE (sheet, tag_id)
) STRICT;
CREATE INDEX tag_print_tag ON tag_print (tag_id, id);
CREATE TRIGGER tag_print_stays BEFORE UPDATE ON tag_print BEGIN SELECT RAISE(ABORT, 'what was printed is append-only'); END;
CREATE TRIGGER tag_print_kept BEFORE DELETE ON tag_print BEGIN SELECT RAISE(ABORT, 'what was printed is append-only'); END;

-- How tags are printed here: one row, as a workshop finds it before it has said anything.
CREATE TABLE tag_setting (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  paper TEXT NOT NULL CHECK (paper IN ('A4', 'Letter', 'labels')),
  size TEXT NOT NULL,
  dots_per_inch INTEGER NOT NULL CHECK (dots_per_inch IN (200, 203, 300, 600)),
  dot_size TEXT NOT NULL CHECK (dot_size IN ('small', 'usual', 'large')),
  address TEXT NOT NULL,
  version INTEGER NOT NULL DEFAULT 1
) STRICT;
INSERT INTO tag_setting (id, paper, size, dots_per_inch, dot_size, address) VALUES (1, 'A4', '90 x 50', 600, 'usual', '');

-- A client who wants no name on a tag: the mark stands there instead.
ALTER TABLE client ADD COLUMN name_on_tag INTEGER NOT NULL DEFAULT 1 CHECK (name_on_tag IN (0, 1));
