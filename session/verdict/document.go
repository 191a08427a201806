package verdict

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"time"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/date"
	"bendbook/model/estimate"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/model/plan"
	"bendbook/model/record"
	"bendbook/session"
)

// format stands at the head of each document, with its version.
const format = "bendbook/advice"

// verdictNames are the verdicts as the document spells them.
var verdictNames = map[plan.Verdict]string{
	plan.Scrape: "scrape", plan.Done: "done", plan.Weak: "weak", plan.Unsure: "unsure", plan.Left: "left over",
}

// Write writes what a record says now, with the usual settings and the shape that [Of] takes. The error says
// what in the record makes no bow, or is the writer's.
func Write(w io.Writer, rec record.Record, shape *aim.Aim) error {
	story := session.Fold(rec.Description, rec.Items)
	a, err := Of(story, Usual(), shape)
	if err != nil {
		return err
	}
	f := FinishingOf(story, finish.Usual(), Usual().Takes, story.LastAt().UTC(), date.ISO)
	return a.Write(w, a.Judge(f))
}

// Write writes the advice and the verdict as a document, in its bow's units; null for what is not known.
func (a Advice) Write(w io.Writer, v Verdict) error {
	enc := json.NewEncoder(plain.JSONWriter{To: w})
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	if err := enc.Encode(a.document(v)); err != nil {
		return fmt.Errorf("writing the advice: %w", err)
	}
	return nil
}

// An object is a JSON object whose members keep their order.
type object []member

type member struct {
	name  string
	value any
}

