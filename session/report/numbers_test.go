package report

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// told are figures of the JSON, in its units.
type told struct {
	Units  measure.Units
	Weight struct{ Draw, Peak float64 }
	Bow    struct {
		Number string
		Handle float64
		Limbs  map[string]struct {
			Length                   float64
			Stations, Widths, Depths []float64
		}
		Order struct{ Draw, Weight float64 }
	}
	Verdict  struct{ Why string }
	Sessions []struct {
		Entries []struct {
			Pass  int
			Void  *string
			Entry struct {
				Kind, Limb                     string
				Draw, Peak, To, Length, Height float64
				From                           any // a place, or what it was read from
				Strokes                        int
			}
		}
	}
	Advice struct {
		Weight, Tiller toldRange
		Curve          []toldRange
		Strips         []struct {
			Weight       toldRange
			Lower, Upper struct {
				At                   []float64
				Deviation, Low, High []*float64
			}
		}
	}
}

type toldRange struct{ Draw, At, Estimate, Low, High, Measured, Aim float64 }

func toldOf(t *testing.T, of Subject) (d told) {
	t.Helper()
	var b bytes.Buffer
	must(t, writeJSON(&b, of))
	must(t, json.Unmarshal(b.Bytes(), &d))
	return d
}

// shown is what the browser shows: figures and facts by their names, tables by their headings.
type shown struct {
	Figures, Facts map[string]string
	Tables         map[string][][]string
}

const shownScript = `(() => {
  const t = e => e.textContent.trim().replace(/\s+/g, ' ');
  const named = (what, e) => Object.fromEntries([...document.querySelectorAll(what)].map(e));
  return {
    Figures: named('.figures > div', d => [t(d.children[0]), [...d.children].slice(1).map(t).join(' ')]),
    Facts: named('.facts > div', d => [t(d.children[0]), t(d.children[1])]),
    Tables: named('figure, .passes, .panel:has(table)', e =>
      [t(e.querySelector('h2')), [...e.querySelectorAll('tr')].map(r => [...r.cells].map(t))]),
  };
})()`

// shows opens a page and reads it.
func (b *browser) shows(t *testing.T, name, page string) (s shown) {
	t.Helper()
	b.open(t, saved(t, name, page), views[2])
	must(t, chromedp.Run(b, chromedp.Evaluate(shownScript, &s)))
	return s
}

// TestThePagesNumbersAreTheJSONs: figures, and each cell of the passes and of the pictures' tables, but for the
// bow's shape, which the JSON doesn't have.
func TestThePagesNumbersAreTheJSONs(t *testing.T) {
	b, compared := openBrowser(t), 0
	for _, of := range demoShop(t) {
		_, page := written(t, of.Subject)
		figures, s, bow := toldOf(t, of.Subject), b.shows(t, "page", page), of.Story.Bow()
		scale, rule, calliper := bow.Weigher(), bow.Ruler(), bow.Calliper()
		inch, unit := bow.Units.Length.Length, " "+bow.Units.Force.Symbol()
		force := func(f float64) string { return scale.Print(bow.Units.Force.Force(f)) }
		same := func(what string, got, want any) {
			if !reflect.DeepEqual(got, want) {
				t.Errorf("%s: %s is\n%q on the page, by the JSON\n%q", bow.Name, what, got, want)
			}
		}
		a := figures.Advice
		same("units", figures.Units, bow.Units)
		weighed := force(figures.Weight.Peak) + unit + " at " + rule.WithUnit(inch(figures.Weight.Draw))
		same("the weighing", strings.HasPrefix(s.Figures["Weighed"], weighed), true)
		ordered := scale.Short(bow.Units.Force.Force(figures.Bow.Order.Weight)) + unit
		same("the order", strings.HasPrefix(s.Figures["Ordered"], ordered), true)
		at := "at " + rule.WithUnit(inch(a.Weight.Draw))
		if got, foretold := s.Figures["Forecast "+at]; foretold {
			same("the forecast", got, force(a.Weight.Estimate)+unit+" "+force(a.Weight.Low)+"–"+force(a.Weight.High))
		}
		if got, read := s.Figures["Tiller at "+rule.WithUnit(inch(a.Tiller.At))]; read {
			same("the tiller", got, signed(rule, inch(a.Tiller.Measured))+" upper − lower, braced; wanted "+
				rule.PrintSigned(inch(a.Tiller.Aim)))
		}

		var way [][]string
		last := a.Strips[len(a.Strips)-1]
		passes := s.Tables["Pass by pass"][1:]
		for n, strip := range a.Strips {
			w, longest, off := strip.Weight, "-", map[string]string{}
			far := 0.0
			for _, sitting := range figures.Sessions {
				for _, e := range sitting.Entries {
					if e.Pass != n || e.Void != nil {
						continue
					}
					switch what := e.Entry; what.Kind {
					case "pull":
						if what.Peak > 0 && what.Draw >= far {
							far = what.Draw
							longest = force(what.Peak) + unit + " at " + rule.WithUnit(inch(far))
						}
					case "scrape":
						off[what.Limb] += fmt.Sprintf(", %s–%s ×%d", rule.Short(inch(what.From.(float64))), rule.Short(inch(what.To)), what.Strokes)
					}
				}
			}
			row := passes[n]
			if w.Estimate > 0 && len(row) > 4 {
				same("a pass's weight", row[3], force(w.Estimate)+" ("+force(w.Low)+"–"+force(w.High)+")")
				way = append(way, []string{fmt.Sprint(n), force(w.Estimate), force(w.Low) + " to " + force(w.High)})
			}
			same("a pass's longest pull", strings.HasPrefix(row[len(row)-3], longest), true)
			for limb, said := range off {
				same("what came off", strings.Contains(row[len(row)-1], limb+" "+said[2:]), true)
			}
		}
		if len(way) > 1 {
			same("the weight's way", s.Tables["How did its weight come down?"][1:], way)
		}

		var evenness, section [][]string
		for _, side := range model.Sides {
			course, limb := last.Upper, figures.Bow.Limbs[side.String()]
			if side == model.Lower {
				course = last.Lower
			}
			for i, at := range course.At {
				row := []string{side.String(), rule.Short(inch(at)), "-", "-"}
				if course.Deviation[i] != nil {
					off := func(share []*float64) string { return percent(100 * *share[i]) }
					row[2], row[3] = off(course.Deviation), off(course.Low)+" to "+off(course.High)
				}
				evenness = append(evenness, row)
			}
			for i := range limb.Widths {
				section = append(section, []string{side.String(), rule.Print(inch(limb.Stations[i])),
					calliper.Print(inch(limb.Widths[i])), calliper.Print(inch(limb.Depths[i]))})
			}
		}
		for title, want := range map[string][][]string{
			"How evenly does it bend?": evenness, "How wide and how thick is it?": section,
		} {
			for i, row := range s.Tables[title][min(1, len(s.Tables[title])):] {
				compared++
				same(title, row[:4], want[i])
			}
		}

		by := 1.0 // as it was weighed
		if of.advice.Weighed.Known() {
			by = figures.Weight.Peak / a.Weight.Estimate
		}
		pulls := s.Tables["What does it pull, draw by draw?"]
		for _, f := range a.Curve {
			want := []string{force(by * f.Estimate), force(f.Low) + " to " + force(f.High)}
			if by != 1 {
				want[1] = "-"
			}
			draw := rule.Print(inch(f.Draw))
			i := slices.IndexFunc(pulls, func(row []string) bool { return row[0] == draw })
			same("the pull at "+draw, pulls[max(i, 0)][1:3], want)
		}
	}
	if compared < 200 {
		t.Errorf("only %d rows of evenness and of width were found", compared)
	}
}

