package session

import (
	"encoding/json"
	"slices"
	"time"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
)

// Fact is one thing that a bow's stages follow from.
type Fact = finish.Fact

// Facts are what the stages follow from.
func (s Story) Facts() []Fact {
	log := factLog{draw: s.Bow().DrawToBelly()}
	for _, line := range s.Lines {
		if line.Counts() {
			log.note(line.Entry.What, line.Entry.At.UTC())
		}
	}
	return log.facts
}

// factLog gathers facts entry by entry.
type factLog struct {
	facts                []Fact
	draw                 measure.Optional[measure.Length] // as ordered
	pulled, braced, away bool
}

func (l *factLog) add(kind finish.FactKind, f Fact) {
	f.What = kind
	l.facts = append(l.facts, f)
}

func (l *factLog) note(what model.Event, at time.Time) {
	f := Fact{At: at}
	switch what := what.(type) {
	case model.Finish:
		f.Step, f.Coat, f.Grit, f.On = what.Step, what.Coat.Or(0), what.Grit.Or(0), what.On
		l.add(finish.Step, f)
		l.away = l.away || what.Step == model.HandedOver
	case model.Scrape:
		if n := len(l.facts); n > 0 && l.facts[n-1].What == finish.Scraping {
			l.facts = l.facts[:n-1] // the last scrape of a row says it all
		}
		l.add(finish.Scraping, f)
	case model.Braced:
		if !l.braced {
			l.add(finish.Braced, f)
		}
		l.braced = true
	case model.Rack:
		if what.InHand && l.away {
			l.add(finish.Back, f)
			l.away = false
		}
	case model.Pull:
		l.pull(what, f)
	}
}

func (l *factLog) pull(pull model.Pull, f Fact) {
	if !l.pulled && !l.braced {
		l.add(finish.Pulled, f)
	}
	l.pulled = true
	draw, ordered := l.draw.Get()
	if peak, weighed := pull.Peak.Get(); ordered && weighed && SameDraw(pull.Draw, draw) {
		f.Weight = peak
		l.add(finish.Weighing, f)
	}
}

// Numbers are all that the bow ever had: a number that was stamped is never given again.
func (s Story) Numbers() []string {
	numbers := []string{s.first.Bow.Number}
	for _, line := range s.Lines {
		var set struct {
			Number string `json:"number"`
		}
		if edit, isEdit := line.Entry.What.(model.Edit); isEdit && json.Unmarshal(edit.Set, &set) == nil {
			numbers = append(numbers, set.Number)
		}
	}
	numbers = append(numbers, s.Bow().Number)
	var all []string
	for _, number := range numbers {
		if number != "" && !slices.Contains(all, number) {
			all = append(all, number)
		}
	}
	return all
}
