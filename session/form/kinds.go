package form

import (
	"bendbook/session"
)

// Kind is a kind of entry with its form, as the bench and the finishing offer it.
type Kind struct {
	Key  string // the letter that begins it at the bench; "" for one that only the finishing begins
	Name string // a word or two
	Long string // what it asks for, in a sentence
	Main bool   // it is entered on most days
	Of   func(session.Story) *Sheet
}

// Kinds are all of them, in the order in which they are offered.
func Kinds() []Kind {
	return []Kind{
		{"p", "pull", "Enter a pull: draw, peak, then the stations.", true, Pull},
		{"b", "braced", "Enter a braced reading: brace height and the gaps to the string.", true, Braced},
		{"k", "block", "Enter the gaps under a straight block laid along the belly of the braced bow: it shows a flat spot best.", false, Block},
		{"r", "relaxed", "Enter a relaxed reading: the unstrung limbs to the line.", true, Relaxed},
		{"s", "scrape", "Enter what was scraped: limb, from, to, tool, strokes or depth.", true, Scrape},
		{"m", "measure", "Enter depths and widths of the limbs by calliper; the plan then tells depth, and strokes once they were counted.", false, Sizes},
		{"x", "exercise", "Enter how many easy pulls the bow was exercised.", false, Exercise},
		{"n", "note", "Write a note in your own words.", false, Note},
		{"l", "string length", "Enter the string's length between the nocks.", false, StringLength},
		// The finishing begins these.
		{"", "weigh", "", false, Weigh},
		{"", "moisture", "", false, Moisture},
	}
}
