package verdict

import (
	"math"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
)

// Format and Version stand at the head of each document.
const (
	Format  = "bendbook/advice"
	Version = 1
)

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

type weight struct {
	Draw number `json:"draw"`
	figure
	Wanted *number `json:"wanted"`
	Energy figure  `json:"energy"`
}

type point struct {
	Draw number `json:"draw"`
	figure
}

type nextPull struct {
	Draw number `json:"draw"`
	figure
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
	Kind      string `json:"kind"`
	Limb      string `json:"limb"`
	From      number `json:"from"`
	To        number `json:"to"`
	Deviation number `json:"deviation"`
	Low       number `json:"low"`
	High      number `json:"high"`
	Chance    number `json:"chance"`
	Says      string `json:"says"`
}

type unsure struct {
	Limb        string `json:"limb"`
	From        number `json:"from"`
	To          number `json:"to"`
	WouldSettle string `json:"would_settle"`
}

type wild struct {
	Reading  string `json:"reading"`
	Off      number `json:"off"`
	Value    number `json:"value"`
	Expected number `json:"expected"`
}

// number is a figure as the document writes it: to seven significant digits, which is beyond what anything here is good for and
// hides the last bits of the arithmetic.
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

// A writer turns inches and pounds-force into the document's units.
type writer struct{ length, force float64 }

func newWriter(u measure.Units) writer {
	return writer{length: u.Length.PerInch(), force: u.Force.PerPound()}
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

// document is the advice in its bow's units.
func (a Advice) document() document {
	w := newWriter(a.Bow.Units)
	d := document{
		Format: Format, Version: Version, Units: a.Bow.Units, Pass: a.Pass, Cautions: append([]string{}, a.Cautions...),
		Curve: []point{}, Tillers: []tiller{}, Findings: []finding{}, Removal: []removal{}, CameOff: []cameOff{}, Done: a.Done, Unsure: []unsure{}, Wild: []wild{},
		Limbs: map[string]limb{},
	}
	if f, ok := a.Weight.Get(); ok {
		d.Weight = &weight{Draw: rounded(f.Draw * w.length), figure: of(f.Force, w.force), Wanted: known(a.Wanted, w.force), Energy: of(f.Energy, w.force*w.length)}
	}
	for _, f := range a.Curve {
		d.Curve = append(d.Curve, point{rounded(f.Draw * w.length), of(f.Force, w.force)})
	}
	if n, ok := a.Next.Get(); ok {
		d.Next = &nextPull{Draw: rounded(n.Draw * w.length), figure: of(n.Force, w.force), StopAt: known(n.StopAt, w.force), Because: n.Because}
		if n.Strain > 0 {
			strain := rounded(n.Strain)
			d.Next.Strain = &strain
		}
	}
	for _, t := range a.Tiller {
		one := tiller{rounded(t.At * w.length), of(t.Expected, w.length), known(t.Measured, w.length), known(t.Aim, w.length)}
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
		d.Findings = append(d.Findings, finding{
			Kind: kind, Limb: f.Side.String(), From: rounded(f.From * w.length), To: rounded(f.To * w.length),
			Deviation: rounded(f.Deviation.Estimate), Low: rounded(f.Deviation.Low), High: rounded(f.Deviation.High),
			Chance: rounded(f.Chance), Says: f.Says,
		})
	}
	for _, u := range a.Unsure {
		d.Unsure = append(d.Unsure, unsure{u.Side.String(), rounded(u.From * w.length), rounded(u.To * w.length), u.WouldSettle})
	}
	for _, x := range a.Wild {
		unit := w.length
		if x.Where.Kind == estimate.Peak {
			unit = w.force
		}
		d.Wild = append(d.Wild, wild{x.Says, rounded(x.Off), rounded(x.Value * unit), rounded(x.Expected * unit)})
	}
}

func (w writer) limb(l Limb) limb {
	out := limb{At: []number{}, Bend: []number{}, Aim: []number{}, Deviation: []*number{}, Low: []*number{}, High: []*number{}, Stiffness: []number{}}
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
