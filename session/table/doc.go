// Package table is a bow's work as a table (CSV) for a spreadsheet, and back: a row for each pull and each walk round
// the bow, with a column for each station of each limb, and a row for each scraping, exercise, step of finishing, moisture and note. Shares, such as a moisture content, are fractions. A table does not carry what was
// struck out, changes of the description, moves on the rack, and kinds that this version does not know: a record does.
//
// Numbers are decimal, in the bow's own units, as exactly as the record has them. Text that a spreadsheet would run as
// a formula, or take for a number or a day and write otherwise, has an apostrophe before it, which is taken off again
// when the table is read. Read leniently: columns may
// stand in any order, under the names that a spreadsheet user would give them, with commas, semicolons or
// tabs between; what it took each row for is told before anything is kept. The package must not know the book:
// what a row would be there is the bench's to say.
package table
