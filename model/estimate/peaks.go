package estimate

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// A supposition is what the peaks of a pass say of the bow if some of them are wrong, or all are loose.
type supposition struct {
	wrong  []int // of the peaks
	loose  bool
	alike  bool          // all are off by the same share, too
	chance float64       // of its being so
	share  float64       // in the mix, 0 for what is unlikely
	gain   []float64     // how far the readings of all peaks move the bow
	less   *mat.SymDense // by how much they make it surer
}

// peaks are the peaks of a pass against the bow by all other readings.
type peaks struct {
	rows   []*row
	far    []*row        // peaks that are left out
	z      []float64     // the bow by the other readings
	cov    *mat.SymDense // of it
	by     *mat.Dense    // covariance of z with what is predicted of the peaks
	spread *mat.SymDense // covariance of that
	off    []float64     // the peaks less that
	all    []supposition
}

// peaks takes the peaks out of the fit, about the point last tried.
func (f *fit) peaks() (p *peaks, err error) {
	p = &peaks{}
	var all []*row
	var weights []float64
	for _, r := range f.m.rows {
		if r.where.Kind != Peak || r.out {
			continue
		}
		all, weights = append(all, r), append(weights, r.weight)
		if r.off() >= wildBound && math.Abs(r.value-r.predicted) >= farSize*r.value {
			p.far = append(p.far, r)
		}
		r.weight = 0
	}
	// More than two that are far off no supposition covers: they say nothing.
	if len(p.far) <= 2 {
		p.far = nil
	}
	if 2*len(p.far) > len(all) {
		return nil, errContradict
	}
	for _, r := range all {
		if !slices.Contains(p.far, r) {
			p.rows = append(p.rows, r)
		}
	}
	step, _, err := f.step()
	for i, r := range all {
		r.weight = weights[i]
	}
	if err != nil {
		return nil, err
	}
	p.z = floats.AddTo(make([]float64, len(step)), f.z, step)
	p.cov = &mat.SymDense{}
	if err := f.chol.InverseTo(p.cov); err != nil {
		return nil, ErrUnsolved
	}
	p.against(f, step)
	return p, nil
}

// against fills in the peaks less what the fit without them predicts, a step from the point last tried, and
// how that covaries.
func (p *peaks) against(f *fit, step []float64) {
	n := len(p.rows)
	if n == 0 {
		return
	}
	slopes := mat.NewDense(n, len(f.z), nil)
	for i, r := range p.rows {
		slopes.SetRow(i, f.prior.spread(r.slope))
		p.off = append(p.off, r.value-r.predicted-floats.Dot(slopes.RawRowView(i), step))
	}
	p.by, p.spread = &mat.Dense{}, mat.NewSymDense(n, nil)
	p.by.Mul(p.cov, slopes.T())
	var both mat.Dense
	both.Mul(slopes, p.by)
	for i := range n {
		for j := i; j < n; j++ {
			p.spread.SetSym(i, j, both.At(i, j))
		}
	}
}

// suppose weighs all that may be the matter. A first peak nothing can gainsay; before says that there were
// others.
func (p *peaks) suppose(before bool) {
	n := len(p.rows)
	if p.all = nil; n == 0 {
		return
	}
	p.add(supposition{chance: math.Log(1 - looseShare)})
	if n == 1 && !before {
		p.all[0].chance, p.all[0].share = 1, 1
		return
	}
	if n > 1 {
		p.add(supposition{chance: math.Log(looseShare), loose: true, alike: true})
	}
	wrong := math.Log(wrongShare / float64(max(n, fewPeaks-1)))
	for i := range n {
		p.add(supposition{chance: wrong, wrong: []int{i}, alike: true})
		for j := range i {
			if n > 2 && n <= mostPeaks {
				p.add(supposition{chance: 2 * wrong, wrong: []int{j, i}, alike: true})
			}
		}
	}
	var logs []float64
	for _, s := range p.all {
		logs = append(logs, s.chance)
	}
	whole, sum := floats.LogSumExp(logs), 0.0
	for i := range p.all {
		s := &p.all[i]
		s.chance = math.Exp(logs[i] - whole)
		if s.chance >= leastDoubt*p.all[0].chance {
			s.share = s.chance
		}
		sum += s.share
	}
	for i := range p.all {
		p.all[i].share /= sum
	}
}

