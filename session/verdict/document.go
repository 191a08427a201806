package verdict

import (
	"encoding/json"
	"fmt"
	"io"
	"math"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/model/plan"
	"bendbook/model/record"
	"bendbook/session"
)

// Format stands at the head of each document, with its version.
const Format = "bendbook/advice"

// A document is the advice as it is written. A null stands for what is not known.
type document struct {
	Format   string          `json:"format"`
	Version  int             `json:"version"`
	Units    measure.Units   `json:"units"`
	Pass     int             `json:"pass"`
	Weight   *weight         `json:"weight"`
	Curve    []point         `json:"curve"`
	Next     *nextPull       `json:"next_pull"`
	Tiller   *tiller         `json:"tiller"`
	Tillers  []tiller        `json:"tillers"`
	Set      *set            `json:"set"`
	Limbs    map[string]limb `json:"limbs"`
	Findings []finding       `json:"findings"`
	Removal  []removal       `json:"removal"`
	Plan     *planned        `json:"plan"`
	CameOff  []cameOff       `json:"came_off"`
	Unsure   []unsure        `json:"unsure"`
	Wild     []wild          `json:"wild"`
	Done     bool            `json:"done"`
	Cautions []string        `json:"cautions"`
}

type figure struct {
	Estimate number `json:"estimate"`
	Low      number `json:"low"`
	High     number `json:"high"`
}

type stretch struct {
	Limb string `json:"limb"`
	From number `json:"from"`
	To   number `json:"to"`
}

type point struct {
	Draw number `json:"draw"`
	figure
}

type weight struct {
	point
	Wanted *number `json:"wanted"`
	Energy figure  `json:"energy"`
}

type nextPull struct {
	point
	StopAt  *number `json:"stop_at"`
	Strain  *number `json:"strain"`
	Because string  `json:"because"`
}

type tiller struct {
	At number `json:"at"`
	figure
	Measured *number `json:"measured"`
	Aim      *number `json:"aim"`
}

type set struct {
	Follow figure  `json:"follow"`
	Set    *figure `json:"set"`
}

type limb struct {
	At        []number  `json:"at"`
	Bend      []number  `json:"bend"`
	Aim       []number  `json:"aim"`
	Deviation []*number `json:"deviation"`
	Low       []*number `json:"low"`
	High      []*number `json:"high"`
	Stiffness []number  `json:"stiffness"`
	Strain    []number  `json:"strain"`
}

type finding struct {
	Kind string `json:"kind"`
	stretch
	Deviation number `json:"deviation"`
	Low       number `json:"low"`
	High      number `json:"high"`
	Chance    number `json:"chance"`
	Says      string `json:"says"`
}

type unsure struct {
	stretch
	WouldSettle string `json:"would_settle"`
}

type wild struct {
	Reading  string `json:"reading"`
	Off      number `json:"off"`
	Value    number `json:"value"`
	Expected number `json:"expected"`
}

type removal struct {
	stretch
	Stiffness  number  `json:"stiffness"`
	DepthShare number  `json:"depth_share"`
	Depth      *number `json:"depth"`
	Strokes    *int    `json:"strokes"`
}

type planned struct {
	Verdict string   `json:"verdict"`
	Says    []string `json:"says"`
	After   struct { // the removal
		Weight      figure `json:"weight"`
		Tiller      figure `json:"tiller"`
		ChanceUnder number `json:"chance_under"`
	} `json:"after"`
}

type cameOff struct {
	stretch
	Planned *number `json:"planned"`
	figure
	Says string `json:"says"`
}

// verdictNames are the verdicts as the document spells them.
var verdictNames = map[plan.Verdict]string{
	plan.Scrape: "scrape", plan.Done: "done", plan.Weak: "weak", plan.Unsure: "unsure", plan.Left: "left over",
}

// number is a figure to seven significant digits, which hides the last bits of the arithmetic.
type number float64

// leastNumber is the smallest figure that is told from 0; the scale of a smaller one would overflow.
const leastNumber = 1e-100

func rounded(v float64) number {
	if math.Abs(v) < leastNumber || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	scale := math.Pow(10, 6-math.Floor(math.Log10(math.Abs(v))))
	return number(math.Round(v*scale) / scale)
}

func of(f estimate.Figure, unit float64) figure {
	return figure{rounded(f.Estimate * unit), rounded(f.Low * unit), rounded(f.High * unit)}
}

func known[T ~float64](v measure.Optional[T], unit float64) *number {
	if x, ok := v.Get(); ok {
		n := rounded(float64(x) * unit)
		return &n
	}
	return nil
}

// A writer turns inches and pounds-force into the document's units.
type writer struct{ length, force float64 }

func (w writer) stretch(side model.Side, from, to float64) stretch {
	return stretch{side.String(), rounded(from * w.length), rounded(to * w.length)}
}

func (w writer) point(draw float64, force estimate.Figure) point {
	return point{rounded(draw * w.length), of(force, w.force)}
}

// Write writes what a record says now, with the usual settings and the shape that [Of] takes. The error says
// what in the record makes no bow, or is the writer's.
func Write(w io.Writer, rec record.Record, shape *aim.Aim) error {
	a, err := Of(session.Fold(rec.Description, rec.Items), Usual(), shape)
	if err != nil {
		return err
	}
	return a.Write(w)
}

