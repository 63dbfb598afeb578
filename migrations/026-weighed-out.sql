-- What was really weighed out of each line of a load, said by whoever weighed it; said again it is corrected, and the
-- last counts. Until it is said, the computed share in load_line stands in, and the pages say so.
CREATE TABLE load_weighed (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  load_id INTEGER NOT NULL REFERENCES load (id),
  n INTEGER NOT NULL,
  amount REAL NOT NULL CHECK (amount >= 0),
  typed TEXT NOT NULL,
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id),
  FOREIGN KEY (load_id, n) REFERENCES load_line (load_id, n)
) STRICT;
CREATE INDEX load_weighed_line ON load_weighed (load_id, n, id);
CREATE TRIGGER load_weighed_stays BEFORE UPDATE ON load_weighed BEGIN SELECT RAISE(ABORT, 'what was written of a weighing does not change'); END;
CREATE TRIGGER load_weighed_kept BEFORE DELETE ON load_weighed BEGIN SELECT RAISE(ABORT, 'what was written of a weighing does not change'); END;
