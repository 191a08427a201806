package verdict_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"math"
	"os"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/finish"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/demo"
	"bendbook/session/verdict"
)

// shop is the demo shop's records by the names of its bows.
func shop(t testing.TB) map[string]record.Record {
	t.Helper()
	all := map[string]record.Record{}
	in := record.NewReader(demo.Records(time.Date(2027, 3, 1, 12, 0, 0, 0, time.UTC)))
	for {
		rec, err := in.Next()
		if errors.Is(err, io.EOF) {
			return all
		}
		must(t, err)
		all[rec.Bow.Name] = rec
	}
}

func of(t testing.TB, rec record.Record) verdict.Advice {
	t.Helper()
	a, err := verdict.Of(storyOf(rec), verdict.Usual(), nil)
	must(t, err)
	return a
}

// What is said of a place is said in the terms of its stations: their bands overlap, and no place is told of as
// farther off than the aim by more than any of its stations could be. A station an inch and a half from an end
// of the place, as near as the end is known, may belong to the rest of the limb.
func TestFindingsAndStationsAreInTheSameTerms(t *testing.T) {
	t.Parallel()
	for name, rec := range shop(t) {
		a := of(t, rec)
		for _, f := range a.Findings {
			limb, seen := a.Limbs[f.Side], 0
			for i, at := range limb.At {
				if !limb.Compared[i] || at < f.From || at > f.To {
					continue
				}
				seen++
				if at < f.From+1.5 || at > f.To-1.5 {
					continue
				}
				if d := limb.Deviation[i]; d.Low > f.Deviation.High || d.High < f.Deviation.Low {
					t.Errorf("%s: %s, but at %v in %+v", name, f.Says, at, d)
				}
			}
			if seen == 0 || !(f.Deviation.Low < f.Deviation.Estimate && f.Deviation.Estimate < f.Deviation.High) {
				t.Errorf("%s: %+v with %d stations", name, f, seen)
			}
		}
	}
}

// No stop line lets a bow be drawn past its order, its weight or the step beyond the longest pull.
func TestStopLinesKeepTheirLimits(t *testing.T) {
	t.Parallel()
	for name, rec := range shop(t) {
		a := of(t, rec)
		next, ok := a.Next.Get()
		if !ok {
			t.Fatalf("%s has no stop line", name)
		}
		longest := float64(session.Fold(rec.Description, rec.Items).LongestDraw())
		order := float64(rec.Bow.DrawToBelly().Or(0))
		step, wanted := 2.0, a.Wanted.Or(finish.Wanted{})
		if longest > order-4 {
			step = 1
		}
		most := wanted.Weight
		if next.Draw >= order-1 {
			most = wanted.Most
		}
		if next.Draw > longest+step+1e-9 || next.Draw > order || next.Force.High > float64(most) ||
			next.Because == "" {
			t.Errorf("%s: %+v after pulls to %v, ordered %v", name, next, longest, order)
		}
	}
}

// The document has the fields of the format and the strips' own figures, in the record's units, and nothing
// that isn't a number.
func TestTheDocument(t *testing.T) {
	for name, rec := range shop(t) {
		a := of(t, rec)
		var doc struct {
			Format string
			Units  struct{ Length, Force string }
			Weight struct{ Draw, Estimate, Low, High, Wanted float64 }
			Curve  []struct{ Draw, Estimate float64 }
			Limbs  map[string]struct {
				At, Bend, Stiffness  []float64
				Deviation, Low, High []*float64
			}
			Removal []any
			Done    *bool
			Strips  []stripDocument
		}
		text := written(t, a, judge(a), &doc)
		if doc.Format != "bendbook/advice" || doc.Removal == nil || doc.Done == nil || *doc.Done ||
			len(doc.Curve) < 15 || len(doc.Strips) != len(a.Strips) ||
			!(doc.Weight.Low < doc.Weight.Estimate && doc.Weight.Estimate < doc.Weight.High) {
			t.Fatalf("%s: %s", name, text)
		}
		upper, n := doc.Limbs["upper"], len(rec.Bow.Limbs[0].Stations)
		if len(upper.At) != n || len(upper.Bend) != n || len(upper.Deviation) != n || len(upper.Stiffness) != n {
			t.Errorf("%s: %+v", name, upper)
		}
		if doc.Units.Length == "cm" && (doc.Weight.Draw < 60 || upper.At[0] < 10) {
			t.Errorf("%s in cm: %+v", name, doc.Weight)
		}
		for n, s := range doc.Strips {
			s.check(t, a, n)
		}
	}
}

// stripDocument is a strip as the document has it, courseDocument one of its limbs.
type (
	stripDocument struct {
		Weight       *struct{ Estimate float64 }
		Lower, Upper courseDocument
	}
	courseDocument struct {
		At        []float64
		Deviation []*float64
		Cells     []string
	}
)

func same(a, b float64) bool { return math.Abs(a-b) <= 1e-6*math.Abs(b) }

func (d stripDocument) check(t *testing.T, a verdict.Advice, pass int) {
	t.Helper()
	want := a.Strips[pass].Weight
	if w, known := want.Get(); known != (d.Weight != nil) ||
		known && !same(d.Weight.Estimate, w.Estimate*a.Bow.Units.Force.PerPound()) {
		t.Errorf("%s, pass %d: weight %v, want %v", a.Bow.Name, pass, d.Weight, want)
	}
	d.Upper.check(t, a, pass, model.Upper)
	d.Lower.check(t, a, pass, model.Lower)
}

