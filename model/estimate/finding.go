package estimate

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"bendbook/model"
)

// A Finding is a place where a limb does not bend as the rest of it does.
type Finding struct {
	Side     model.Side
	Hinge    bool    // it bends too much there, else too little: a flat spot
	From, To float64 // from the root (in)
	// Deviation is how much more than the aim it bends, as a fraction: the mean of [Bending.Deviation] there.
	Deviation Figure
	// Chance is that of its truly being off that way by more than a third of leastSize, against the rest.
	Chance float64
}

// Findings are the flat spots and hinges of both limbs at a draw (in), the surest first on each limb.
//
// For each place and width it weighs the readings' likelihood with a local step there against that without,
// for limbs from smooth to rough. The chance is a mean over all of these, so that a place is reported only
// where no rough limb without a flat explains the readings as well; of places that overlap, the likeliest for
// what the curve shows there. The error wraps [ErrUnsolved] or [ErrDraw].
func (st State) Findings(draw float64, a Aim) (all []Finding, err error) {
	even, err := st.even(draw, a)
	if err != nil {
		return nil, err
	}
	course, err := st.course(draw, a, [2][]float64{})
	if err != nil {
		return nil, err
	}
	data, ok := st.likelihood()
	if !ok {
		return nil, nil
	}
	var found [2][]candidate
	bow := st.supposed(data, even, found)
	for _, side := range model.Sides {
		candidates := st.candidates(side, a)
		for len(candidates) > 0 && len(found[side]) < mostFindings {
			views := st.views(bow, even[side], side, candidates)
			best, at, ok := st.surestOf(side, &course[side], views, candidates, found[side])
			if !ok {
				break
			}
			all, found[side] = append(all, best), append(found[side], at)
			bow = st.supposed(data, even, found)
		}
	}
	return all, nil
}

// even is the log stiffness at the knots of both limbs with which they would bend by the aim.
func (st State) even(draw float64, a Aim) ([2][]float64, error) {
	var at, even [2][]float64
	for s, knots := range st.frame.knots {
		// At the nock itself there is neither bend nor aim.
		at[s] = append(at[s], knots...)
		at[s][knotsPerLimb-1] = 0.99 * st.bow.Limbs[s].Length
	}
	c, err := st.course(draw, a, at)
	if err != nil {
		return even, err
	}
	for _, side := range model.Sides {
		l := &c[side]
		for i, stiff := range st.frame.stiffnesses(side, st.g.mean) {
			even[side] = append(even[side], stiff+math.Log(max(l.bend[i], 1e-6)/l.aim[i]))
		}
	}
	return even, nil
}

// surestOf is the place to report next that was not found before; ok is false where there is none.
func (st State) surestOf(side model.Side, course *limbCourse, views []view, candidates, found []candidate) (
	best Finding, at candidate, ok bool,
) {
	plain := 0.0
	for _, v := range views {
		plain += v.weight * v.plain
	}
	least := leastChance
	if plain > mostPlain {
		least = leastAlone
	}
	most := 0.0
	for i, m := range candidates {
		if slices.ContainsFunc(found, m.near) {
			continue
		}
		f, likely := judge(views, i, side, m)
		if !likely || f.Chance < least {
			continue
		}
		f.Deviation = course.mean(st.g, m.from, m.to)
		ratio := 0.0
		for _, v := range views {
			ratio += v.weight * v.places[i].weight
		}
		if ratio *= f.Deviation.Estimate * f.Deviation.Estimate; f.shown() && ratio > most {
			best, at, most, ok = f, m, ratio, true
		}
	}
	return best, at, ok
}

func (m candidate) near(other candidate) bool {
	return m.from < other.to+foundGap && other.from < m.to+foundGap
}

// shown says that the curve bends there as the finding says.
func (f Finding) shown() bool {
	if f.Hinge {
		return f.Deviation.Estimate >= leastShown
	}
	return f.Deviation.Estimate <= -leastShown
}

// judge is the finding at one candidate but for its deviation, and whether it is likely. Its chance is over
// steps anywhere, its kind and size over steps just there.
func judge(views []view, i int, side model.Side, m candidate) (f Finding, likely bool) {
	mean, sum, blur := 0.0, 0.0, 0.0
	for _, v := range views {
		p := v.places[i]
		blur += v.weight * p.riseVar
		sum += v.weight * p.weight
		mean += v.weight * p.weight * (p.over + v.carried.At(i, i)*p.rise)
	}
	if sum == 0 || blur > mostBlur*mostBlur {
		return f, false
	}
	size := math.Expm1(-mean / sum) // bend falls as stiffness rises
	if math.Abs(size) < leastSize {
		return f, false
	}
	f = Finding{Side: side, Hinge: size > 0, From: m.from, To: m.to}
	sign, bound := 1.0, -math.Log1p(-leastSize/3)
	if f.Hinge {
		sign, bound = -1, math.Log1p(leastSize/3)
	}
	add := func(weight, at, variance float64) {
		f.Chance += weight * distuv.UnitNormal.CDF((sign*at-bound)/math.Sqrt(variance))
	}
	for _, v := range views {
		p := v.places[i]
		add(v.weight*v.plain, p.over, p.overVar)
		for j, q := range v.places {
			if i == j || q.weight*v.weight > tooLittle {
				c := v.carried.At(i, j)
				add(v.weight*q.weight, p.over+c*q.rise, p.overVar+c*c*q.riseVar)
			}
		}
	}
	doubt := min(max(math.Sqrt(blur)/trustedBlur, 1), mostDoubt)
	f.Chance = max(surest*(1-doubt*(1-f.Chance)), 0)
	return f, true
}
