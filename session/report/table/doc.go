// Package table writes a bow's work as a table (CSV) for a spreadsheet and reads it back: a row for each
// pull, each walk round the bow, each scraping and so on, with a column for each station of each limb.
// columns.go has a table of what each kind of entry puts into which column; reading and writing both follow
// it.
//
// A table leaves out what was struck out, changes of the description, moves on the rack, and kinds that this
// version doesn't know: a record has them. Shares, such as a moisture content, are fractions.
//
// Numbers are decimal, in the bow's own units, as exact as in the record. Text that a spreadsheet would run
// as a formula, or change because it looks like a number or a day, gets an apostrophe in front, which reading
// takes off again. Reading is lenient: columns may stand in any order, under the names that people give them,
// with commas, semicolons or tabs between. Read says what it took each row for before anything is kept.
package table
