-- A load may be lifted over into another pot, when its own leaks: a line of what it was laid for, what it lies in since, who,
-- when and why. Only the words of the CHECK change, where they stand.
PRAGMA writable_schema = ON;
UPDATE sqlite_schema SET sql = replace(sql, '''bundle'', ''bundle_arrival''))', '''bundle'', ''bundle_arrival'', ''load''))')
WHERE type = 'table' AND name = 'correction';
PRAGMA writable_schema = RESET;

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
    AND client_id IS NEW.was
  UNION ALL
  SELECT 1 FROM load WHERE NEW.of_table = 'load' AND id = NEW.row_id AND NEW.field = 'pot_id' AND pot_id IS NEW.was)
BEGIN SELECT RAISE(ABORT, 'only what stands there can be put right'); END;

CREATE TRIGGER correction_lifts_over BEFORE INSERT ON correction
WHEN NEW.of_table = 'load' AND (
  NOT EXISTS (SELECT 1 FROM load WHERE id = NEW.row_id AND pot_free_at IS NULL)
  OR NOT EXISTS (SELECT 1 FROM pot WHERE id = NEW.became AND out_of_use = 0))
BEGIN SELECT RAISE(ABORT, 'a load is lifted over while it holds its pot, into one that is in use'); END;
CREATE TRIGGER correction_lifts AFTER INSERT ON correction WHEN NEW.of_table = 'load'
BEGIN UPDATE load SET pot_id = NEW.became WHERE id = NEW.row_id; END;
CREATE TRIGGER load_in_its_pot BEFORE UPDATE OF pot_id ON load
WHEN OLD.pot_id <> NEW.pot_id AND NOT EXISTS (
  SELECT 1 FROM correction WHERE was IS OLD.pot_id AND became IS NEW.pot_id AND id =
    (SELECT max(id) FROM correction WHERE of_table = 'load' AND row_id = OLD.id AND field = 'pot_id'))
BEGIN SELECT RAISE(ABORT, 'a load is lifted over with a line that says so, and not otherwise'); END;