// add works a supposition out; its chance is the logarithm of that before the readings, and then of both.
func (p *peaks) add(s supposition) {
	n := len(p.rows)
	seen, told := mat.NewSymDense(n, nil), mat.NewSymDense(n, nil)
	seen.CopySym(p.spread)
	told.CopySym(p.spread)
	for i, r := range p.rows {
		sd, heard := r.sd, r.sd
		switch {
		case slices.Contains(s.wrong, i):
			sd, heard = math.Hypot(sd, wrongSize*r.value), blind*sd
		case s.loose:
			sd = math.Hypot(sd, looseSize*r.value)
			heard = sd
		}
		addTo(seen, i, i, sd*sd)
		addTo(told, i, i, heard*heard)
		for j := range i + 1 {
			if s.alike {
				share := commonSize * commonSize * r.value * p.rows[j].value
				addTo(seen, j, i, share)
				addTo(told, j, i, share)
			}
		}
	}
	var chol mat.Cholesky
	var out mat.VecDense
	off := mat.NewVecDense(n, p.off)
	if !chol.Factorize(seen) || chol.SolveVecTo(&out, off) != nil {
		return
	}
	s.chance -= (chol.LogDet() + mat.Dot(off, &out)) / 2
	s.less = &mat.SymDense{}
	if !chol.Factorize(told) || chol.SolveVecTo(&out, off) != nil || chol.InverseTo(s.less) != nil {
		return
	}
	s.gain = slices.Clone(out.RawVector().Data)
	p.all = append(p.all, s)
}

// mixed is the bow by all suppositions together, with their mean and covariance.
func (p *peaks) mixed(all []supposition) (z []float64, cov *mat.SymDense) {
	n := len(p.rows)
	if n == 0 || len(all) == 0 {
		return p.z, p.cov
	}
	mean := make([]float64, n)
	for _, s := range all {
		floats.AddScaled(mean, s.share, s.gain)
	}
	less := mat.NewSymDense(n, nil)
	for _, s := range all {
		apart := floats.SubTo(make([]float64, n), s.gain, mean)
		var own mat.SymDense
		own.ScaleSym(s.share, s.less)
		less.AddSym(less, &own)
		less.SymRankOne(less, -s.share, mat.NewVecDense(n, apart))
	}
	if len(all) > 1 && n < fewPeaks {
		p.jackknife(less)
	}
	z = floats.AddTo(make([]float64, len(p.z)), p.z, product(p.by, mean))
	var half, whole mat.Dense
	half.Mul(p.by, less)
	whole.Mul(&half, p.by.T())
	cov = mat.NewSymDense(len(z), nil)
	for i := range z {
		for j := i; j < len(z); j++ {
			cov.SetSym(i, j, p.cov.At(i, j)-(whole.At(i, j)+whole.At(j, i))/2)
		}
	}
	return z, cov
}

// jackknife widens the bow by how far it moves as each single peak is left out, as far as nothing says which
// is wrong (Tukey's jackknife: Efron, Ann. Statist. 7 (1979) 1-26).
func (p *peaks) jackknife(less *mat.SymDense) {
	n := len(p.rows)
	size := float64(n)
	mean := make([]float64, n)
	var left [][]float64
	for _, s := range p.all {
		if len(s.wrong) == 1 {
			left = append(left, s.gain)
			floats.AddScaled(mean, 1/size, s.gain)
		}
	}
	open := p.all[0].chance + p.loose()
	for _, gain := range left {
		apart := floats.SubTo(make([]float64, n), gain, mean)
		less.SymRankOne(less, -open*(size-1)/size, mat.NewVecDense(n, apart))
	}
}

// without is the bow as if one peak had not been read.
func (p *peaks) without(i int) (z []float64, cov *mat.SymDense, ok bool) {
	only := peaks{rows: p.rows, spread: p.spread, off: p.off}
	only.add(supposition{wrong: []int{i}})
	if len(only.all) == 0 {
		return nil, nil, false
	}
	only.all[0].share = 1
	z, cov = p.mixed(only.all)
	return z, cov, true
}

// chance is that of the suppositions of some sort.
func (p *peaks) chance(of func(supposition) bool) (chance float64) {
	for _, s := range p.all {
		if of(s) {
			chance += s.chance
		}
	}
	return chance
}

// wrong is how likely a peak is wrong, loose how likely all are loose.
func (p *peaks) wrong(i int) float64 {
	return p.chance(func(s supposition) bool { return slices.Contains(s.wrong, i) })
}

func (p *peaks) loose() float64 { return p.chance(func(s supposition) bool { return s.loose }) }

// expected is a peak by all the others, with the standard deviation of its distance from that.
func (p *peaks) expected(f *fit, i int) (value, sd float64) {
	z, cov, ok := p.without(i)
	r := p.rows[i]
	if !ok {
		return r.predicted, r.sd
	}
	slope := f.prior.spread(r.slope)
	value = r.predicted + floats.Dot(slope, z) - floats.Dot(slope, f.z)
	return value, math.Hypot(r.sd, math.Sqrt(max(floats.Dot(slope, product(cov, slope)), 0)))
}
