package session

import (
	"encoding/json"
	"slices"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
)

// Facts are what the stages follow from.
func (s Story) Facts() []finish.Fact {
	log := factLog{draw: s.Bow().DrawToBelly()}
	for line := range Counting(s.Lines) {
		if s.work(line.What).Tiller {
			log.scraped(line.Entry.At.UTC())
		}
		log.note(line.What, line.Entry.At.UTC())
	}
	return log.facts
}

type factLog struct {
	facts                []finish.Fact
	draw                 measure.Optional[measure.Length] // as ordered
	pulled, braced, away bool
}

func (l *factLog) add(kind finish.FactKind, f finish.Fact) {
	f.What = kind
	l.facts = append(l.facts, f)
}

func (l *factLog) note(what model.Event, at time.Time) {
	f := finish.Fact{At: at}
	switch what := what.(type) {
	case model.Finish:
		f.Step, f.Coat, f.Grit, f.On = what.Step, what.Coat.Or(0), what.Grit.Or(0), what.On
		l.add(finish.Step, f)
		l.away = l.away || what.Step == model.HandedOver
	case model.StringLength:
		l.add(finish.Strung, f)
	case model.Shot:
		l.add(finish.Shot, f)
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

// scraped notes that the bow is back on the tree; the last of a row says it all.
func (l *factLog) scraped(at time.Time) {
	if n := len(l.facts); n > 0 && l.facts[n-1].What == finish.Scraping {
		l.facts = l.facts[:n-1]
	}
	l.add(finish.Scraping, finish.Fact{At: at})
}

func (l *factLog) pull(pull model.Pull, f finish.Fact) {
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
	var all []string
	add := func(number string) {
		if number != "" && !slices.Contains(all, number) {
			all = append(all, number)
		}
	}
	add(s.first.Bow.Number)
	for _, line := range s.Lines {
		var set struct {
			Number string `json:"number"`
		}
		if edit, isEdit := line.Entry.What.(model.Edit); isEdit && json.Unmarshal(edit.Set, &set) == nil {
			add(set.Number)
		}
	}
	add(s.Bow().Number)
	return all
}

// Lesson is what the bow teaches for the next of its wood: the last lesson that was noted; "" where none was.
func (s Story) Lesson() string {
	last, _ := Last(s, func(note model.Note) bool { return note.Lesson() != "" })
	return last.Lesson()
}

// Crack is the last crack that wasn't mended; ok is false where there is none.
func (s Story) Crack() (last model.Crack, ok bool) {
	var open []model.Crack
	for line := range Counting(s.Lines) {
		switch what := line.What.(type) {
		case model.Crack:
			open = append(open, what)
		case model.Mended:
			open = slices.DeleteFunc(open, what.MakesGood)
		}
	}
	if len(open) == 0 {
		return last, false
	}
	return open[len(open)-1], true
}

// Track is how the string ran last; again says that work may have moved it since. ok is false where nobody
// looked.
func (s Story) Track() (last model.Track, again, ok bool) {
	for line := range Counting(s.Lines) {
		again = again || s.work(line.What).Moves
		if track, is := line.What.(model.Track); is {
			last, again, ok = track, false, true
		}
	}
	return last, again, ok
}

// Strokes are all strokes that were counted, with any tool.
func (s Story) Strokes() int {
	n := 0
	for _, pass := range s.Passes {
		for _, scrape := range pass.Scrapes {
			n += scrape.Strokes.Or(0)
		}
	}
	return n
}

// SetTaken is the set from the first relaxed reading to the last: the mean of both limbs at the outermost
// station that was read both times.
func (s Story) SetTaken() measure.Optional[measure.Length] {
	pose := Pose{Kind: model.KindRelaxed, From: model.FromLine}
	var read []model.Readings
	for _, pass := range s.Passes {
		if pass.Heated {
			read = nil // bent anew
		}
		if rows, ok := pass.Reading(pose); ok {
			read = append(read, rows)
		}
	}
	if len(read) < 2 {
		return measure.Optional[measure.Length]{}
	}
	first, last := read[0], read[len(read)-1]
	sum, limbs := measure.Length(0), 0
	for _, side := range model.Sides {
		for i := min(len(first[side]), len(last[side])) - 1; i >= 0; i-- {
			before, known := first.At(side, i).Get()
			after, also := last.At(side, i).Get()
			if known && also {
				sum += after - before
				limbs++
				break
			}
		}
	}
	if limbs == 0 {
		return measure.Optional[measure.Length]{}
	}
	return measure.Some(sum / measure.Length(limbs))
}

// NocksOn says whether the horn nocks are on: a step names them, or the bow was handed over.
func (s Story) NocksOn() bool {
	return slices.ContainsFunc(s.finishes, func(done model.Finish) bool {
		step := strings.ToLower(done.Step)
		return step == model.HandedOver || strings.Contains(step, "nock") && !strings.HasPrefix(step, "temporary")
	})
}

// Stamped is the text that the bow was marked with last.
func (s Story) Stamped() string {
	last, _ := Last(s, func(step model.Finish) bool { return step.Text != "" })
	return last.Text
}
