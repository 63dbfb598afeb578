-- Clients whose person was erased: the lots keep their numbers and measures, and after a restore it is done again.
CREATE TABLE erasure (
  client_id INTEGER PRIMARY KEY REFERENCES client (id),
  client_made_at TEXT NOT NULL,
  at TEXT NOT NULL,
  worker_id INTEGER NOT NULL REFERENCES worker (id)
) STRICT;
CREATE TRIGGER erasure_stays BEFORE UPDATE ON erasure BEGIN SELECT RAISE(ABORT, 'that a client was erased stays known'); END;
CREATE TRIGGER erasure_kept BEFORE DELETE ON erasure BEGIN SELECT RAISE(ABORT, 'that a client was erased stays known'); END;

-- Nobody is erased whose fibre is here, and nobody comes back.
CREATE TRIGGER erasure_when_gone BEFORE INSERT ON erasure
WHEN EXISTS (
  SELECT 1 FROM commission JOIN lot ON lot.commission_id = commission.id
  WHERE commission.client_id = NEW.client_id AND lot.closed_at IS NULL)
BEGIN SELECT RAISE(ABORT, 'a client is erased only when nothing of theirs is here'); END;
CREATE TRIGGER client_erased BEFORE UPDATE OF name, mark, contact, wishes, note ON client
WHEN EXISTS (SELECT 1 FROM erasure WHERE client_id = OLD.id)
BEGIN SELECT RAISE(ABORT, 'a client who was erased stays erased'); END;
CREATE TRIGGER commission_of_erased BEFORE INSERT ON commission
WHEN EXISTS (SELECT 1 FROM erasure WHERE client_id = NEW.client_id)
BEGIN SELECT RAISE(ABORT, 'a client who was erased brings nothing'); END;
