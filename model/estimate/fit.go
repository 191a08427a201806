package estimate

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"bendbook/model"
)

// A fit is one update. Values are x = mean + root·z of the prior, so that z begins as the unit Gaussian.
type fit struct {
	m      *predictor
	prior  gaussian // of the lasting values and then of those of the pass alone
	z, x   []float64
	stage  int
	failed int           // tries that led to no bow
	slopes *mat.Dense    // by row, by z, each over the reading's standard deviation
	chol   mat.Cholesky  // of the information of z
	peak   *peaks        // once settled
	cov    *mat.SymDense // of z, once settled
}

func newFit(g gaussian, m *predictor) *fit {
	core, cols := g.root.Dims()
	width := cols + len(m.extras)
	prior := g.grown(len(m.extras), len(m.extras))
	for i, e := range m.extras {
		prior.mean = append(prior.mean, e.mean)
		prior.root.Set(core+i, cols+i, e.sd)
	}
	return &fit{m: m, prior: prior, z: make([]float64, width), x: make([]float64, m.values()),
		slopes: mat.NewDense(len(m.rows), width, nil)}
}

// at sets the values for z and predicts the readings from them.
func (f *fit) at(z []float64) error {
	f.set(z)
	return f.m.try(f.x)
}

// set sets the values for z.
func (f *fit) set(z []float64) {
	for i := range f.x {
		f.x[i] = f.prior.mean[i] + floats.Dot(f.prior.root.RawRowView(i), z)
	}
}

// run goes from the prior to the answer. The error wraps [ErrUnsolved].
func (f *fit) run() error {
	if err := f.at(f.z); err != nil {
		return err
	}
	f.rescale()
	stuck := 0
	for range mostSteps {
		f.weigh()
		step, length, err := f.step()
		if err != nil {
			return err
		}
		if err := f.take(step); err != nil {
			// Where the readings lead to no bow, the wild ones among them may be left out at once.
			if stuck++; stuck > 1 || f.at(f.z) != nil {
				return err
			}
			f.stage = closing
			continue
		}
		if f.stage == closing && length < settled {
			break
		}
		if f.stage == middle || f.stage == opening && length < near {
			f.stage++
		}
	}
	f.weigh()
	if _, _, err := f.step(); err != nil {
		return err
	}
	if !f.believed() {
		return errContradict
	}
	return nil
}

var errContradict = fmt.Errorf("most of the readings contradict one another: %w", ErrUnsolved)

// believed says whether at least half of the readings agree with the answer.
func (f *fit) believed() bool {
	count, good := 0, 0
	for _, r := range f.m.rows {
		if !r.out {
			count++
			if r.weight > 0.5 {
				good++
			}
		}
	}
	return 2*good >= count
}

// rescale begins with the whole bow stronger or weaker as its peaks say: the force is proportional to the
// stiffness. It only moves the point where the steps start.
func (f *fit) rescale() {
	var logs []float64
	for _, r := range f.m.rows {
		if r.where.Kind == Peak && !r.out && r.predicted > 0 && r.value > 0 {
			logs = append(logs, math.Log(r.value/r.predicted))
		}
	}
	if len(logs) == 0 || math.Abs(median(logs)) < leastRescale {
		return
	}
	// The least z that lifts the mean of log stiffness by that: along the level of the prior.
	target := make([]float64, len(f.x))
	for _, s := range model.Sides {
		floats.AddConst(1.0/(2*knotsPerLimb), f.m.frame.stiffnesses(s, target))
	}
	z := f.prior.spread(target)
	floats.Scale(median(logs)/floats.Dot(z, z), z)
	if f.at(z) == nil {
		f.z = z
	} else {
		_ = f.at(f.z)
	}
}

// step is the next step in z and the square of its length in standard deviations of the answer.
func (f *fit) step() (step []float64, length float64, err error) {
	n := len(f.z)
	rhs := make([]float64, n)
	for i, r := range f.m.rows {
		out := f.slopes.RawRowView(i)
		clear(out)
		if r.out || r.weight == 0 {
			continue
		}
		by := math.Sqrt(r.weight) / r.sd
		floats.AddScaled(out, by, f.prior.spread(r.slope))
		floats.AddScaled(rhs, (r.value-r.predicted)*by, out)
	}
	floats.Sub(rhs, f.z)
	information := mat.NewSymDense(n, nil)
	information.SymOuterK(1, f.slopes.T())
	for i := range n {
		addTo(information, i, i, 1)
	}
	var out mat.VecDense
	if !f.chol.Factorize(information) || f.chol.SolveVecTo(&out, mat.NewVecDense(n, rhs)) != nil {
		return nil, 0, ErrUnsolved
	}
	step = out.RawVector().Data
	return step, floats.Dot(step, rhs), nil
}

// take goes along a step, shorter where the bow could not be strung there or the fit would be worse.
func (f *fit) take(step []float64) (err error) {
	before := f.cost(f.z)
	z := make([]float64, len(f.z))
	share := 1.0
	for range 6 {
		err = f.at(floats.AddScaledTo(z, f.z, share, step))
		if err == nil && f.cost(z) <= before*(1+1e-6)+1e-3 {
			break
		}
		if err != nil {
			if f.failed++; f.failed >= mostFailed {
				break
			}
		}
		share /= 3
	}
	if err == nil {
		f.z = z
	}
	return err
}

