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

// The upper limb was made two fifths too stiff between 14 and 22 in.
func TestAFlatIsFound(t *testing.T) {
	w := even(t, 1.3)
	w.step(model.Upper, 14, 22, 1.4).readEvery(2, 12, 14, 16, 18, 20)
	a := w.says(verdict.Usual())
	for _, f := range a.Findings {
		if f.Side == model.Upper && !f.Hinge && f.From < 22 && f.To > 14 {
			if !strings.HasPrefix(f.Says, "Upper limb, ") || !strings.Contains(f.Says, "% too stiff (near certain)") {
				t.Errorf("it says %q", f.Says)
			}
			return
		}
	}
	t.Errorf("found only %+v", a.Findings)
}

// What is said of a place is said in the terms of its stations: their bands overlap, and no place is told of as farther off than the
// aim by more than any of its stations could be. A station an inch and a half from an end of the place, as near as the end is known, may belong to
// the rest of the limb.
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
		if next.Draw > longest+step+1e-9 || next.Draw > order || next.Force.High > float64(most) || next.Because == "" {
			t.Errorf("%s: %+v after pulls to %v, ordered %v", name, next, longest, order)
		}
	}
}

// A record says the same twice.
func TestTheSameRecordSaysTheSame(t *testing.T) {
	rec := shop(t)["Elm for Odile"]
	var first, second bytes.Buffer
	for _, b := range []*bytes.Buffer{&first, &second} {
		must(t, verdict.Write(b, rec, nil))
	}
	if first.String() != second.String() {
		t.Error("two documents of one record differ")
	}
}

// The document has the fields of the format, in the record's units, and nothing that isn't a number.
func TestTheDocument(t *testing.T) {
	for name, rec := range shop(t) {
		var b bytes.Buffer
		must(t, verdict.Write(&b, rec, nil))
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
		}
		if err := json.Unmarshal(b.Bytes(), &doc); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if doc.Format != "bendbook/advice" || doc.Removal == nil || doc.Done == nil || *doc.Done || len(doc.Curve) < 15 ||
			!(doc.Weight.Low < doc.Weight.Estimate && doc.Weight.Estimate < doc.Weight.High) {
			t.Errorf("%s: %s", name, b.String())
		}
		upper := doc.Limbs["upper"]
		if n := len(rec.Bow.Limbs[0].Stations); len(upper.At) != n || len(upper.Bend) != n || len(upper.Deviation) != n || len(upper.Stiffness) != n {
			t.Errorf("%s: %+v", name, upper)
		}
		if doc.Units.Length == "cm" && (doc.Weight.Draw < 60 || upper.At[0] < 10) {
			t.Errorf("%s in cm: %+v", name, doc.Weight)
		}
	}
}

// The readings of the example in the format's description contradict one another; it says so and tells the weight.
func TestContradictingReadingsAreTold(t *testing.T) {
	file, err := os.ReadFile("../../testdata/record/example.json")
	must(t, err)
	rec, err := record.Parse(file)
	must(t, err)
	a := of(t, rec)
	if !strings.Contains(strings.Join(a.Cautions, "\n"), "pass 0 don't fit one bow") {
		t.Errorf("cautions are %q", a.Cautions)
	}
	if w, ok := a.Weight.Get(); !ok || math.IsNaN(w.Force.Estimate) {
		t.Errorf("weight is %+v", w)
	}
	if len(a.Findings) > 0 {
		t.Errorf("found %+v", a.Findings)
	}
}

// A bow without a reading has nothing said of it but that there is none.
func TestNothingReadSaysNothing(t *testing.T) {
	rec := shop(t)["Ash for Wren"]
	rec.Items = nil
	a := of(t, rec)
	if a.Read || a.Weight.Known() || a.Next.Known() || len(a.Findings) > 0 || !strings.Contains(a.NoPlan, "nothing was read") {
		t.Errorf("it says %+v", a)
	}
	if err := a.Write(io.Discard, judge(a)); err != nil {
		t.Error(err)
	}
}

// At entry a reading an inch off is doubtful and the one expected is not.
func TestExpectation(t *testing.T) {
	rec := shop(t)["Ash for Wren"]
	a := of(t, rec)
	on, _ := a.Story().Strings().Now()
	for _, w := range []estimate.Where{{Kind: estimate.Peak, Draw: 20}, {Kind: estimate.Line, Draw: 20, At: 16}, {Kind: estimate.Gap, At: 8}, {Kind: estimate.Relaxed, At: 30}} {
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
	if rise := high.Estimate - low.Estimate; rise < 1.5 || rise > 2.2 || low.Estimate > last.Estimate || high.Estimate < last.Estimate {
		t.Errorf("braced to 5 in %+v, to 7 in %+v, as before %+v", low, high, last)
	}
	if _, ok := a.Expect(estimate.Where{Kind: estimate.Gap, At: 8}, on, 300); ok {
		t.Error("a bow braced to 300 in is expected to read something")
	}
}

// The advice that goes on from the one before an entry is the advice of the whole story, also where a void reaches back.
func TestAdviceThatGoesOnIsThatOfTheWhole(t *testing.T) {
	t.Parallel()
	rec := shop(t)["Ash for Wren"]
	void := func(back int) record.Item {
		items := rec.Items
		return record.Item{Entry: model.Entry{ID: "void", What: model.Void{Entry: items[len(items)-back].Entry.ID}}}
	}
	story := func(n int, more ...record.Item) session.Story {
		return session.Fold(rec.Description, append(rec.Items[:n:n], more...))
	}
	all := len(rec.Items)
	var last verdict.Advice
	for _, s := range []session.Story{story(0), story(5), story(all - 14), story(all - 13), story(all), story(all, void(1)), story(all, void(all))} {
		again, err := last.Again(s, verdict.Usual(), nil)
		must(t, err)
		whole, err := verdict.Of(s, verdict.Usual(), nil)
		must(t, err)
		if !reflect.DeepEqual(goldenFigures(again), goldenFigures(whole)) || !reflect.DeepEqual(again.Cautions, whole.Cautions) {
			t.Errorf("after %d entries:\n%+v\nnot\n%+v", len(s.Lines), again, whole)
		}
		last = again
	}
}
