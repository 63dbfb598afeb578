-- A lot that went back is whole: nothing is added to it, and none of its bundles changes, also one that was not found.
CREATE TRIGGER bundle_in_open_lot BEFORE INSERT ON bundle
WHEN (SELECT closed_at FROM lot WHERE id = NEW.lot_id) IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'a lot that was handed back takes no further bundle'); END;
CREATE TRIGGER bundle_of_closed_lot BEFORE UPDATE ON bundle
WHEN (SELECT closed_at FROM lot WHERE id = OLD.lot_id) IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'a bundle of a lot that was handed back does not change'); END;

-- A lot stays with the commission, and so with the client, that it came with.
CREATE TRIGGER lot_as_taken_in BEFORE UPDATE OF commission_id ON lot WHEN OLD.commission_id <> NEW.commission_id
BEGIN SELECT RAISE(ABORT, 'a lot stays with its commission'); END;

-- A bundle is under way only in a load that it was laid into; which bundles shared a bath, and its steps, stay known.
CREATE TRIGGER bundle_in_its_load BEFORE UPDATE OF load_id ON bundle
WHEN NEW.load_id IS NOT NULL
  AND NOT EXISTS (SELECT 1 FROM load_bundle WHERE load_id = NEW.load_id AND bundle_id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'a bundle is only in a load that it was laid into'); END;
CREATE TRIGGER load_bundle_stays BEFORE UPDATE ON load_bundle
BEGIN SELECT RAISE(ABORT, 'what was laid into a load does not change'); END;
CREATE TRIGGER load_bundle_kept BEFORE DELETE ON load_bundle
BEGIN SELECT RAISE(ABORT, 'what was laid into a load does not change'); END;
CREATE TRIGGER load_step_kept BEFORE DELETE ON load_step
BEGIN SELECT RAISE(ABORT, 'the steps of a load do not change'); END;
