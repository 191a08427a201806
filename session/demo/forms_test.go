package demo

import (
	"math"
	"reflect"
	"strconv"
	"testing"

	"bendbook/model"
	"bendbook/session"
	"bendbook/session/form"
)

// Every entry is typed into its form in the story as it stood then: none is refused or asked about, and what the
// form makes of it is the entry, but for the block, which no form asks for yet.
func TestEveryEntryPassesItsForm(t *testing.T) {
	typed := 0
	for _, rec := range open(t, Records(someDay)) {
		for i, item := range rec.Items {
			story := session.Fold(rec.Description, rec.Items[:i])
			if err := story.Bow().CheckEvent(item.Entry.What); err != nil {
				t.Errorf("%s: %s: %v", rec.Bow.Name, session.Say(story.Bow(), item.Entry.What), err)
			}
			sh, answers := formOf(story, item.Entry.What)
			if sh == nil {
				continue
			}
			typed++
			said := session.Say(story.Bow(), item.Entry.What)
			fill(t, sh, answers, rec.Bow.Name+": "+said)
			made, err := sh.Finish()
			if err != nil {
				t.Errorf("%s: %s: %v", rec.Bow.Name, said, err)
			} else if now := session.Say(story.Bow(), made.Event); now != session.Say(story.Bow(), withoutBlock(item.Entry.What)) || !reflect.DeepEqual(rows(made.Event), rows(item.Entry.What)) {
				t.Errorf("%s: %s\nthe form made of it %s", rec.Bow.Name, said, now)
			}
		}
	}
	if typed < 150 {
		t.Errorf("only %d entries have a form", typed)
	}
}

// fill answers the form's questions. Nothing in the shop is odd enough to be asked about.
func fill(t *testing.T, sh *form.Sheet, answers map[string]string, said string) {
	t.Helper()
	for !sh.Done() {
		q, _ := sh.Current()
		verdict := sh.Answer(answers[q.Name])
		if verdict.State == form.Asked {
			t.Errorf("%s: %s is asked about: %s", said, q.Label, verdict.Says)
			verdict = sh.Answer(answers[q.Name])
		}
		if verdict.State != form.Taken {
			t.Fatalf("%s: %s %q is refused: %s", said, q.Label, answers[q.Name], verdict.Says)
		}
	}
}

// formOf is the form for an event, and what is typed into it; nil for an event that has none.
func formOf(story session.Story, what model.Event) (*form.Sheet, map[string]string) {
	bow := story.Bow()
	rule, scale := bow.Ruler(), bow.Weigher()
	answers := make(map[string]string)
	readings := func(r model.Readings) {
		for _, side := range model.Sides {
			for i := range bow.Limbs[side].Stations {
				if l, known := r.At(side, i).Get(); known {
					answers[side.String()+"."+strconv.Itoa(i)] = rule.Print(l)
				}
			}
		}
	}
	switch e := what.(type) {
	case model.Pull:
		answers["draw"] = rule.Print(e.Draw)
		if peak, known := e.Peak.Get(); known {
			answers["peak"] = scale.Print(peak)
		}
		readings(e.Readings)
		return form.Pull(story), answers
	case model.Braced:
		answers["height"] = rule.Print(e.Height.Or(0))
		readings(e.Readings)
		return form.Braced(story), answers
	case model.Relaxed:
		readings(e.Readings)
		return form.Relaxed(story), answers
	case model.StringLength:
		answers["length"] = rule.Print(e.Length)
		return form.StringLength(story), answers
	case model.Scrape:
		answers["limb"], answers["tool"] = e.Limb.String(), e.Tool
		answers["from"], answers["to"] = rule.Print(e.From), rule.Print(e.To)
		if strokes, known := e.Strokes.Get(); known {
			answers["strokes"] = strconv.Itoa(strokes)
		}
		if depth, known := e.Depth.Get(); known {
			answers["depth"] = bow.Calliper().WithUnit(depth)
		}
		return form.Scrape(story), answers
	case model.Exercise:
		answers["pulls"] = strconv.Itoa(e.Pulls)
		return form.Exercise(story), answers
	case model.Note:
		answers["text"] = e.Text
		return form.Note(story), answers
	}
	return nil, nil
}

func withoutBlock(what model.Event) model.Event {
	if braced, ok := what.(model.Braced); ok {
		braced.Block = nil
		return braced
	}
	return what
}

// rows are an event's readings as the rule's own marks, which survive typing.
func rows(what model.Event) [2][]float64 {
	var r model.Readings
	switch e := what.(type) {
	case model.Pull:
		r = e.Readings
	case model.Braced:
		r = e.Readings
	case model.Relaxed:
		r = e.Readings
	}
	var marks [2][]float64
	for _, side := range model.Sides {
		for _, reading := range r[side] {
			l, known := reading.Get()
			if !known {
				l = -1000
			}
			marks[side] = append(marks[side], math.Round(float64(l)*1e6))
		}
	}
	return marks
}
