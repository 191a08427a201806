package verdict

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/model/wood"
)

// WhatIf asks what a bow would be after a change, drawn to a draw (in).
type WhatIf struct {
	estimate.Change
	Draw float64
	each float64 // off each nock (in)
}

// Would is what a bow would be at a draw. Ranges are 90%.
type Would struct {
	estimate.Evenness
	State  estimate.State
	Brace  float64                   // height (in)
	String estimate.Figure           // the length of the string that braces it so high (in)
	Strain measure.Optional[float64] // fraction, of the surface at the worst place; known where thickness is
}

// Would is what the bow would be after a change; after the zero one, what it is. The error says in plain
// words why it can't be.
func (a Advice) Would(w WhatIf) (o Would, err error) {
	if o.State, err = a.state.With(w.Change); err != nil {
		return o, sayWhy(err)
	}
	draw, at := cmp.Or(w.Draw, a.Draw), everyInch(o.State.Bow())
	o.Evenness, err = o.State.Evenness(draw, a.Aim, at, min(a.aimPlace(), float64(shorter(a.Bow))))
	if err != nil {
		return o, sayWhy(err)
	}
	o.Brace = o.State.Brace()
	for _, side := range model.Sides {
		if strains := o.State.Strains(side, o.Limbs[side]); len(strains) > 0 {
			o.Strain = measure.Some(max(o.Strain.Or(0), slices.Max(strains)))
		}
	}
	o.String, err = a.stringFor(o.State, o.Brace)
	return o, sayWhy(err)
}

// sayWhy puts an error of the solver in plain words.
func sayWhy(err error) error {
	if errors.Is(err, estimate.ErrDraw) || errors.Is(err, estimate.ErrUnsolved) {
		return errors.New("it can't be braced or drawn so")
	}
	if errors.Is(err, estimate.ErrInput) {
		return errors.New("no bow is left so: try a smaller change")
	}
	return err
}

// An Ask is one thing that can be asked of a bow.
type Ask struct {
	Name  string // a word, for the command line
	Label string // for the screen
	Hint  string
	set   func(a Advice, w *WhatIf, text string) error
}

// Asks are all, in the order in which they are offered.
func Asks() []Ask {
	length := func(name, label, hint string, at func(*WhatIf) *float64) Ask {
		return Ask{name, label, hint, func(a Advice, w *WhatIf, text string) (err error) {
			*at(w), err = a.lengthOf(text)
			return err
		}}
	}
	all := []Ask{
		length("shorten", "off each end", "off each nock, such as 3/4",
			func(w *WhatIf) *float64 { return &w.each }),
		length("draw", "draw", "from the belly, such as 27", func(w *WhatIf) *float64 { return &w.Draw }),
		length("brace", "brace", "brace height, such as 6 1/2", func(w *WhatIf) *float64 { return &w.Brace }),
		length("string", "string", "length loop to loop, such as 69 1/2",
			func(w *WhatIf) *float64 { return &w.String }),
	}
	for _, sides := range []bool{false, true} {
		name, face, hint := "strip", "belly", "where and how much comes off: 18-24 1/64, or 18-24 3%"
		if sides {
			name, face, hint = "sides", "sides", "where and how much of the width: 18-24 1/16, or 18-24 3%"
		}
		for _, side := range model.Sides {
			all = append(all, Ask{name + "-" + side.String(), side.String() + " " + face, hint,
				func(a Advice, w *WhatIf, text string) error { return a.thin(w, side, sides, text) }})
		}
	}
	return append(all,
		length("follow", "follow", "nocks that follow the string more, such as 1, or -1 for set back",
			func(w *WhatIf) *float64 { return &w.Follow }),
		length("hook", "hook up", "hook higher up the string, such as 3/4",
			func(w *WhatIf) *float64 { return &w.Hook }),
		length("nocks", "horn nocks", "how far horn nocks reach, such as 1 1/2",
			func(w *WhatIf) *float64 { return &w.Nocks }),
		Ask{"damp", "damp, %", "the moisture that the wood would have, such as 13", Advice.damp},
		Ask{"warmth", "warmth", "the temperature of the air, such as 40", Advice.warm},
		Ask{"hinge", "to the hinge", "1 brings all else down to the weakest place", Advice.toHinge},
	)
}

