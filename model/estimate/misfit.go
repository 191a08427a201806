package estimate

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// A Cause is what most likely keeps the readings of a pass from fitting the bow.
type Cause uint8

// The causes.
const (
	noCause   Cause = iota
	Support         // the tree or cradle sinks
	Draw            // all draws are read too long or too short
	Settling        // the wood gave way from pull to pull
	Direction       // the draws were come to from both sides
	ByString        // brace height or string
	ByReading       // some readings are worse than their rule or scale
)

// A Fit says how well the readings of the last pass fit the bow.
type Fit struct {
	Good bool
	// Ratio is the sum of squares of the readings' distances from the bow over what chance makes of it, of the
	// kind and pull that fit worst.
	Ratio float64
	Cause Cause
	// Size is that of the cause: how far the support sinks at 40 lb (in), how much longer the draws truly are
	// (in), the share of stiffness lost over the pass; 0 for the others.
	Size Figure
}

// Fit is how well the readings of the last pass fit the bow.
func (st State) Fit() Fit { return st.fit }

// misfit is how one group scatters: the ratio of its sum of squares to what is expected, and the chance of
// more.
func (f *fit) misfit(in func(*row) bool, cov *mat.SymDense) (ratio, chance float64) {
	var rows []int
	sum := 0.0
	for i, r := range f.m.rows {
		if !r.out && in(r) {
			rows = append(rows, i)
			sum += r.weight * r.off() * r.off()
		}
	}
	n := len(rows)
	if n == 0 {
		return 1, 1
	}
	slopes := mat.NewDense(n, len(f.z), nil)
	for k, i := range rows {
		slopes.SetRow(k, f.slopes.RawRowView(i))
	}
	var half, left mat.Dense
	half.Mul(slopes, cov)
	left.Mul(&half, slopes.T())
	left.Scale(-1, &left)
	for k, i := range rows {
		left.Set(k, k, left.At(k, k)+f.m.rows[i].weight)
	}
	mean, norm := mat.Trace(&left), mat.Norm(&left, 2)
	if mean < leastFree {
		return 1, 1
	}
	// A sum of squares of Gaussian values is about a chi-square (Satterthwaite, Biometrics Bulletin 2 (1946)
	// 110-114).
	free := mean * mean / (norm * norm)
	return sum / mean, distuv.ChiSquared{K: free}.Survival(sum / mean * free)
}

// ruled says whether a reading is taken with the rule, at a station.
func ruled(r *row) bool {
	return r.where.Kind == Line || r.where.Kind == Gap || r.where.Kind == Relaxed
}

// scatter compares how the readings by rule and block scatter with their errors. Where they scatter by more
// than chance, it takes the errors for that much greater (Birge, Phys. Rev. 40 (1932) 207-227, from memory)
// and fits again.
func (f *fit) scatter() (worst Fit, err error) {
	var cov mat.SymDense
	if f.chol.InverseTo(&cov) != nil {
		return worst, ErrUnsolved
	}
	worst, least := Fit{Good: true, Ratio: 1}, 1.0
	look := func(in func(*row) bool) (ratio, chance float64) {
		ratio, chance = f.misfit(in, &cov)
		if chance < least {
			least, worst.Ratio = chance, ratio
		}
		return ratio, chance
	}
	wide := 0
	blocked := func(r *row) bool { return r.where.Kind == Block }
	for _, in := range []func(*row) bool{ruled, blocked} {
		ratio, chance := look(in)
		if chance >= rare || ratio <= 1 {
			continue
		}
		if ratio > mostRatio {
			return worst, errContradict
		}
		wide++
		for _, r := range f.m.rows {
			if in(r) {
				r.sd *= math.Sqrt(ratio)
			}
		}
	}
	for _, h := range f.m.hangs {
		for _, g := range h.groups {
			if g.draw > 0 {
				look(func(r *row) bool { return ruled(r) && r.where.Draw == g.draw })
			}
		}
	}
	if least < rare {
		worst.Good, worst.Cause = false, ByReading
	}
	return worst, f.again(wide * widened)
}

// again fits in so many steps at most, after the errors have grown.
func (f *fit) again(steps int) error {
	for range steps {
		f.weigh()
		step, length, err := f.step()
		if err != nil || length < settled {
			return err
		}
		if f.take(step) != nil {
			return f.at(f.z)
		}
	}
	return nil
}

// score is how many standard deviations a value of the pass lies from nothing, were it nothing.
func (f *fit) score(i int) float64 {
	_, cols := f.prior.root.Dims()
	z := cols - f.m.values() + i
	c := f.cov.At(z, z)
	if c > 1-leastTold {
		return 0
	}
	return f.z[z] / math.Sqrt(c*(1-c))
}

// judge says what the settled fit is like.
func (f *fit) judge(worst Fit) Fit {
	p, s := f.peak, f.m.shared
	if len(p.far) > 0 || len(p.all) > 1 && p.all[0].chance < leastFit {
		worst.Good, worst.Cause = false, ByReading
		if p.loose() > 0.5 {
			worst.Cause = Direction
		}
	}
	for _, w := range f.wild() {
		if w.Where.Kind == Brace || w.Where.Kind == String {
			worst.Good, worst.Cause = false, ByString
		}
	}
	if s == nil {
		return worst
	}
	most := sureShift
	for _, c := range []struct {
		cause Cause
		value int
		unit  float64
		least float64
	}{{Support, s.support, sunkAt, leastSunk}, {Draw, s.offset, 1, 0}, {Settling, s.drift, 1, 0}} {
		v := f.marginal(c.value)
		if score := math.Abs(f.score(c.value)); score > most && math.Abs(v.mean*c.unit) >= c.least {
			most = score
			worst.Good, worst.Cause, worst.Size = false, c.cause, around(v.mean*c.unit, v.sd*c.unit)
		}
	}
	return worst
}
