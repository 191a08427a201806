// Package paper knows the forms in which a bow's story is kept and sent: text, Markdown, a page (HTML), a table (CSV) and JSON; and
// those of its card, and what a file of each is called behind the bow's name. The command line, the screen and what works line by
// line (package line) offer the same ones and write the same. It must not know where they are written to. The tally sheet, which
// tells nothing of a story, is package page's own.
package paper
