// Package report has everything that is handed out: a bow's story, as text, Markdown, a page with pictures, a
// table (CSV) and JSON; the card that goes with a bow; the tally sheet; bows side by side; and a bow held
// against its order.
//
// A story or a card becomes a Document first: facts, words, lists, tables and pictures. formats.go has the
// table of formats; a new one is a file with its renderer, and a line there.
//
// A page is one file that loads nothing: no script, no font, no picture from outside, and its policy keeps a
// browser from trying. People read it on a phone, on a dark screen and on paper, so lines differ by
// dashes and marks as well as by colour. We draw the pictures ourselves: gonum.org/v1/plot adds several times
// the size of this package to the program, turns letters into outlines that can't be read aloud, and fixes
// the colours and the size.
//
// What the readings say comes from the advice; nothing here estimates. Where the reports go is the caller's
// business.
package report