// Asked is a what-if of answers by name. The error names the answer that can't be.
func (a Advice) Asked(answers map[string]string) (w WhatIf, err error) {
	for _, ask := range Asks() {
		if text := strings.TrimSpace(answers[ask.Name]); text != "" {
			if err := ask.set(a, &w, text); err != nil {
				return w, fmt.Errorf("%s: %w", ask.Label, err)
			}
		}
	}
	w.Shorten = [2]float64{w.each, w.each}
	if w.Brace > 0 && w.String > 0 {
		return w, errors.New("type a brace height or a string: each follows from the other")
	}
	return w, nil
}

func (a Advice) lengthOf(text string) (float64, error) {
	l, err := a.Bow.ParseLength(strings.TrimPrefix(text, "-"))
	if strings.HasPrefix(text, "-") {
		l = -l
	}
	return float64(l), err
}

// thin reads a stretch and what comes off it: 18-24 1/64, or 18-24 3%. Several stand behind semicolons.
func (a Advice) thin(w *WhatIf, side model.Side, sides bool, text string) error {
	for one := range strings.SplitSeq(text, ";") {
		place, off, _ := strings.Cut(strings.TrimSpace(one), " ")
		from, to, _ := strings.Cut(place, "-")
		t := estimate.Thin{Stretch: estimate.Stretch{Side: side}}
		var errs [3]error
		t.From, errs[0] = a.lengthOf(from)
		t.To, errs[1] = a.lengthOf(to)
		share := 0.0
		if number, isShare := strings.CutSuffix(off, "%"); isShare {
			share, errs[2] = strconv.ParseFloat(number, 64)
			share /= 100
		} else if share, errs[2] = a.lengthOf(off); errs[2] == nil {
			size, known := a.state.Bow().Size(side, (t.From+t.To)/2)
			if sides && !known {
				return errors.New("its width wasn't measured: type a share, such as 18-24 3%")
			}
			if share /= size.Depth; sides {
				share *= size.Depth / size.Width
			}
		}
		limb := float64(a.Bow.Limbs[side].Length)
		if errors.Join(errs[:]...) != nil || !(t.From < t.To && t.To <= limb && share > 0 && share < 0.5) {
			return fmt.Errorf("%q isn't a stretch and what comes off. Type 18-24 1/64", one)
		}
		if t.Depth = share; sides {
			t.Depth, t.Width = 0, share
		}
		w.Thin = append(w.Thin, t)
	}
	return nil
}

// usualMoisture is that of wood in a shop where nobody measured it (common practice).
const usualMoisture = 0.09

// damp changes the stiffness to that at another moisture (percent).
func (a Advice) damp(w *WhatIf, text string) error {
	percent, err := strconv.ParseFloat(strings.TrimSuffix(text, "%"), 64)
	if err != nil || !(percent >= 0 && percent <= 30) {
		return fmt.Errorf("%q isn't a moisture. Type one from 0 to 30, such as 13", text)
	}
	kind, _ := wood.Find(a.Bow.Wood)
	now, known := kind.ModulusAt(a.story.Weather().Shop.Or(usualMoisture))
	then, also := kind.ModulusAt(percent / 100)
	if !known || !also {
		return errors.New("no figures say how this wood bends when damp")
	}
	w.Stiffer += math.Log(then / now)
	return nil
}

// warm changes the stiffness to that at another temperature (°F, or °C by the bow's units).
func (a Advice) warm(w *WhatIf, text string) error {
	degrees, err := strconv.ParseFloat(strings.TrimRight(strings.ToUpper(text), "°FC "), 64)
	if a.Bow.WarmthUnit() == "C" {
		degrees = 1.8*degrees + 32
	}
	if err != nil || !(degrees >= 15 && degrees <= 150) {
		return fmt.Errorf("%q isn't a temperature. Type one such as 40", text)
	}
	now := 1.8*a.story.Weather().Celsius.Or(usualCelsius) + 32
	w.Stiffer += math.Log(wood.Warm(degrees) / wood.Warm(now))
	return nil
}

// usualCelsius is the air of a shop in which nobody measured it (common practice).
const usualCelsius = 20

