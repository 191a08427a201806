// Package form holds the questions that make one entry, in the order in which one walks round the bow: what
// is asked, what it was last time, what is refused and what is asked about once. It is the same for whoever
// asks them, a screen, a line on paper or a script. A Sheet writes nothing; a Form is one that is filled
// in, and keeps through the shop what was answered: drafts, entries, bows and settings. The package knows
// no screen and no file.
package form
