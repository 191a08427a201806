// Package paper knows the forms in which a bow's story is kept and sent: text, Markdown, a page (HTML), a table (CSV), JSON
// and the tally sheet. The command line and the screen offer the same ones and write the same.
package paper
