-- Two devices fill in one checklist: each saving counts up, so that neither overwrites the other unseen.
ALTER TABLE bundle_check ADD COLUMN version INTEGER NOT NULL DEFAULT 1;

-- The workshop's words as they stood when the slip was signed: a slip printed again is the same slip.
ALTER TABLE hand_back ADD COLUMN workshop_name TEXT NOT NULL DEFAULT '';
ALTER TABLE hand_back ADD COLUMN slip_words TEXT NOT NULL DEFAULT '';

-- Only whole lots of the commission go back with it, and they are sealed with it.
CREATE TRIGGER hand_back_lot_of_commission BEFORE INSERT ON hand_back_lot
WHEN NOT EXISTS (
  SELECT 1 FROM lot JOIN hand_back h ON h.commission_id = lot.commission_id
  WHERE lot.id = NEW.lot_id AND h.id = NEW.hand_back_id AND h.closed = 0 AND lot.closed_at IS NULL)
BEGIN SELECT RAISE(ABORT, 'an open lot goes back with a hand-back of its own commission that is not closed'); END;
CREATE TRIGGER hand_back_lot_sealed BEFORE UPDATE ON hand_back_lot
BEGIN SELECT RAISE(ABORT, 'what went back is written once'); END;
CREATE TRIGGER hand_back_lot_kept BEFORE DELETE ON hand_back_lot
BEGIN SELECT RAISE(ABORT, 'what went back is written once'); END;
CREATE TRIGGER hand_back_bundle_of_lot BEFORE INSERT ON hand_back_bundle
WHEN NOT EXISTS (
  SELECT 1 FROM bundle JOIN hand_back_lot l ON l.lot_id = bundle.lot_id
  WHERE bundle.id = NEW.bundle_id AND l.hand_back_id = NEW.hand_back_id)
BEGIN SELECT RAISE(ABORT, 'a bundle goes back with its whole lot'); END;

-- What goes back comes from the ready shelf; what is not found is not in a load that still runs.
CREATE TRIGGER hand_back_from_ready_shelf BEFORE UPDATE OF closed ON hand_back
WHEN NEW.closed = 1 AND EXISTS (
  SELECT 1 FROM hand_back_bundle b JOIN bundle ON bundle.id = b.bundle_id
  WHERE b.hand_back_id = NEW.id
    AND ((b.found = 1 AND bundle.place <> 'ready shelf') OR (b.found = 0 AND bundle.load_id IS NOT NULL)))
BEGIN SELECT RAISE(ABORT, 'a bundle goes back from the ready shelf'); END;

-- A bundle leaves with the ties that its hand-back counted: none stays on the tie board.
CREATE TRIGGER bundle_leaves_with_its_ties BEFORE UPDATE OF place ON bundle
WHEN NEW.place IN ('handed back', 'not found') AND NOT EXISTS (
  SELECT 1 FROM hand_back_bundle b
  WHERE b.bundle_id = NEW.id AND NEW.ties_off = 0 AND NEW.ties_on = b.ties_back + b.ties_replaced)
BEGIN SELECT RAISE(ABORT, 'a bundle leaves with the ties that were counted back'); END;
