-- A lot that is kept apart shares no spot either, until it is released with a note.
CREATE TRIGGER bundle_spot_apart BEFORE UPDATE OF spot_id ON bundle
WHEN NEW.spot_id IS NOT NULL AND EXISTS (
  SELECT 1 FROM bundle other JOIN keep_apart k ON k.lot_id IN (NEW.lot_id, other.lot_id)
  WHERE other.spot_id = NEW.spot_id AND other.lot_id <> NEW.lot_id AND k.released_at IS NULL)
BEGIN SELECT RAISE(ABORT, 'a lot that is kept apart shares no spot'); END;