// TestTheCardsNumbersAreTheJSONs of the demo shop's Hickory, which was handed over: what it pulls is its last
// weighing, its string the one that braced it last. In a shop that shows kilograms the weight stays as stamped.
func TestTheCardsNumbersAreTheJSONs(t *testing.T) {
	b := openBrowser(t)
	hickory := demoShop(t)["Hickory for Tamsin"]
	for _, units := range []measure.Units{{}, {Length: measure.Centimetre, Force: measure.KilogramForce}} {
		of := judged(t, hickory.Story.ShownIn(units))
		story, a, figures := of.Story, of.advice, toldOf(t, of.Subject)
		s := b.shows(t, "card", page(t, Card(story, of.Finishing, &a)))
		scale, rule, inch := story.Bow().Weigher(), story.Bow().Ruler(), figures.Units.Length.Length
		weight, heading := "36 lb", "What it pulls when new"
		if units.Force != "" {
			weight = "36 lb (16.3 kg)"
		}
		var long, high float64
		for _, sitting := range figures.Sessions {
			for _, e := range sitting.Entries {
				long, high = cmp.Or(map[string]float64{"string": e.Entry.Length}[e.Entry.Kind], long), cmp.Or(e.Entry.Height, high)
			}
		}
		length := figures.Bow.Handle + figures.Bow.Limbs["upper"].Length + figures.Bow.Limbs["lower"].Length
		for name, want := range map[string]string{
			"Draw weight": weight + " at " + rule.WithUnit(inch(figures.Bow.Order.Draw)) + " to the belly",
			"Number":      figures.Bow.Number, "Length": rule.WithUnit(inch(length)) + " nock to nock",
			"Brace height": rule.WithUnit(inch(high)), "String": rule.WithUnit(inch(long)) + " between the loops",
			"Arrow": "360 grains (24 g) or heavier (common practice)",
		} {
			if s.Facts[name] != want {
				t.Errorf("%s is %q on the card, by the JSON %q", name, s.Facts[name], want)
			}
		}
		if !strings.Contains(figures.Verdict.Why, "36 lb") {
			t.Errorf("the JSON says %q of the stamp", figures.Verdict.Why)
		}
		pulls := s.Tables[heading]
		by, compared := figures.Weight.Peak/figures.Advice.Weight.Estimate, 0
		for _, f := range figures.Advice.Curve {
			if i := slices.Index(pulls[0], rule.Short(inch(f.Draw))); i > 0 {
				compared++
				if want := scale.Print(figures.Units.Force.Force(by * f.Estimate)); pulls[1][i] != want {
					t.Errorf("at %s the card has %s, the JSON %s", pulls[0][i], pulls[1][i], want)
				}
			}
		}
		if compared == 0 || units.Force == "" && compared != len(pulls[0])-1 {
			t.Errorf("of %v only %d were compared", pulls, compared)
		}
	}
}

// TestTheComputedStringIsTheRealOne within 1/8 in, on the demo shop's bows whose string was measured.
func TestTheComputedStringIsTheRealOne(t *testing.T) {
	compared := 0
	for name, bow := range demoShop(t) {
		length, known := bow.Story.Strings().Bracing().Length.Get()
		computed, told := bow.advice.StringFor(bow.Story.BraceHeight()).Get()
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
	story := demoShop(t)["Ash for Wren"].Story
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
