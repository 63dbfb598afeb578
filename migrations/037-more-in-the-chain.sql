-- A receipt's words are linked by a seal: their hash with a grain of chance. When the client is erased, words and grain go
-- and the seal stays, from which nobody can tell the words.
ALTER TABLE receipt ADD COLUMN grain TEXT NOT NULL DEFAULT '';
ALTER TABLE receipt ADD COLUMN seal TEXT NOT NULL DEFAULT '';
DROP TRIGGER receipt_stays;
UPDATE receipt SET grain = lower(hex(randomblob(16))) WHERE content <> '"erased"';
CREATE TRIGGER receipt_stays BEFORE UPDATE ON receipt
WHEN NOT (NEW.content = '"erased"' AND NEW.grain = '' AND NEW.id = OLD.id AND NEW.commission_id = OLD.commission_id
  AND NEW.n = OLD.n AND NEW.at = OLD.at AND NEW.worker_id = OLD.worker_id AND (OLD.seal = '' OR NEW.seal = OLD.seal)
  AND NOT EXISTS (SELECT 1 FROM lot WHERE commission_id = OLD.commission_id AND closed_at IS NULL))
BEGIN SELECT RAISE(ABORT, 'a receipt that was issued never changes'); END;

-- Which tables the chain goes through. Records that are older than that are linked once, at the next start.
CREATE TABLE chain_table (of_table TEXT PRIMARY KEY) STRICT, WITHOUT ROWID;
INSERT INTO chain_table SELECT DISTINCT of_table FROM chain;
INSERT OR IGNORE INTO chain_table SELECT 'photograph' WHERE NOT EXISTS (SELECT 1 FROM photograph);
INSERT OR IGNORE INTO chain_table SELECT 'tag' WHERE NOT EXISTS (SELECT 1 FROM tag);
INSERT OR IGNORE INTO chain_table SELECT 'receipt' WHERE NOT EXISTS (SELECT 1 FROM receipt);
INSERT OR IGNORE INTO chain_table SELECT 'agreement' WHERE NOT EXISTS (SELECT 1 FROM agreement);
INSERT OR IGNORE INTO chain_table SELECT 'bundle_arrival' WHERE NOT EXISTS (SELECT 1 FROM bundle_arrival);
CREATE TRIGGER chain_table_stays BEFORE UPDATE ON chain_table
BEGIN SELECT RAISE(ABORT, 'the chain of custody is append-only'); END;
CREATE TRIGGER chain_table_kept BEFORE DELETE ON chain_table
BEGIN SELECT RAISE(ABORT, 'the chain of custody is append-only'); END;
