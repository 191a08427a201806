package finish

// Card is the wording of the card that goes with a bow. Lines whose places cannot be filled are left out.
type Card struct {
	Maker string   `json:"maker"` // the maker's mark or name
	Facts []string `json:"facts"` // what this bow is
	Care  []string `json:"care"`  // how it is kept and shot
}

// usualFacts and usualCare say what every customer should know; common practice.
func usualFacts() []string {
	return []string{
		"Bow: {name}",
		"Number: {number}",
		"For: {for}",
		"Wood: {wood}",
		"Length: {bow_length} nock to nock",
		"Draw weight: {weight} at {draw} {draw_to}",
		"Stamped: {mark}",
		"Brace height: {brace}",
		"String: {string} between the loops",
		"Handed over: {day}",
		"Made by {maker}",
	}
}

func usualCare() []string {
	return []string{
		"Never draw it farther than {draw} {draw_to}: it was made for that draw and no other.",
		"Never draw it and let go without an arrow on the string.",
		"Warm it up: a few short draws before the first full one, more when it is cold.",
		"Do not hold it at full draw, and let nobody stand in line with it.",
		"Unstring it after shooting; hang it or lay it flat, never lean it in a corner.",
		"Keep it from heat: no car in the sun, no heater. Very dry or damp air changes its weight.",
		"Oil or wax the wood when it looks dry; wax the string.",
		"Before shooting look it over for cracks, raised splinters and loose nocks. If there is one, or it creaks, do not draw it; bring it back.",
		"It loses about a pound in its first weeks. Bring it back then to be weighed again.",
		"Learn from a qualified teacher, and keep the rules of the place where you shoot.",
	}
}

func usualCard() Card { return Card{Facts: usualFacts(), Care: usualCare()} }