func (d courseDocument) check(t *testing.T, a verdict.Advice, pass int, side model.Side) {
	t.Helper()
	c := a.Strips[pass].Limbs[side]
	for i, at := range c.At {
		off := d.Deviation[i]
		if !same(d.At[i], at*a.Bow.Units.Length.PerInch()) || (off != nil) != c.Known[i] ||
			off != nil && !same(*off, c.Deviation[i].Estimate) || i%2 == 1 && d.Cells[i/2] != c.Cells[i/2].String() {
			t.Errorf("%s, pass %d, %v limb at %v: %v", a.Bow.Name, pass, side, at, off)
		}
	}
}

// written parses the document of an advice, and returns it.
func written(t rapid.TB, a verdict.Advice, v verdict.Verdict, doc any) string {
	t.Helper()
	var b bytes.Buffer
	must(t, a.Write(&b, v))
	must(t, json.Unmarshal(b.Bytes(), doc))
	return b.String()
}

// The readings of the example in the format's description contradict one another; it says so and tells the
// weight.
func TestContradictingReadingsAreTold(t *testing.T) {
	file, err := os.ReadFile("../../testdata/record/example.json")
	must(t, err)
	rec, err := record.Parse(file)
	must(t, err)
	a := of(t, rec)
	if !strings.Contains(strings.Join(a.Cautions, "\n"), "pass 0 don't fit one bow") {
		t.Errorf("cautions are %q", a.Cautions)
	}
	if w, ok := a.Weight.Get(); !ok || math.IsNaN(w.Force.Estimate) || len(a.Findings) > 0 {
		t.Errorf("weight is %+v, found %+v", w, a.Findings)
	}
}

// Without a peak there is no plan.
func TestABraceHeightAloneMakesNoPlan(t *testing.T) {
	if a := newTree(t, 4).read().says(verdict.Usual()); a.Plan.Known() || !strings.Contains(a.NoPlan, "no peak") {
		t.Errorf("without a peak: %q", a.NoPlan)
	}
}

// At entry a reading an inch off is doubtful and the one expected is not.
func TestExpectation(t *testing.T) {
	rec := shop(t)["Ash for Wren"]
	a := of(t, rec)
	on, _ := a.Story().Strings().Now()
	for _, w := range []estimate.Where{{Kind: estimate.Peak, Draw: 20}, {Kind: estimate.Line, Draw: 20, At: 16},
		{Kind: estimate.Gap, At: 8}, {Kind: estimate.Relaxed, At: 30}} {
		f, ok := a.Expect(w, on, 0)
		off := 1.0
		if w.Kind == estimate.Peak {
			off = 4
		}
		if !ok || f.Doubtful(f.Estimate) || !f.Doubtful(f.Estimate+off) {
			t.Errorf("%+v: %+v, %v", w, f, ok)
		}
	}
	if _, ok := a.Expect(estimate.Where{Kind: estimate.Line, At: 99}, on, 0); ok {
		t.Error("a station beyond the nock is expected to read something")
	}
	// A bow that is braced two inches higher has gaps larger by about as much.
	gap := func(brace float64) estimate.Figure {
		f, _ := a.Expect(estimate.Where{Kind: estimate.Gap, At: 8}, on, brace)
		return f
	}
	last, low, high := gap(0), gap(5), gap(7)
	if rise := high.Estimate - low.Estimate; rise < 1.5 || rise > 2.2 || low.Estimate > last.Estimate ||
		high.Estimate < last.Estimate {
		t.Errorf("braced to 5 in %+v, to 7 in %+v, as before %+v", low, high, last)
	}
	if _, ok := a.Expect(estimate.Where{Kind: estimate.Gap, At: 8}, on, 300); ok {
		t.Error("a bow braced to 300 in is expected to read something")
	}
}

// The advice that goes on from the one before an entry is the advice of the whole story, also where the aim
// changes on the way or a void reaches back.
func TestAdviceThatGoesOnIsThatOfTheWhole(t *testing.T) {
	t.Parallel()
	w := newTree(t, 5)
	var a verdict.Advice
	next := func(events ...model.Event) {
		t.Helper()
		w.add(events...)
		var err error
		a, err = a.Again(w.story(), verdict.Usual(), nil)
		must(t, err)
		whole := of(t, w.record())
		ledger := verdict.LedgerOf(w.story(), verdict.Usual()).Off
		for what, of := range map[string][2]any{
			"figures": {goldenFigures(a), goldenFigures(whole)}, "strips": {a.Strips, whole.Strips},
			"cautions": {a.Cautions, whole.Cautions}, "promises": {a.Ledger().Off, ledger},
		} {
			if !reflect.DeepEqual(of[0], of[1]) {
				t.Fatalf("after %d entries %s are\n%v\nnot\n%v", len(w.items), what, of[0], of[1])
			}
		}
	}
	next()
	w.read(9)
	next()
	for n := range 5 {
		w.down(model.Sides[n%2], 4, 12, 0.05, 12)
		next()
		w.read(10+2*float64(n), 11+2*float64(n))
		next()
		if n == 3 {
			w.edit(func(bow *model.Bow) { bow.Aim.StiffTips = inches(8) })
			next()
		}
	}
	if len(a.Strips) != 6 || a.Kept.Of < 5 {
		t.Errorf("%d strips of six passes, %d promises", len(a.Strips), a.Kept.Of)
	}
	next(model.Void{Entry: w.items[len(w.items)-2].Entry.ID})
	next(model.Void{Entry: w.items[1].Entry.ID})
}
