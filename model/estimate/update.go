package estimate

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

const (
	mostSteps = 14
	// settled ends the steps: the square of the last one in standard deviations of the answer.
	settled = 1e-3
	// mostFailed bounds the tries of one update that led to no bow: readings of a bow lead to hardly any.
	mostFailed = 12
)

// Fold takes one pass into account: wood off first, then all of its readings at once. The first pass takes
// its scrapes as done to the stave as it was expected. The error wraps [ErrInput], and the state then is that
// before the readings, with the scrapes; or [ErrUnsolved] where no strung bow was found that could have been
// read so, and of the readings only peaks, strings and brace heights are in the state, if they at least fit a
// bow.
func (st State) Fold(p Pass) (State, error) {
	if st.passes > 0 || len(p.Scrapes) > 0 {
		st = st.age(p)
	}
	st.passes++
	st.wild = nil
	st.scraped, st.unmeasured = p.Scrapes, gaussian{}
	next, err := st.update(p)
	if !errors.Is(err, ErrUnsolved) {
		return next, err
	}
	if only, failed := st.update(p.onlyPeaks()); failed == nil {
		return only, err
	}
	return next, err
}

// update takes the readings of a pass into account.
func (st State) update(p Pass) (State, error) {
	m, err := newPredictor(st, p)
	if err != nil {
		return st, err
	}
	st = st.hang(p)
	if len(m.rows) == 0 {
		return st, nil
	}
	f := newFit(st, m)
	if err := f.run(); err != nil {
		return st, err
	}
	st.unmeasured = st.g
	st.g = f.posterior()
	st.wild = f.wild()
	if len(p.Relaxed) > 0 && st.first == nil {
		if now, err := st.follow(); err == nil {
			st.first = &now
		}
	}
	return st, nil
}

// onlyPeaks is the pass without what was read at stations.
func (p Pass) onlyPeaks() Pass {
	bare := Pass{Scrapes: p.Scrapes}
	for _, h := range p.Hangs {
		only := Hang{Long: h.Long, Length: h.Length, Brace: h.Brace}
		for _, pull := range h.Pulls {
			only.Pulls = append(only.Pulls, Pull{Draw: pull.Draw, Peak: pull.Peak})
		}
		bare.Hangs = append(bare.Hangs, only)
	}
	return bare
}

// hang makes the brace height open where the pass hangs the bow on another string, and keeps count of draws.
func (st State) hang(p Pass) State {
	fresh := false
	for _, h := range p.Hangs {
		fresh = fresh || !h.Long && (h.Length > 0 || h.Brace > 0 || !st.braced)
		if !h.Long {
			st.braced = true
		}
		for _, pull := range h.Pulls {
			st.longest = max(st.longest, pull.Draw)
			st.weighed = st.weighed || pull.Peak > 0
		}
	}
	if fresh {
		st.g = st.g.reset(st.frame.brace(), st.bow.UsualBrace(), braceError)
		st.unread = st.unread.reset(st.frame.brace(), st.bow.UsualBrace(), braceError)
	}
	return st
}

// reset makes one value independent of the others, with a mean and a standard deviation of its own.
func (g gaussian) reset(i int, mean, sd float64) gaussian {
	rows, cols := g.root.Dims()
	root := mat.NewDense(rows, cols+1, nil)
	for r := range rows {
		if r != i {
			copy(root.RawRowView(r), g.root.RawRowView(r))
		}
	}
	root.Set(i, cols, sd)
	means := append([]float64(nil), g.mean...)
	means[i] = mean
	return gaussian{mean: means, root: root}
}

// A fit is one update. Values are x = start + root·z, the prior of z being the unit Gaussian.
type fit struct {
	m     *predictor
	start []float64
	root  *mat.Dense // square
	z     []float64
	// failed counts the tries that led to no bow.
	failed int
	x      []float64
	core   int

	weight []float64    // by row
	slopes *mat.Dense   // by row, by z, each over the reading's standard deviation
	chol   mat.Cholesky // of the information of z
}

func newFit(st State, m *predictor) *fit {
	n := m.values()
	_, cols := st.g.root.Dims()
	f := &fit{m: m, core: st.frame.len(), start: make([]float64, n), x: make([]float64, n)}
	copy(f.start, st.g.mean)
	width := cols + len(m.extras)
	f.root = mat.NewDense(n, width, nil)
	for i := range f.core {
		copy(f.root.RawRowView(i), st.g.root.RawRowView(i))
	}
	for i, e := range m.extras {
		f.start[f.core+i] = e.mean
		f.root.Set(f.core+i, cols+i, e.sd)
	}
	f.z = make([]float64, width)
	f.weight = make([]float64, len(m.rows))
	f.slopes = mat.NewDense(len(m.rows), width, nil)
	return f
}

