package session

import (
	"bytes"
	"encoding/json"
	"slices"
	"time"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
)

// Tag is what hangs on a bow at the rack: what its story comes to, worked out once, so that a rack of thousands need not
// be read entry by entry. It holds nothing that follows from the shop's settings or from the time.
type Tag struct {
	// Bow is described but for what only the bench needs: limbs, stations, aim and the order's notes.
	Bow        model.Bow
	Stage      string // as Story.Stage says it
	Waits      string // as Story.Waits says it
	InHand     bool
	HandedOver bool
	Finishing  bool // the last thing done was a step of finishing
	Drawn      bool // it was ever pulled
	Last       time.Time
	Sessions   int
	Pass       int
	Pull       measure.Optional[model.Pull] // what it weighs so far
	Numbers    []string                     // every number that it ever had
	Strokes    int                          // all that were counted
	Set        measure.Optional[measure.Length]

	facts []fact
}

// fact is a fact of the log whose day may be another than its time says.
type fact struct {
	finish.Fact
	on model.Day
}

// TagOf is the tag of a story.
func TagOf(s Story) Tag {
	bow := s.Desc.Bow
	t := Tag{
		Bow: model.Bow{
			ID: bow.ID, Name: bow.Name, Wood: bow.Wood, Number: bow.Number, Units: bow.Units,
			HandleDepth: bow.HandleDepth, Section: bow.Section, Order: bow.Order, Rule: bow.Rule, Scale: bow.Scale,
		},
		Stage: s.Stage(), Waits: s.Waits(), InHand: s.InHand, HandedOver: s.doing == away, Finishing: s.doing == finishing, Drawn: s.LongestDraw() > 0,
		Last: s.LastAt().UTC(), Sessions: len(s.Sessions), Pass: s.Pass().Number, Numbers: s.numbers(), facts: s.facts(),
		Strokes: s.Strokes(), Set: s.SetTaken(),
	}
	t.Bow.Order.Notes = ""
	if pull, _, ok := s.Weight(); ok {
		t.Pull = measure.Some(model.Pull{Draw: pull.Draw, Peak: pull.Peak})
	}
	return t
}

// Log are the bow's facts, its days reckoned in the given place.
func (t Tag) Log(place *time.Location) finish.Log {
	log := make(finish.Log, len(t.facts))
	for i, f := range t.facts {
		log[i] = f.Fact
		if f.on != "" {
			log[i].At = model.Finish{On: f.on}.Time(f.At.In(place))
		}
	}
	return log
}

// plainLog is the log for who asks only what came after what.
func plainLog(facts []fact) finish.Log {
	log := make(finish.Log, len(facts))
	for i := range facts {
		log[i] = facts[i].Fact
	}
	return log
}

// facts are what the stages follow from.
func (s Story) facts() []fact {
	draw, ordered := s.Bow().DrawToBelly().Get()
	var facts []fact
	pulled, braced, isAway := false, false, false
	for _, line := range s.Lines {
		if !line.Counts() {
			continue
		}
		f := fact{Fact: finish.Fact{At: line.Entry.At.UTC()}}
		switch what := line.Entry.What.(type) {
		case model.Finish:
			f.What, f.Step, f.Coat, f.Grit, f.on = finish.Step, what.Step, what.Coat.Or(0), what.Grit.Or(0), what.On
			isAway = isAway || what.Step == model.HandedOver
		case model.Scrape:
			if n := len(facts); n > 0 && facts[n-1].What == finish.Scraping {
				facts = facts[:n-1] // the last of a row says it all
			}
			f.What = finish.Scraping
		case model.Braced:
			if !braced {
				f.What = finish.Braced
			}
			braced = true
		case model.Rack:
			if what.InHand && isAway {
				f.What, isAway = finish.Back, false
			}
		case model.Pull:
			peak, weighed := what.Peak.Get()
			if ordered && weighed && SameDraw(what.Draw, draw) {
				f.What, f.Weight = finish.Weighing, peak
			} else if !pulled && !braced {
				f.What = finish.Pulled
			}
			if !pulled && !braced && f.What == finish.Weighing {
				facts = append(facts, fact{Fact: finish.Fact{What: finish.Pulled, At: f.At}})
			}
			pulled = true
		}
		if f.What != 0 {
			facts = append(facts, f)
		}
	}
	return facts
}

// numbers are all that the bow ever had, so that none is given again: a number that was stamped stays stamped.
func (s Story) numbers() []string {
	var all []string
	add := func(number string) {
		if number != "" && !slices.Contains(all, number) {
			all = append(all, number)
		}
	}
	add(s.first.Bow.Number)
	for _, line := range s.Lines {
		edit, isEdit := line.Entry.What.(model.Edit)
		if !isEdit || !bytes.Contains(edit.Set, []byte(`"number"`)) {
			continue
		}
		var set struct {
			Number string `json:"number"`
		}
		if json.Unmarshal(edit.Set, &set) == nil {
			add(set.Number)
		}
	}
	add(s.Bow().Number)
	return all
}