func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	for i, m := range o {
		b.WriteByte("{,"[min(i, 1)])
		fmt.Fprintf(&b, "%q:", m.name)
		if err := enc.Encode(m.value); err != nil {
			return nil, err
		}
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// number is a figure to seven significant digits, which hides the last bits of the arithmetic.
type number float64

// leastNumber is the smallest figure kept apart from 0; the scale of a smaller one would overflow.
const leastNumber = 1e-100

func rounded(v float64) number {
	if math.Abs(v) < leastNumber || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	scale := math.Pow(10, 6-math.Floor(math.Log10(math.Abs(v))))
	return number(math.Round(v*scale) / scale)
}

func figure(f estimate.Figure, unit float64) object {
	low, high := rounded(f.Low*unit), rounded(f.High*unit)
	return object{{"estimate", rounded(f.Estimate * unit)}, {"low", low}, {"high", high}}
}

func known[T any](v measure.Optional[T], say func(T) any) any {
	if x, ok := v.Get(); ok {
		return say(x)
	}
	return nil
}

func positive(v float64) any {
	if v > 0 {
		return rounded(v)
	}
	return nil
}

// bands are estimates and their bands, null where they aren't known.
func bands(all []estimate.Figure, known []bool) (middle, low, high []any) {
	middle, low, high = make([]any, len(all)), make([]any, len(all)), make([]any, len(all))
	for i, f := range all {
		if known[i] {
			middle[i], low[i], high[i] = rounded(f.Estimate), rounded(f.Low), rounded(f.High)
		}
	}
	return middle, low, high
}

// A writer turns inches and pounds-force into the document's units.
type writer struct {
	inch, pound float64
	rig         model.Rig
}

func (w writer) length(l float64) any         { return rounded(l * w.inch) }
func (w writer) gap(l measure.Length) any     { return w.length(float64(l)) }
func (w writer) weight(f measure.Force) any   { return rounded(float64(f) * w.pound) }
func (w writer) tiller(f estimate.Figure) any { return figure(f, w.inch) }
func (w writer) force(f estimate.Figure) any  { return figure(f, w.pound) }
func (w writer) share(f float64) any          { return rounded(f) }

func (w writer) point(draw float64, force estimate.Figure) object {
	return append(object{{"draw", w.length(draw)}}, figure(force, w.pound)...)
}

func (w writer) stretch(side model.Side, from, to float64) object {
	return object{{"limb", side.String()}, {"from", w.length(from)}, {"to", w.length(to)}}
}

func (a Advice) document(v Verdict) object {
	a = a.Under(v)
	w := writer{inch: a.Bow.Units.Length.PerInch(), pound: a.Bow.Units.Force.PerPound(), rig: a.Bow.Rig}
	var atAim any
	tillers := each(a.Tiller, func(t Tiller) any {
		one := append(object{{"at", w.length(t.At)}}, figure(t.Expected, w.inch)...)
		one = append(one, member{"measured", known(t.Measured, w.gap)}, member{"aim", known(t.Aim, w.gap)})
		if t.At == a.aimPlace() {
			atAim = one
		}
		return one
	})
	removal := a.Removal
	if v.Do == Finish || v.Do == None {
		removal = nil
	}
	return object{
		{"format", format}, {"version", 1}, {"units", a.Bow.Units}, {"pass", a.Pass},
		{"weight", known(a.Weight, func(f estimate.Forecast) any {
			return append(w.point(f.Draw, f.Force),
				member{"wanted", known(a.wantedWeight(), w.weight)}, member{"energy", figure(f.Energy, w.pound*w.inch)})
		})},
		{"curve", each(a.Curve, func(f estimate.Forecast) any { return w.point(f.Draw, f.Force) })},
		{"next_pull", known(a.NextBy(v), w.next)},
		{"tiller", atAim}, {"tillers", tillers},
		{"set", known(a.Follow, func(f estimate.Figure) any {
			return object{{"follow", w.tiller(f)}, {"set", known(a.Set, w.tiller)}}
		})},
		{"limbs", object{{"lower", w.limb(a.Limbs[model.Lower])}, {"upper", w.limb(a.Limbs[model.Upper])}}},
		{"findings", each(a.Findings, w.finding)},
		{"removal", each(removal, w.removal)},
		{"plan", known(a.Plan, func(p Plan) any {
			after := p.After
			if len(removal) == 0 {
				after = p.Now
			}
			return object{{"verdict", verdictNames[p.Verdict]}, {"says", p.Says}, {"after", object{
				{"weight", w.force(after.Weight)}, {"tiller", w.tiller(after.Tiller)},
				{"chance_under", rounded(after.ChanceUnder)},
			}}}
		})},
		{"came_off", each(a.CameOff, w.cameOff)},
		{"unsure", each(a.Unsure, func(u estimate.Unsure) any {
			return append(w.stretch(u.Side, u.From, u.To),
				member{"hidden", rounded(u.Hidden)}, member{"would_settle", a.SayMeasure(u)})
		})},
		{"wild", each(a.Wild, func(x estimate.Wild) any { return w.wild(x, a.SayWild(x)) })},
		{"done", v.Do == Finish}, {"cautions", append([]string{}, a.Cautions...)},
		{"verdict", w.verdict(v)}, {"fit", a.fitDocument()},
		{"kept", object{{"held", a.Kept.Held}, {"of", a.Kept.Of}, {"scale", rounded(a.Kept.Scale)}}},
		{"strips", each(a.Strips, w.strip)},
	}
}

func (w writer) strip(s Strip) any {
	var at any
	if !s.At.IsZero() {
		at = s.At.UTC().Format(time.RFC3339)
	}
	limb := func(side model.Side) any { return w.course(s.Limbs[side], s.Strokes[side]) }
	return object{
		{"pass", s.Pass}, {"at", at}, {"weight", known(s.Weight, w.force)}, {"tiller", known(s.Tiller, w.tiller)},
		{"came_off", s.Off}, {"lower", limb(model.Lower)}, {"upper", limb(model.Upper)},
	}
}

func (w writer) course(c course, strokes int) any {
	deviation, low, high := bands(c.Deviation, c.Known)
	return object{
		{"at", each(c.At, w.length)}, {"deviation", deviation}, {"low", low}, {"high", high},
		{"cells", each(c.Cells, func(cell Cell) any { return cell.String() })},
		{"uneven", known(c.Uneven, func(f estimate.Figure) any { return figure(f, 1) })}, {"strokes", strokes},
	}
}

func (w writer) verdict(v Verdict) object {
	where := object{{"limb", nil}, {"from", nil}, {"to", nil}}
	if at, ok := v.Stretch.Get(); ok {
		where = w.stretch(at.Side, at.From, at.To)
	}
	return slices.Concat(object{{"do", v.Do}, {"say", v.Say}, {"why", v.Why}}, where,
		object{{"draw", known(v.Draw, w.length)}})
}

func (w writer) next(n nextPull) any {
	o := append(w.point(n.Draw, n.Force), member{"stop_at", known(n.StopAt, w.weight)})
	if !w.rig.Direct() {
		shown := func(most measure.Force) any { return w.weight(w.rig.StopAt(most)) }
		o = append(o, member{"stop_at_on_scale", known(n.StopAt, shown)})
	}
	return append(o, member{"strain", positive(n.Strain)}, member{"because", n.Because})
}

func (w writer) limb(l limb) any {
	bend := func(f estimate.Figure) any { return rounded(f.Estimate / w.inch) }
	stiffness := func(f estimate.Figure) any { return rounded(f.Estimate * w.pound * w.inch * w.inch) }
	deviation, low, high := bands(l.Deviation, l.Compared)
	var strain []any
	if l.Strain != nil {
		strain = each(l.Strain, w.share)
	}
	return object{
		{"at", each(l.At, w.length)}, {"bend", each(l.Bend, bend)},
		{"aim", each(l.Aim, func(v float64) any { return rounded(v / w.inch) })},
		{"deviation", deviation}, {"low", low}, {"high", high},
		{"stiffness", each(l.Stiffness, stiffness)}, {"strain", strain},
	}
}

func (w writer) finding(f finding) any {
	kind := "flat"
	if f.Hinge {
		kind = "hinge"
	}
	off := f.Deviation
	return append(append(object{{"kind", kind}}, w.stretch(f.Side, f.From, f.To)...), object{
		{"deviation", rounded(off.Estimate)}, {"low", rounded(off.Low)}, {"high", rounded(off.High)},
		{"chance", rounded(f.Chance)}, {"says", f.Says},
	}...)
}

func (w writer) removal(r Removal) any {
	return append(w.stretch(r.Side, r.From, r.To), object{
		{"stiffness", rounded(r.Stiffness())}, {"depth_share", rounded(r.DepthShare)},
		{"depth", known(r.Depth, w.length)}, {"strokes", known(r.Strokes, func(n int) any { return n })},
	}...)
}

func (w writer) cameOff(c cameOff) any {
	s := c.Scrape
	o := append(w.stretch(s.Side, s.From, s.To), member{"planned", known(c.Planned, w.share)})
	return append(append(o, figure(c.Came, 1)...), member{"says", c.Says})
}

func (w writer) wild(x estimate.Wild, says string) any {
	unit := w.inch
	if x.Where.Kind == estimate.Peak {
		unit = w.pound
	}
	return object{
		{"reading", says}, {"off", rounded(x.Off)},
		{"value", rounded(x.Value * unit)}, {"expected", rounded(x.Expected * unit)},
	}
}

func (a Advice) fitDocument() object {
	fit := a.state.Fit()
	ok := fit.Good || !a.Read
	var cause any
	if name, _ := a.cause(fit); name != "" && !ok {
		cause = name
	}
	return object{{"good", ok && !a.contradiction}, {"ratio", positive(math.Sqrt(max(fit.Ratio, 0)))},
		{"cause", cause}, {"say", a.sayFit()}}
}