// Write writes the advice as a document, in its bow's units.
func (a Advice) Write(w io.Writer) error {
	enc := json.NewEncoder(plain.JSONWriter{To: w})
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	if err := enc.Encode(a.document()); err != nil {
		return fmt.Errorf("writing the advice: %w", err)
	}
	return nil
}

func (a Advice) document() document {
	w := writer{length: a.Bow.Units.Length.PerInch(), force: a.Bow.Units.Force.PerPound()}
	d := document{
		Format: Format, Version: 1, Units: a.Bow.Units, Pass: a.Pass, Done: a.Done,
		Cautions: append([]string{}, a.Cautions...),
		Curve:    []point{}, Tillers: []tiller{}, Findings: []finding{}, Removal: []removal{}, CameOff: []cameOff{},
		Unsure: []unsure{}, Wild: []wild{}, Limbs: map[string]limb{},
	}
	if f, ok := a.Weight.Get(); ok {
		d.Weight = &weight{w.point(f.Draw, f.Force), known(a.Wanted, w.force), of(f.Energy, w.force*w.length)}
	}
	for _, f := range a.Curve {
		d.Curve = append(d.Curve, w.point(f.Draw, f.Force))
	}
	if n, ok := a.Next.Get(); ok {
		d.Next = &nextPull{point: w.point(n.Draw, n.Force), StopAt: known(n.StopAt, w.force), Because: n.Because}
		if n.Strain > 0 {
			d.Next.Strain = known(measure.Some(n.Strain), 1)
		}
	}
	for _, t := range a.Tiller {
		measured, wanted := known(t.Measured, w.length), known(t.Aim, w.length)
		one := tiller{rounded(t.At * w.length), of(t.Expected, w.length), measured, wanted}
		d.Tillers = append(d.Tillers, one)
		if t.At == a.aimPlace() {
			d.Tiller = &one
		}
	}
	if f, ok := a.Follow.Get(); ok {
		d.Set = &set{Follow: of(f, w.length)}
		if s, ok := a.Set.Get(); ok {
			grown := of(s, w.length)
			d.Set.Set = &grown
		}
	}
	for _, side := range model.Sides {
		d.Limbs[side.String()] = w.limb(a.Limbs[side])
	}
	a.placesInto(&d, w)
	a.planInto(&d, w)
	return d
}

// placesInto adds what is told of single places.
func (a Advice) placesInto(d *document, w writer) {
	for _, f := range a.Findings {
		kind := "flat"
		if f.Hinge {
			kind = "hinge"
		}
		off := of(f.Deviation, 1)
		d.Findings = append(d.Findings, finding{
			kind, w.stretch(f.Side, f.From, f.To), off.Estimate, off.Low, off.High, rounded(f.Chance), f.Says,
		})
	}
	for _, u := range a.Unsure {
		d.Unsure = append(d.Unsure, unsure{w.stretch(u.Side, u.From, u.To), u.WouldSettle})
	}
	for _, x := range a.Wild {
		unit := w.length
		if x.Where.Kind == estimate.Peak {
			unit = w.force
		}
		d.Wild = append(d.Wild, wild{x.Says, rounded(x.Off), rounded(x.Value * unit), rounded(x.Expected * unit)})
	}
	for _, c := range a.CameOff {
		s := w.stretch(c.Scrape.Side, c.Scrape.From, c.Scrape.To)
		d.CameOff = append(d.CameOff, cameOff{s, known(c.Planned, 1), of(c.Came, 1), c.Says})
	}
}

func (w writer) limb(l Limb) limb {
	out := limb{
		At: []number{}, Bend: []number{}, Aim: []number{}, Stiffness: []number{},
		Deviation: []*number{}, Low: []*number{}, High: []*number{},
	}
	for i := range l.At {
		out.At = append(out.At, rounded(l.At[i]*w.length))
		out.Bend = append(out.Bend, rounded(l.Bend[i].Estimate/w.length))
		out.Aim = append(out.Aim, rounded(l.Aim[i]/w.length))
		out.Stiffness = append(out.Stiffness, rounded(l.Stiffness[i].Estimate*w.force*w.length*w.length))
		var dev, low, high *number
		if l.Compared[i] {
			f := of(l.Deviation[i], 1)
			dev, low, high = &f.Estimate, &f.Low, &f.High
		}
		out.Deviation, out.Low, out.High = append(out.Deviation, dev), append(out.Low, low), append(out.High, high)
		if l.Strain != nil {
			out.Strain = append(out.Strain, rounded(l.Strain[i]))
		}
	}
	return out
}

// planInto adds what is to come off, and what the bow would then be.
func (a Advice) planInto(d *document, w writer) {
	for _, r := range a.Removal {
		one := removal{stretch: w.stretch(r.Side, r.From, r.To), Depth: known(r.Depth, w.length)}
		one.Stiffness, one.DepthShare = rounded(r.Stiffness()), rounded(r.DepthShare)
		if n, ok := r.Strokes.Get(); ok {
			one.Strokes = &n
		}
		d.Removal = append(d.Removal, one)
	}
	p, ok := a.Plan.Get()
	if !ok {
		return
	}
	after := p.After
	if len(a.Removal) == 0 {
		after = p.Now
	}
	d.Plan = &planned{Verdict: verdictNames[p.Verdict], Says: p.Says}
	d.Plan.After.Weight, d.Plan.After.Tiller = of(after.Weight, w.force), of(after.Tiller, w.length)
	d.Plan.After.ChanceUnder = rounded(after.ChanceUnder)
}
