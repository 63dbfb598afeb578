-- Beginnings of up to six letters stand in the index by themselves. Before, those longer than three were put together
-- from all the words that begin so, which took the longer the more lots there were.
CREATE VIRTUAL TABLE lot_text_anew USING fts5 (
  client, colour, fibre, dye, words, tokenize = 'unicode61 remove_diacritics 2', prefix = '2 3 4 5 6'
);
INSERT INTO lot_text_anew (rowid, client, colour, fibre, dye, words)
SELECT rowid, client, colour, fibre, dye, words FROM lot_text;
DROP TABLE lot_text;
ALTER TABLE lot_text_anew RENAME TO lot_text;
-- Words that are taken out of the search are gone from its pages too (SQLite documentation, FTS5: secure-delete).
INSERT INTO lot_text (lot_text, rank) VALUES ('secure-delete', 1);
