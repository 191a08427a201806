package session

import (
	"bytes"
	"encoding/json"
	"slices"

	"bendbook/model"
	"bendbook/model/finish"
)

// Fact is one thing that a bow's stages follow from.
type Fact = finish.Fact

// Facts are what the stages follow from.
func (s Story) Facts() []Fact {
	draw, ordered := s.Bow().DrawToBelly().Get()
	var facts []Fact
	pulled, braced, isAway := false, false, false
	for _, line := range s.Lines {
		if !line.Counts() {
			continue
		}
		f := Fact{At: line.Entry.At.UTC()}
		switch what := line.Entry.What.(type) {
		case model.Finish:
			f.What, f.Step, f.Coat, f.Grit, f.On = finish.Step, what.Step, what.Coat.Or(0), what.Grit.Or(0), what.On
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
			if !pulled && !braced {
				facts = append(facts, Fact{What: finish.Pulled, At: f.At})
			}
			pulled = true
			if peak, weighed := what.Peak.Get(); ordered && weighed && SameDraw(what.Draw, draw) {
				f.What, f.Weight = finish.Weighing, peak
			}
		}
		if f.What != 0 {
			facts = append(facts, f)
		}
	}
	return facts
}

// Numbers are all that the bow ever had: a number that was stamped is never given again.
func (s Story) Numbers() []string {
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
