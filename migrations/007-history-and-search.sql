-- Who did what, when, from what to what: append-only, one row for each action on each lot.
-- It names no client: a person can be erased without touching it.
CREATE TABLE history (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  commission_id INTEGER REFERENCES commission (id),
  lot_id INTEGER REFERENCES lot (id),
  load_id INTEGER REFERENCES load (id),
  what TEXT NOT NULL,
  was TEXT CHECK (was IS NULL OR json_valid(was)),
  became TEXT CHECK (became IS NULL OR json_valid(became)),
  words TEXT NOT NULL
) STRICT;
CREATE INDEX history_lot ON history (lot_id, id) WHERE lot_id IS NOT NULL;
CREATE INDEX history_commission ON history (commission_id, id) WHERE commission_id IS NOT NULL;
CREATE TRIGGER history_stays BEFORE UPDATE ON history BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;
CREATE TRIGGER history_kept BEFORE DELETE ON history BEGIN SELECT RAISE(ABORT, 'history is append-only'); END;

-- The words by which a lot is found again; rowid = lot id.
CREATE VIRTUAL TABLE lot_text USING fts5 (
  client, colour, fibre, dye, words, tokenize = 'unicode61 remove_diacritics 2', prefix = '2 3'
);
