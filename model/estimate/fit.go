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

const (
	mostSteps    = 14
	settled      = 1e-3 // ends the steps: the last one squared, in standard deviations of the answer
	mostFailed   = 12   // tries that led to no bow; readings of a bow lead to hardly any
	leastRescale = 0.15 // difference of log weight worth a start of its own
)

// A fit is one update. Values are x = mean + root·z of the prior, so that z begins as the unit Gaussian.
type fit struct {
	m      *predictor
	prior  gaussian // of the lasting values and then of those of the pass alone
	z, x   []float64
	stage  int
	failed int          // tries that led to no bow
	slopes *mat.Dense   // by row, by z, each over the reading's standard deviation
	chol   mat.Cholesky // of the information of z
}

func newFit(g gaussian, m *predictor) *fit {
	core, cols := g.root.Dims()
	width := cols + len(m.extras)
	prior := gaussian{mean: slices.Clone(g.mean), root: mat.NewDense(m.values(), width, nil)}
	prior.root.Slice(0, core, 0, cols).(*mat.Dense).Copy(g.root)
	for i, e := range m.extras {
		prior.mean = append(prior.mean, e.mean)
		prior.root.Set(core+i, cols+i, e.sd)
	}
	return &fit{m: m, prior: prior, z: make([]float64, width), x: make([]float64, m.values()),
		slopes: mat.NewDense(len(m.rows), width, nil)}
}

// at sets the values for z and predicts the readings from them.
func (f *fit) at(z []float64) error {
	for i := range f.x {
		f.x[i] = f.prior.mean[i] + floats.Dot(f.prior.root.RawRowView(i), z)
	}
	return f.m.try(f.x)
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
		return fmt.Errorf("most of the readings contradict one another: %w", ErrUnsolved)
	}
	return nil
}

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
		if !r.out {
			sum += r.weight * r.off() * r.off()
		}
	}
	return sum
}

// marginal is one value after the update.
func (f *fit) marginal(i int) extra {
	var solved mat.VecDense
	row := mat.NewVecDense(len(f.z), slices.Clone(f.prior.root.RawRowView(i)))
	if f.chol.SolveVecTo(&solved, row) != nil {
		return extra{f.x[i], 0}
	}
	return extra{f.x[i], math.Sqrt(mat.Dot(row, &solved))}
}

// posterior is the lasting values after the update.
func (f *fit) posterior() gaussian {
	var upper mat.TriDense
	f.chol.UTo(&upper)
	// root·U⁻¹ of the lasting rows: with U·y = v solved from the left, Uᵀ·yᵀ = rootᵀ.
	core := f.m.frame.len()
	rows := f.prior.root.Slice(0, core, 0, len(f.z))
	var solved mat.Dense
	_ = solved.Solve(upper.T(), rows.T())
	return gaussian{mean: slices.Clone(f.x[:core]), root: mat.DenseCopyOf(solved.T())}
}

// The stages of an update. Far from the answer all readings seem wild, so at first none is left out: weights
// fall as one over the distance, in units of the readings' own scatter (Huber). Near the answer they fall as
// its square, in standard deviations, so that a wild reading soon counts for nothing.
const (
	opening = iota
	middle
	closing
)

const (
	// huberBend is where weights start to fall in the opening (Huber, Robust Statistics, 1981: 1.5 to 2).
	huberBend = 2
	// closingBend is the same at the end; good readings seldom lie so far off.
	closingBend = 2.7
	// near is a step, squared, in standard deviations of the answer, after which the next stage begins.
	near = 4
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
	var solved mat.VecDense
	for _, r := range f.m.rows {
		if r.out || r.off() < wildBound {
			continue
		}
		own := mat.NewVecDense(len(f.z), f.prior.spread(r.slope))
		if f.chol.SolveVecTo(&solved, own) != nil {
			continue
		}
		sd := math.Hypot(r.sd, math.Sqrt(max(mat.Dot(own, &solved), 0)))
		off := math.Abs(r.value-r.predicted) / sd
		if off >= wildBound && r.weight < 1 {
			found = append(found, Wild{Where: r.where, Value: r.value, Expected: r.predicted, Off: off})
		}
	}
	slices.SortStableFunc(found, func(a, b Wild) int { return cmp.Compare(b.Off, a.Off) })
	return found
}
