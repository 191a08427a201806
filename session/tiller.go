package session

import (
	"cmp"
	"math"
	"slices"

	"bendbook/model"
	"bendbook/model/measure"
)

// Gap is the difference between the limbs at one station that both have.
type Gap struct {
	At         measure.Length
	Difference measure.Length // upper less lower
}

// Tiller is the difference between the limbs of the braced bow, by gaps to the string.
type Tiller struct {
	Pass int
	Gaps []Gap // by station, from the handle out
	// Aim is the difference wanted at AimAt, where the bow's description names one.
	Aim   measure.Optional[measure.Length]
	AimAt measure.Length
}

// OffAim is the measured difference at the aim's station less the aim; ok is false where either is missing.
func (t Tiller) OffAim() (off measure.Length, ok bool) {
	aim, known := t.Aim.Get()
	gap, read := t.AtAim()
	return gap.Difference - aim, known && read
}

// AtAim is the gap at the aim's station; ok is false where it was not read on both limbs.
func (t Tiller) AtAim() (gap Gap, ok bool) {
	if i := slices.IndexFunc(t.Gaps, func(g Gap) bool { return SameStation(g.At, t.AimAt) }); i >= 0 {
		return t.Gaps[i], true
	}
	return Gap{}, false
}

// TillerOf is the tiller of the last braced reading to the string in a pass up to pass number upTo.
func (s Story) TillerOf(upTo int) (tiller Tiller, ok bool) {
	for n, pass := range slices.Backward(s.Passes[:min(upTo+1, len(s.Passes))]) {
		for _, r := range slices.Backward(pass.readings) {
			if r.pose.Kind == model.KindBraced && r.pose.From == model.FromString {
				tiller = TillerIn(s.Bow(), r.rows)
				tiller.Pass = n
				return tiller, len(tiller.Gaps) > 0
			}
		}
	}
	return Tiller{}, false
}

// TillerIn is the tiller that one braced reading to the string shows, against the bow's aim.
func TillerIn(bow model.Bow, rows model.Readings) Tiller {
	t := Tiller{Aim: bow.Aim.Tiller, AimAt: TillerAt(bow)}
	for _, place := range Stations(bow) {
		if difference, known := place.Difference(rows).Get(); known {
			t.Gaps = append(t.Gaps, Gap{At: place.At, Difference: difference})
		}
	}
	return t
}

// TillerAt is where the difference between the limbs is wanted: by the aim, or by common practice at 8 in or
// the station of both limbs that is nearest to it.
func TillerAt(bow model.Bow) measure.Length {
	const usual measure.Length = 8
	if at, known := bow.Aim.TillerAt.Get(); known {
		return at
	}
	nearest, best := usual, measure.Length(1)
	for _, place := range Stations(bow) {
		off := max(place.At-usual, usual-place.At)
		if place.Index[model.Upper] >= 0 && place.Index[model.Lower] >= 0 && off < best {
			nearest, best = place.At, off
		}
	}
	return nearest
}

// SameStation says whether two distances from the root are those of one pencil mark.
func SameStation(a, b measure.Length) bool { return math.Abs(float64(a-b)) < 1.0/32 }

// Station is a place that at least one limb is read at.
type Station struct {
	At    measure.Length
	Index [2]int // its index among the stations of each Side; -1 where that limb has none there
}

// Difference is the upper limb's reading less the lower limb's; unread unless both were read here.
func (s Station) Difference(rows model.Readings) measure.Optional[measure.Length] {
	upper, upperKnown := rows.At(model.Upper, s.Index[model.Upper]).Get()
	lower, lowerKnown := rows.At(model.Lower, s.Index[model.Lower]).Get()
	if !upperKnown || !lowerKnown {
		return measure.Optional[measure.Length]{}
	}
	return measure.Some(upper - lower)
}

// Stations are the places of both limbs together, from the handle out.
func Stations(bow model.Bow) []Station {
	var all []Station
	for i, at := range bow.Limbs[model.Upper].Stations {
		all = append(all, Station{at, [2]int{i, -1}})
	}
	for j, at := range bow.Limbs[model.Lower].Stations {
		i := slices.IndexFunc(all, func(s Station) bool {
			return SameStation(s.At, at) && s.Index[model.Lower] < 0
		})
		if i < 0 {
			all, i = append(all, Station{at, [2]int{-1, -1}}), len(all)
		}
		all[i].Index[model.Lower] = j
	}
	slices.SortStableFunc(all, func(s, t Station) int { return cmp.Compare(s.At, t.At) })
	return all
}