func (a Advice) toHinge(w *WhatIf, _ string) error {
	weak := slices.DeleteFunc(slices.Clone(a.Findings), func(f finding) bool { return !f.Hinge })
	if len(weak) == 0 {
		return errors.New("no weak place shows")
	}
	f := slices.MaxFunc(weak, func(a, b finding) int {
		return cmp.Compare(a.Deviation.Estimate, b.Deviation.Estimate)
	})
	off, far := a.state.Bow().DepthShare(math.Log1p(f.Deviation.Estimate)), float64(a.Bow.Length())
	for _, s := range []estimate.Stretch{{Side: f.Side, From: -1, To: f.From},
		{Side: f.Side, From: f.To, To: far}, {Side: f.Side.Other(), From: -1, To: far}} {
		w.Thin = append(w.Thin, estimate.Thin{Stretch: s, Depth: off})
	}
	return nil
}

// SayWould tells what the bow is beside what it would be: a name and two figures a line.
func (a Advice) SayWould(now, then Would) [][]string {
	per, unit := energyUnit(a.Bow)
	line := func(name string, say func(Would) string) []string { return []string{name, say(now), say(then)} }
	uneven := func(side model.Side) []string {
		return line("uneven, "+side.String(), func(o Would) string {
			return SayRange(o.Uneven[side], func(v float64) string { return fmt.Sprintf("%.0f", 100*max(v, 0)) }, "%")
		})
	}
	lines := [][]string{
		line("draw", func(o Would) string { return a.short(o.Weight.Draw) }),
		line("weight", func(o Would) string { return a.figure(o.Weight.Force) }),
		line("stores", func(o Would) string {
			return SayRange(o.Weight.Energy, func(v float64) string { return fmt.Sprintf("%.1f", v*per) }, " "+unit)
		}),
		line("tiller at "+a.short(a.aimPlace()), func(o Would) string { return SayRange(o.Tiller, a.signed, "") }),
		uneven(model.Lower), uneven(model.Upper),
		line("brace height", func(o Would) string { return a.bare(o.Brace) }),
		line("string", func(o Would) string { return SayRange(o.String, a.bare, "") }),
	}
	if now.Strain.Known() {
		strain := func(o Would) string { return fmt.Sprintf("%.2f%%", 100*o.Strain.Or(0)) }
		lines = append(lines, line("strain", strain))
	}
	return lines
}

// SayRange prints a figure with its range: 46.0 lb (45.2–46.8); a dash for none.
func SayRange(f estimate.Figure, print func(float64) string, unit string) string {
	if f == (estimate.Figure{}) {
		return "-"
	}
	between := print(f.Low) + "–" + print(f.High)
	if strings.ContainsAny(between, "+−-") {
		between = print(f.Low) + " to " + print(f.High)
	}
	return fmt.Sprintf("%s%s (%s)", print(f.Estimate), unit, between)
}

// SayStrain warns of what a change strains more; "" where it doesn't.
func (a Advice) SayStrain(w WhatIf, now, then Would) string {
	limit, strain := a.strainLimit(), then.Strain.Or(0)
	switch {
	case limit > 0 && strain > limit:
		return fmt.Sprintf("It strains the surface by %.2f%%: more than this wood should stand.", 100*strain)
	case w.Shorten != [2]float64{} && then.Strain.Known():
		return fmt.Sprintf("A shorter bow strains more: %.2f%% against %.2f%%.", 100*strain, 100*now.Strain.Or(0))
	case w.Shorten != [2]float64{}:
		return "A shorter bow strains more."
	}
	return ""
}

// mostSteps of 1/4 in, or 5 mm, off each end is the most that a verdict shortens a bow by.
const mostSteps = 8

// sayShortening: shorten it by 3/4 in each end: 40.3 lb (39.4–41.2). A shorter bow strains more. "" where so
// little doesn't do.
func (m *moment) sayShortening() string {
	each := func(steps int) WhatIf {
		off := float64(steps) * either(m.Bow, 0.25, 0.5)
		return WhatIf{Change: estimate.Change{Shorten: [2]float64{off, off}}, Draw: m.wanted.Draw}
	}
	steps := 1 + sort.Search(mostSteps, func(i int) bool {
		after, err := m.state.With(each(i + 1).Change)
		f, _ := after.Forecast(m.wanted.Draw)
		return err == nil && len(f) > 0 && f[0].Force.Estimate >= m.wanted.Weight
	})
	now, err := m.Would(each(0))
	then, failed := m.Would(each(steps))
	if err != nil || failed != nil || steps > mostSteps {
		return ""
	}
	return fmt.Sprintf("shorten it by %s in each end: %s. %s", m.bare(each(steps).Shorten[0]),
		m.figure(then.Weight.Force), m.SayStrain(each(steps), now, then))
}
