-- A hand-back that was closed by mistake: a bundle that its slip says went is here all the same. The slip stays sealed, a line
-- in found_again says why, and the bundle lies on the ready shelf again and goes back on a slip of its own.
DROP TRIGGER found_again_of_lost;
CREATE TRIGGER found_again_of_lost BEFORE INSERT ON found_again
WHEN NOT EXISTS (
  SELECT 1 FROM hand_back_bundle b JOIN hand_back h ON h.id = b.hand_back_id JOIN bundle ON bundle.id = b.bundle_id
  WHERE b.hand_back_id = NEW.hand_back_id AND b.bundle_id = NEW.bundle_id AND h.closed = 1
    AND bundle.place = iif(b.found, 'handed back', 'not found'))
BEGIN SELECT RAISE(ABORT, 'only a bundle that a slip says is gone can be here again'); END;

DROP INDEX hand_back_bundle_back;
DROP TRIGGER hand_back_bundle_once;
CREATE TRIGGER hand_back_bundle_once BEFORE INSERT ON hand_back_bundle
WHEN EXISTS (
  SELECT 1 FROM hand_back_bundle b WHERE b.bundle_id = NEW.bundle_id AND NOT EXISTS (
    SELECT 1 FROM found_again f WHERE f.hand_back_id = b.hand_back_id AND f.bundle_id = b.bundle_id))
BEGIN SELECT RAISE(ABORT, 'a bundle goes back once'); END;

DROP TRIGGER bundle_gone;
CREATE TRIGGER bundle_gone BEFORE UPDATE ON bundle
WHEN OLD.place = 'handed back' AND EXISTS (
  SELECT 1 FROM hand_back_bundle b WHERE b.bundle_id = OLD.id AND NOT EXISTS (
    SELECT 1 FROM found_again f WHERE f.hand_back_id = b.hand_back_id AND f.bundle_id = b.bundle_id))
BEGIN SELECT RAISE(ABORT, 'a bundle that was handed back does not change'); END;

DROP TRIGGER lot_sealed;
CREATE TRIGGER lot_sealed BEFORE UPDATE ON lot
WHEN OLD.closed_at IS NOT NULL AND (NEW.closed_at IS NOT NULL OR NOT EXISTS (
  SELECT 1 FROM bundle JOIN hand_back_bundle b ON b.bundle_id = bundle.id
    JOIN found_again f ON f.hand_back_id = b.hand_back_id AND f.bundle_id = b.bundle_id
  WHERE bundle.lot_id = OLD.id AND bundle.place IN ('not found', 'handed back')
    AND b.hand_back_id = (SELECT max(hand_back_id) FROM hand_back_bundle WHERE bundle_id = bundle.id)))
BEGIN SELECT RAISE(ABORT, 'a lot that was handed back does not change'); END;
