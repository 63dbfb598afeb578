-- What was changed in the settings: only the fields that differ, as they were and as they became. Units, time zone and
-- the scale decide how every figure reads, so a later reader must be able to tell since when. No passphrase is a setting.
CREATE TABLE workshop_change (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  was TEXT NOT NULL CHECK (json_valid(was)),
  became TEXT NOT NULL CHECK (json_valid(became))
) STRICT;
CREATE TRIGGER workshop_change_stays BEFORE UPDATE ON workshop_change
BEGIN SELECT RAISE(ABORT, 'the history of the settings is append-only'); END;
CREATE TRIGGER workshop_change_kept BEFORE DELETE ON workshop_change
BEGIN SELECT RAISE(ABORT, 'the history of the settings is append-only'); END;

-- How near its colour came is among the words by which a lot is found, from now on and for the lots there are.
UPDATE lot_text
SET words = words || ' ' || (SELECT group_concat(nearness, ' ') FROM outcome WHERE lot_id = lot_text.rowid)
WHERE rowid IN (SELECT lot_id FROM outcome);
