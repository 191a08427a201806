// Package table writes a bow's work as a table (CSV) for a spreadsheet and reads it back: a row for each
// pull, each walk round the bow, each scraping and so on, with a column for each station of each limb. The
// columns of a kind of row follow from its fields in model; columns.go has their order and names.
//
// Struck-out entries, changes of the description, moves on the rack and unknown kinds have no row; the record
// keeps them. Where a record has two gaps at one place under a block, the table has the last. A share, such
// as a moisture content, is a fraction.
//
// Numbers are decimal, in the bow's own units, as exact as in the record. Text that a spreadsheet would run
// as a formula, or change because it looks like a number or a day, gets an apostrophe in front, which reading
// takes off again. Read takes the columns in any order, with commas, semicolons or tabs between, and says
// what is wrong with each row before anything is kept.
package table