// at sets the values for z.
func (f *fit) at(z []float64) error {
	for i := range f.x {
		f.x[i] = f.start[i] + dot(f.root.RawRowView(i), z)
	}
	return f.m.try(f.x)
}

// run goes from the prior to the answer.
func (f *fit) run() error {
	if err := f.at(f.z); err != nil {
		return err
	}
	f.rescale()
	loss := robust{stage: opening}
	stuck := 0
	for range mostSteps {
		f.weigh(&loss)
		step, length, err := f.step()
		if err != nil {
			return err
		}
		if err := f.take(step); err != nil {
			// Where the readings lead to no bow, the wild ones among them may be left out at once.
			if stuck++; stuck > 1 || f.at(f.z) != nil {
				return err
			}
			loss.stage = closing
			continue
		}
		if length < settled && loss.stage == closing {
			break
		}
		loss.next(length)
	}
	f.weigh(&loss)
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
	for i, r := range f.m.rows {
		if !r.out {
			count++
			if f.weight[i] > 0.5 {
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
	if len(logs) == 0 {
		return
	}
	shift := median(logs)
	if math.Abs(shift) < 0.15 {
		return
	}
	// The least z that lifts all stiffnesses by the shift: along the level of the prior.
	target := make([]float64, f.core)
	for s := range 2 {
		for i := range knotsPerLimb {
			target[2*knotsPerLimb*s+i] = 1.0 / (2 * knotsPerLimb)
		}
	}
	level := gaussian{root: f.root}.spread(target)
	size := dot(level, level)
	if size == 0 {
		return
	}
	z := make([]float64, len(f.z))
	axpy(shift/size, level, z)
	if f.at(z) == nil {
		f.z = z
		return
	}
	_ = f.at(f.z)
}

// step is the next step in z and the square of its length in standard deviations of the answer.
func (f *fit) step() (step []float64, length float64, err error) {
	n := len(f.z)
	rhs := make([]float64, n)
	for i, r := range f.m.rows {
		out := f.slopes.RawRowView(i)
		clear(out)
		if r.out || f.weight[i] == 0 {
			continue
		}
		by := math.Sqrt(f.weight[i]) / r.sd
		for j, d := range r.slope {
			if d != 0 {
				axpy(d*by, f.root.RawRowView(j), out)
			}
		}
		axpy((r.value-r.predicted)*by, out, rhs)
	}
	axpy(-1, f.z, rhs)
	information := mat.NewSymDense(n, nil)
	information.SymOuterK(1, f.slopes.T())
	for i := range n {
		information.SetSym(i, i, information.At(i, i)+1)
	}
	if !f.chol.Factorize(information) {
		return nil, 0, ErrUnsolved
	}
	var out mat.VecDense
	if err := f.chol.SolveVecTo(&out, mat.NewVecDense(n, rhs)); err != nil {
		return nil, 0, ErrUnsolved
	}
	step = out.RawVector().Data
	return step, dot(step, rhs), nil
}

// take goes along a step, shorter where the bow could not be strung there or the fit would be worse.
func (f *fit) take(step []float64) error {
	before := f.cost()
	z := append([]float64(nil), f.z...)
	share := 1.0
	var err error
	for range 6 {
		copy(z, f.z)
		axpy(share, step, z)
		if err = f.at(z); err == nil && f.costAt(z) <= before*(1+1e-6)+1e-3 {
			f.z = z
			return nil
		}
		if err != nil {
			if f.failed++; f.failed >= mostFailed {
				return err
			}
		}
		share /= 3
	}
	if err != nil {
		return err
	}
	f.z = z
	return nil
}

func (f *fit) cost() float64 { return f.costAt(f.z) }

// costAt is the sum of squares at the point last tried, under the present weights.
func (f *fit) costAt(z []float64) float64 {
	sum := dot(z, z)
	for i, r := range f.m.rows {
		if !r.out {
			off := (r.value - r.predicted) / r.sd
			sum += f.weight[i] * off * off
		}
	}
	return sum
}

// posterior is the lasting values after the update.
func (f *fit) posterior() gaussian {
	n := len(f.z)
	var upper mat.TriDense
	f.chol.UTo(&upper)
	// root·U⁻¹ of the lasting rows: with U·y = v solved from the left, Uᵀ·yᵀ = rootᵀ.
	rows := f.root.Slice(0, f.core, 0, n)
	var solved mat.Dense
	_ = solved.Solve(upper.T(), rows.T())
	root := mat.DenseCopyOf(solved.T())
	return gaussian{mean: append([]float64(nil), f.x[:f.core]...), root: root}
}
