-- Before a lot goes back it is rubbed with a wet white cloth, and the stain is graded; or it is said why it was not. Graded by
-- the nine steps of the grey scale for assessing staining (ISO 105-A03). `least`: what was wanted on that day; `why`: why it goes
-- back with less, or untried.
CREATE TABLE wet_cloth (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  lot_id INTEGER NOT NULL REFERENCES lot (id),
  grade TEXT CHECK (grade IN ('5', '4-5', '4', '3-4', '3', '2-3', '2', '1-2', '1')),
  least TEXT NOT NULL CHECK (least IN ('5', '4-5', '4', '3-4', '3', '2-3', '2', '1-2', '1')),
  why TEXT NOT NULL,
  words TEXT NOT NULL,
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  CHECK (grade IS NOT NULL OR length(trim(why)) > 0)
) STRICT;
CREATE INDEX wet_cloth_lot ON wet_cloth (lot_id, id);
CREATE TRIGGER wet_cloth_stays BEFORE UPDATE ON wet_cloth BEGIN SELECT RAISE(ABORT, 'what a wet cloth showed is append-only'); END;
CREATE TRIGGER wet_cloth_kept BEFORE DELETE ON wet_cloth BEGIN SELECT RAISE(ABORT, 'what a wet cloth showed is append-only'); END;

-- The least grade with which a lot for a class or for wet use goes back without a word: one row.
CREATE TABLE wet_cloth_setting (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  least TEXT NOT NULL CHECK (least IN ('5', '4-5', '4', '3-4', '3', '2-3', '2', '1-2', '1')),
  version INTEGER NOT NULL DEFAULT 1
) STRICT;
INSERT INTO wet_cloth_setting (id, least) VALUES (1, '4');
