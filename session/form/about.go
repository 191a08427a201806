package form

import (
	"strings"
)

// About says in a sentence or two what the sheet is for.
func (s *Sheet) About() string {
	if strings.HasPrefix(s.Form, correctPrefix) {
		return "An entry that was read or typed wrong, filled in with what it says. What you save takes its place; the old one stays in the story, struck out."
	}
	switch s.Form {
	case "pull":
		return "One pull at the tree: how far the bow was drawn, the peak that the scale kept, then the distances at the stations, upper limb first, each out from the handle. " +
			"Type a value and press Enter; Enter alone leaves a reading out."
	case "weigh":
		return "The bow's weight at the ordered draw: how far it was drawn, and the peak that the scale kept."
	case "braced":
		return "The bow at rest on its string: the brace height, then the gaps from the belly to the string, upper limb first, each out from the handle."
	case "block":
		return "A straight block laid along the belly of the braced bow: its length and places once, then the gap under its middle at each place. It shows a flat spot best."
	case "relaxed":
		return "The unstrung bow: the distances from the belly to the straight line through the handle, below 0 where a limb bends away from the string."
	case "scrape":
		return "Wood that was taken off: which limb, from where to where, with what, and how much as far as it was counted or measured. After a reading this begins a new pass."
	case "measure":
		return "The limbs as they are now, by calliper: the depth from belly to back and the width across, at any of the stations. By them the plan tells wood in inches and strokes. " +
			"Before the first scrape they also tell how stiff a limb to expect; once wood came off they say nothing of the stave as it was."
	case "exercise":
		return "Easy pulls that let the bow settle after scraping, before it is read again."
	case "note":
		return "A line in your own words, kept with the bow's story."
	case "string":
		return "The string's length between the nocks."
	case "step":
		return "A step of finishing that was done, and its day."
	case "moisture":
		return "How damp the wood is by a meter, or the air that the bow lies in, here or where it goes."
	case "void":
		return "Why an entry counts no more. It stays in the story, struck out, with this reason."
	case asideForm:
		return "Why the bow is set aside. It leaves the bows in hand until it is taken up again."
	case "setting":
		return "One of the shop's settings, filled in as it stands. What cannot be is refused with the reason."
	case "bow":
		return "A new bow. Its name and the upper limb's length are all that is needed: ctrl+s saves it as soon as both are there, and the rest can be told later."
	case editForm:
		return "What is known of the bow and its order, filled in with what it says now."
	case likeForm:
		return "A new bow, filled in with the order, size and aim of another. Change what differs."
	}
	return s.Title + "."
}
