package report

import (
	"bytes"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

// told are figures of the JSON, in its units.
type told struct {
	Units  measure.Units
	Weight struct{ Draw, Peak float64 }
	Bow    struct {
		Order struct{ Draw, Weight float64 }
	}
	Advice struct {
		Curve  []struct{ Draw, Estimate, Low, High float64 }
		Strips []struct {
			Weight struct{ Estimate, Low, High float64 }
		}
	}
}

func toldOf(t *testing.T, of Subject) (d told) {
	t.Helper()
	var b bytes.Buffer
	must(t, writeJSON(&b, of))
	must(t, json.Unmarshal(b.Bytes(), &d))
	return d
}

// TestThePagesNumbersAreTheJSONs: the weighing, the order, each point of the curve and the weight of each pass.
func TestThePagesNumbersAreTheJSONs(t *testing.T) {
	for _, story := range demoStories(t) {
		of, _ := judged(t, story)
		d, page := written(t, of)
		figures := toldOf(t, of)
		bow := story.Bow()
		scale, rule := bow.Weigher(), bow.Ruler()
		says := func(what, text string) {
			if !strings.Contains(unspanned(page), text) {
				t.Errorf("%s: the page has no %s %q", bow.Name, what, text)
			}
		}
		force := func(f float64) string { return scale.Print(bow.Units.Force.Force(f)) }
		if figures.Units != bow.Units || len(figures.Advice.Strips) != len(story.Passes) {
			t.Fatalf("%s: the JSON is in %v and has %d passes", bow.Name, figures.Units, len(figures.Advice.Strips))
		}
		says("weighing", `<p class="value">`+force(figures.Weight.Peak)+" "+bow.Units.Force.Symbol())
		says("order", `<p class="value">`+scale.Short(bow.Units.Force.Force(figures.Bow.Order.Weight)))
		for _, s := range figures.Advice.Strips {
			if w := s.Weight; w.Estimate > 0 && d.Strips != nil {
				says("pass", "<td>"+force(w.Estimate)+" ("+force(w.Low)+"–"+force(w.High)+")</td>")
			}
		}
		i := slices.IndexFunc(d.Pictures, func(p picture) bool { return p.Name == "force" })
		for _, f := range figures.Advice.Curve {
			draw := rule.Print(bow.Units.Length.Length(f.Draw))
			k := slices.IndexFunc(d.Pictures[i].Table.Rows, func(row []string) bool { return row[0] == draw })
			row := d.Pictures[i].Table.Rows[k]
			if of.Practice.Before.Weighed.Known() {
				a := of.Practice.Before
				by := float64(a.Weighed.Or(0)) / a.Weight.Or(estimate.Forecast{}).Force.Estimate
				if row[1] != force(by*f.Estimate) {
					t.Errorf("%s: at %s the page has %s, the JSON %v of %.3f", bow.Name, draw, row[1], f.Estimate, by)
				}
			} else if row[1] != force(f.Estimate) || row[2] != force(f.Low)+" to "+force(f.High) {
				t.Errorf("%s: at %s the page has %q, the JSON %v", bow.Name, draw, row, f)
			}
		}
	}
}

// TestTheCardsNumbersAreTheJSONs of the demo shop's Hickory, which was handed over: what it pulls at the order
// is its last weighing, and its string is the one that braced it last. In a shop that shows kilograms the
// weight stays as stamped.
func TestTheCardsNumbersAreTheJSONs(t *testing.T) {
	hickory := demoShop(t)["Hickory for Tamsin"]
	for _, units := range []measure.Units{{}, {Length: measure.Centimetre, Force: measure.KilogramForce}} {
		story := hickory.story.ShownIn(units)
		of, _ := judged(t, story)
		a, figures := of.Practice.Before, toldOf(t, of)
		d := Card(story, of.Finishing, &a)
		bow := story.Bow()
		scale, rule := bow.Weigher(), bow.Ruler()
		weight := figures.Units.Force.Force(figures.Weight.Peak)
		draw := figures.Units.Length.Length(figures.Bow.Order.Draw)
		pulls := d.Parts[0].Blocks[0].Table
		last := len(pulls.Head) - 1
		if pulls.Head[last] != rule.Short(draw) || pulls.Rows[0][last] != scale.Print(weight) {
			t.Errorf("at the order it pulls %s at %s; the JSON has %v at %v", pulls.Rows[0][last], pulls.Head[last],
				figures.Weight.Peak, figures.Bow.Order.Draw)
		}
		want := []fact{{Name: "Draw weight", Value: "36 lb at 28 in to the belly"},
			{Name: "String", Value: rule.WithUnit(story.Strings().Bracing().Length.Or(0)) + " between the loops"}}
		if units.Force != "" {
			want[0].Value = "36 lb (16.3 kg) at 71.1 cm to the belly"
		}
		for _, f := range want {
			if !slices.Contains(d.Facts, f) {
				t.Errorf("the card doesn't say %v: %v", f, d.Facts)
			}
		}
	}
}

// TestTheComputedStringIsTheRealOne within 1/8 in, on the demo shop's bows whose string was measured.
func TestTheComputedStringIsTheRealOne(t *testing.T) {
	compared := 0
	for name, bow := range demoShop(t) {
		length, known := bow.story.Strings().Bracing().Length.Get()
		computed, told := bow.advice.StringFor(bow.story.BraceHeight()).Get()
		if !known || !told {
			continue
		}
		if compared++; math.Abs(float64(computed-length)) > 1.0/8 {
			t.Errorf("%s: the string is %v in long, computed %v", name, length, computed)
		}
	}
	if compared == 0 {
		t.Error("no string was measured, so this test can't fail")
	}
}

// manyPasses is the demo shop's Ash, scraped and read until it has forty passes.
func manyPasses(t testing.TB) session.Story {
	t.Helper()
	story := demoShop(t)["Ash for Wren"].story
	pull, _ := story.LastPull()
	var events []model.Event
	for n := len(story.Passes); n < 40; n++ {
		pull.Peak = measure.Some(pull.Peak.Or(0) * 0.998)
		from := measure.Length(4 + n%5*5)
		scrape := model.Scrape{Limb: model.Sides[n%2], From: from, To: from + 6, Strokes: measure.Some(8)}
		events = append(events, scrape, model.Exercise{Pulls: 20}, pull)
	}
	return withEvents(t, story, events...)
}

// TestAPageOfFortyPassesIsSmall enough for a letter.
func TestAPageOfFortyPassesIsSmall(t *testing.T) {
	story := manyPasses(t)
	if len(story.Passes) != 40 {
		t.Fatalf("it has %d passes", len(story.Passes))
	}
	page := pageOf(t, story, 0)
	if len(page) > 120_000 {
		t.Errorf("it takes %d bytes", len(page))
	}
}

// BenchmarkPageOfFortyPasses is the page of a bow that was scraped forty times, once it is estimated.
func BenchmarkPageOfFortyPasses(b *testing.B) {
	of := subject(manyPasses(b), 0)
	a, err := of.Practice.Of(of.Story)
	must(b, err)
	for b.Loop() {
		must(b, writePage(&bytes.Buffer{}, of.document(of.Story, a, nil)))
	}
}
