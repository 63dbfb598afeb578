-- What a load has to remember so that a slip of the finger can be undone exactly: where each bundle came from, and how
-- many ties hung on it then.
ALTER TABLE load_bundle ADD COLUMN from_place TEXT NOT NULL DEFAULT 'arrivals shelf'
  CHECK (from_place IN ('arrivals shelf', 'ready shelf'));
ALTER TABLE load_bundle ADD COLUMN ties_on INTEGER NOT NULL DEFAULT 0 CHECK (ties_on >= 0);

-- Set when the load was taken out again before anything was done to it: nothing was used, nothing came of it.
ALTER TABLE load ADD COLUMN taken_out_at TEXT CHECK (taken_out_at IS NULL OR done_at IS NOT NULL);
CREATE INDEX load_recipe ON load (recipe_id);

-- What was weighed out for a load, on the scale of that day: its share of the recipe, rounded so that loads add up.
CREATE TABLE load_line (
  load_id INTEGER NOT NULL REFERENCES load (id),
  n INTEGER NOT NULL CHECK (n > 0),
  key TEXT NOT NULL,
  substance_id TEXT NOT NULL REFERENCES catalogue (id),
  bath_key TEXT NOT NULL,
  amount REAL NOT NULL CHECK (amount >= 0),
  unit TEXT NOT NULL CHECK (unit IN ('g', 'mL')),
  PRIMARY KEY (load_id, n)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER load_line_stays BEFORE UPDATE ON load_line BEGIN SELECT RAISE(ABORT, 'what was weighed out does not change'); END;
CREATE TRIGGER load_line_kept BEFORE DELETE ON load_line BEGIN SELECT RAISE(ABORT, 'what was weighed out does not change'); END;

-- What hangs where is asked for all day, for one place at a time.
CREATE INDEX bundle_place ON bundle (place, lot_id);
