// Package table writes a bow's work as a table (CSV) for a spreadsheet and reads it back: a row for each
// pull, each walk round the bow, each scraping and so on, with a column for each station of each limb.
// kinds.go lists the kinds of row and the columns; the fields of each kind follow from its type in model.
//
// Struck-out entries, changes of the description, moves on the rack and unknown kinds have no row; the record
// keeps them. A share, such as a moisture content, is a fraction.
//
// Numbers are decimal, in the bow's own units, as exact as in the record. Text that a spreadsheet would run
// as a formula, or change because it looks like a number or a day, gets an apostrophe in front, which reading
// takes off again. Reading is lenient: columns may stand in any order, under the names that people give them,
// with commas, semicolons or tabs between. Read says what it took each row for before anything is kept.
package table
