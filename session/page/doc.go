// Package page writes what is kept and sent as HTML: a bow's summary with its pictures, a card, and the tally sheet that
// is filled in at the tree. Each page is one file that needs nothing else: no script, no letters, no picture from
// outside, and a policy in its head that keeps a browser from loading any. It is read on a phone, on a dark screen and on
// paper (A4 or Letter, in black and white). All text goes through html/template.
// The package must not know files, nor reckon anything: what it shows comes from summary and picture, from what advice says, and, on a
// tally sheet, from the questions of package sheet; the card comes to it as a summary.Document.
package page
