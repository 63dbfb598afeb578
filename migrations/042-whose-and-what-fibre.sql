-- The fibre of a lot, and whose a commission is, are put right by a line as well, as long as nothing of it went back.
DROP TRIGGER correction_of_what_stands;
CREATE TRIGGER correction_of_what_stands BEFORE INSERT ON correction
WHEN NOT EXISTS (
  SELECT 1 FROM bundle WHERE NEW.of_table = 'bundle' AND id = NEW.row_id AND CASE NEW.field
    WHEN 'ties_in' THEN ties_in IS NEW.was
    WHEN 'dry_weight_g' THEN dry_weight_g IS NEW.was
    WHEN 'weight_typed' THEN weight_typed IS NEW.was
    WHEN 'thickness_mm' THEN thickness_mm IS NEW.was
    WHEN 'thickness_typed' THEN thickness_typed IS NEW.was
    WHEN 'condition' THEN condition IS NEW.was
    WHEN 'how_tied' THEN how_tied IS NEW.was
    WHEN 'place' THEN place IS NEW.was ELSE 0 END
  UNION ALL
  SELECT 1 FROM bundle_arrival WHERE NEW.of_table = 'bundle_arrival' AND bundle_id = NEW.row_id AND CASE NEW.field
    WHEN 'found' THEN found IS NEW.was
    WHEN 'words' THEN words IS NEW.was
    WHEN 'tie_place' THEN tie_place IS NEW.was
    WHEN 'tie_kind' THEN tie_kind IS NEW.was
    WHEN 'thick_end' THEN thick_end IS NEW.was ELSE 0 END
  UNION ALL
  SELECT 1 FROM lot WHERE NEW.of_table = 'lot' AND id = NEW.row_id AND NEW.field = 'fibre_id' AND fibre_id IS NEW.was
  UNION ALL
  SELECT 1 FROM commission WHERE NEW.of_table = 'commission' AND id = NEW.row_id AND NEW.field = 'client_id'
    AND client_id IS NEW.was)
BEGIN SELECT RAISE(ABORT, 'only what stands there can be put right'); END;

CREATE TRIGGER correction_of_whole BEFORE INSERT ON correction
WHEN NEW.of_table IN ('lot', 'commission') AND EXISTS (
  SELECT 1 FROM lot JOIN bundle ON bundle.lot_id = lot.id
  WHERE CASE NEW.of_table WHEN 'lot' THEN lot.id ELSE lot.commission_id END = NEW.row_id
    AND (lot.closed_at IS NOT NULL OR bundle.place IN ('handed back', 'not found')))
BEGIN SELECT RAISE(ABORT, 'what went back stays as its slip says'); END;
-- What was done by the word of the first client must be allowed by the other.
CREATE TRIGGER correction_shares_bath BEFORE INSERT ON correction
WHEN NEW.of_table = 'commission' AND NEW.field = 'client_id' AND EXISTS (
  SELECT 1 FROM lot JOIN load_lot own ON own.lot_id = lot.id
    JOIN load_lot other ON other.load_id = own.load_id AND other.lot_id <> own.lot_id
    JOIN lot theirs ON theirs.id = other.lot_id JOIN commission c ON c.id = theirs.commission_id
    JOIN client one ON one.id = NEW.became JOIN client two ON two.id = c.client_id
  WHERE lot.commission_id = NEW.row_id AND c.id <> NEW.row_id AND one.id <> two.id
    AND (one.shares_bath <> 'may' OR two.shares_bath <> 'may'))
BEGIN SELECT RAISE(ABORT, 'the fibre of two clients shares a bath only when both said that it may'); END;
CREATE TRIGGER correction_photographed BEFORE INSERT ON correction
WHEN NEW.of_table = 'commission' AND NEW.field = 'client_id' AND EXISTS (
  SELECT 1 FROM photograph JOIN lot ON lot.id = photograph.lot_id JOIN client ON client.id = NEW.became
  WHERE lot.commission_id = NEW.row_id AND photograph.withdrawn_at IS NULL
    AND client.photographs NOT IN ('yes', 'yes, not to show'))
BEGIN SELECT RAISE(ABORT, 'photographs are kept only of what may be photographed'); END;

CREATE TRIGGER correction_puts_whole_right AFTER INSERT ON correction
BEGIN
  UPDATE lot SET fibre_id = NEW.became WHERE NEW.of_table = 'lot' AND NEW.field = 'fibre_id' AND id = NEW.row_id;
  UPDATE commission SET client_id = NEW.became
    WHERE NEW.of_table = 'commission' AND NEW.field = 'client_id' AND id = NEW.row_id;
END;
CREATE TRIGGER lot_as_written BEFORE UPDATE OF fibre_id ON lot
WHEN OLD.fibre_id <> NEW.fibre_id AND NOT EXISTS (
  SELECT 1 FROM correction WHERE was IS OLD.fibre_id AND became IS NEW.fibre_id AND id =
    (SELECT max(id) FROM correction WHERE of_table = 'lot' AND row_id = OLD.id AND field = 'fibre_id'))
BEGIN SELECT RAISE(ABORT, 'what was taken in is put right by a line, and not otherwise'); END;
CREATE TRIGGER commission_as_written BEFORE UPDATE OF client_id ON commission
WHEN OLD.client_id <> NEW.client_id AND NOT EXISTS (
  SELECT 1 FROM correction WHERE was IS OLD.client_id AND became IS NEW.client_id AND id =
    (SELECT max(id) FROM correction WHERE of_table = 'commission' AND row_id = OLD.id AND field = 'client_id'))
BEGIN SELECT RAISE(ABORT, 'whose a commission is, is put right by a line, and not otherwise'); END;

-- What somebody else agreed to is not agreed.
DROP TRIGGER load_bundle_as_agreed;
CREATE TRIGGER load_bundle_as_agreed BEFORE INSERT ON load_bundle
WHEN NOT EXISTS (
  SELECT 1 FROM bundle JOIN lot ON lot.id = bundle.lot_id JOIN agreed_lot a ON a.lot_id = lot.id
    JOIN agreement ON agreement.id = a.agreement_id
  WHERE bundle.id = NEW.bundle_id
    AND a.agreement_id = (SELECT max(agreement_id) FROM agreed_lot WHERE lot_id = lot.id)
    AND a.colour = lot.colour AND a.dye_id = lot.dye_id AND a.route = lot.route AND a.ties_undyed = lot.ties_undyed
    AND agreement.at >= coalesce(
      (SELECT max(at) FROM correction WHERE of_table = 'commission' AND row_id = lot.commission_id), ''))
BEGIN SELECT RAISE(ABORT, 'the plan is agreed with the client before any work'); END;

DROP TRIGGER load_lot_for_what_came;
CREATE TRIGGER load_lot_for_what_came BEFORE INSERT ON load_lot
WHEN EXISTS (
  SELECT 1 FROM recipe JOIN lot ON lot.id = recipe.lot_id WHERE recipe.id = NEW.recipe_id AND lot.id = NEW.lot_id AND (
    json_extract(job, '$.fibreId') <> fibre_id OR abs(dry_weight_g - (
      SELECT total(dry_weight_g) FROM bundle WHERE bundle.lot_id = NEW.lot_id AND place <> 'withdrawn')) > 0.01))
BEGIN SELECT RAISE(ABORT, 'the recipe is kept anew after what came was put right'); END;