// cost is the sum of squares at the point last tried, under the present weights.
func (f *fit) cost(z []float64) float64 {
	sum := floats.Dot(z, z)
	for _, r := range f.m.rows {
		switch {
		case !r.out:
			sum += r.weight * r.off() * r.off()
		case r.value > 0:
			sum += wildBound * wildBound // what was read was no slack string
		}
	}
	return sum
}

// settle weighs at the end which of the peaks are right, and where the bow then lies; before says that
// earlier passes have peaks.
func (f *fit) settle(before bool) (err error) {
	for range mostSettles {
		if f.peak, err = f.peaks(); err != nil {
			return err
		}
		f.peak.suppose(before)
		z, cov := f.peak.mixed(f.peak.all)
		f.cov = cov
		if f.length(floats.SubTo(make([]float64, len(z)), z, f.z)) < settled {
			f.z = z
			break
		}
		if f.at(z) != nil {
			return f.at(f.z)
		}
		f.z = z
	}
	f.set(f.z)
	return nil
}

// length is the square of a step in standard deviations, of the readings and of the prior.
func (f *fit) length(step []float64) float64 {
	sum := floats.Dot(step, step)
	for _, r := range f.m.rows {
		if !r.out {
			by := floats.Dot(f.prior.spread(r.slope), step) / r.sd
			sum += by * by
		}
	}
	return sum
}

// marginal is one value after the update.
func (f *fit) marginal(i int) extra {
	row := f.prior.root.RawRowView(i)
	return extra{f.x[i], math.Sqrt(max(floats.Dot(row, product(f.cov, row)), 0))}
}

// values are all values by z with a covariance.
func (f *fit) values(z []float64, cov *mat.SymDense) (g gaussian, ok bool) {
	own, ok := from(z, cov)
	if !ok {
		return g, false
	}
	g = gaussian{mean: slices.Clone(f.prior.mean), root: &mat.Dense{}}
	floats.Add(g.mean, product(f.prior.root, z))
	g.root.Mul(f.prior.root, own.root)
	return g, true
}

// The stages of an update.
const (
	opening = iota
	middle
	closing
)

// weigh sets the weights of the readings.
func (f *fit) weigh() {
	var offs []float64
	for _, r := range f.m.rows {
		if !r.out {
			offs = append(offs, r.off())
		}
	}
	scale := 1.0
	if f.stage == opening && len(offs) > 0 {
		scale = max(1, 1.4826*median(offs))
	}
	for _, r := range f.m.rows {
		off := r.off() / scale
		switch over := closingBend * closingBend / (off * off); {
		case r.out:
			r.weight = 0
		case f.stage != closing:
			r.weight = min(1, huberBend/off)
		case off > 2*closingBend:
			// So far off a reading counts for next to nothing.
			r.weight = 4 * over * over
		default:
			r.weight = min(1, over)
		}
	}
}

func median(v []float64) float64 {
	v = slices.Sorted(slices.Values(v))
	return (v[(len(v)-1)/2] + v[len(v)/2]) / 2
}

// wild finds the readings out of place, the farthest off first. The fit predicts them with little weight of
// their own.
func (f *fit) wild() (found []Wild) {
	for _, r := range f.m.rows {
		if r.out || slices.Contains(f.peak.rows, r) || r.off() < wildBound {
			continue
		}
		own := f.prior.spread(r.slope)
		sd := math.Hypot(r.sd, math.Sqrt(max(floats.Dot(own, product(f.cov, own)), 0)))
		off := math.Abs(r.value-r.predicted) / sd
		if off >= wildBound && r.weight < 1 {
			found = append(found, Wild{Where: r.where, Value: r.value, Expected: r.predicted, Off: off})
		}
	}
	for i, r := range f.peak.rows {
		if f.peak.wrong(i) >= surelyWrong {
			found = append(found, f.doubt(i, r))
		}
	}
	slices.SortStableFunc(found, func(a, b Wild) int { return cmp.Compare(b.Off, a.Off) })
	return found
}

// doubt is a peak against the others.
func (f *fit) doubt(i int, r *row) Wild {
	expected, sd := f.peak.expected(f, i)
	return Wild{Where: r.where, Value: r.value, Expected: expected, Off: math.Abs(r.value-expected) / sd}
}

// disputed are the two peaks that are likeliest wrong, where one is and nothing says which.
func (f *fit) disputed() (pair []Wild) {
	p := f.peak
	right := p.chance(func(s supposition) bool { return len(s.wrong) == 0 })
	if right >= mostRight || len(p.rows) < 2 {
		return nil
	}
	order := make([]int, len(p.rows))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p.wrong(b), p.wrong(a)) })
	if p.wrong(order[0]) >= surelyWrong {
		return nil
	}
	for _, i := range order[:2] {
		pair = append(pair, f.doubt(i, p.rows[i]))
	}
	return pair
}

// leftOut are the bows by all but one of the peaks, where there are few or any is in doubt; before says that
// earlier passes have peaks.
func (f *fit) leftOut(before bool) (all []gaussian) {
	n, doubtful := len(f.peak.rows), false
	for i := range f.peak.rows {
		doubtful = doubtful || f.peak.wrong(i) >= doubted
	}
	if n >= fewPeaks && !doubtful || n == 1 && !before {
		return nil
	}
	for i := range f.peak.rows {
		if z, cov, ok := f.peak.without(i); ok {
			if g, ok := f.values(z, cov); ok {
				all = append(all, g)
			}
		}
	}
	return all
}
