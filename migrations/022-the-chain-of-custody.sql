-- One link for each custody record, in the order of writing: the hash of the link before it and of the record as it stood.
-- A record that is changed, added or removed with another program no longer fits its link.
CREATE TABLE chain (
  n INTEGER PRIMARY KEY,
  of_table TEXT NOT NULL,
  row_id INTEGER NOT NULL,
  hash BLOB NOT NULL CHECK (length(hash) = 32),
  UNIQUE (of_table, row_id)
) STRICT;
CREATE TRIGGER chain_stays BEFORE UPDATE ON chain BEGIN SELECT RAISE(ABORT, 'the chain of custody is append-only'); END;
CREATE TRIGGER chain_kept BEFORE DELETE ON chain BEGIN SELECT RAISE(ABORT, 'the chain of custody is append-only'); END;
CREATE TRIGGER chain_in_order BEFORE INSERT ON chain WHEN NEW.n <> (SELECT coalesce(max(n), 0) + 1 FROM chain)
BEGIN SELECT RAISE(ABORT, 'the chain of custody has no gaps'); END;
