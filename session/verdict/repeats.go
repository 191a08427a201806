package verdict

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/session"
)

// What is taken for a reading repeated (this project's own).
const (
	misreadBy = 8.0  // errors from which on a difference is a misreading
	exactly   = 1e-6 // by how much a draw may differ and be the same (in)
)

// RepeatsIn are those of a story.
func RepeatsIn(story session.Story) (r Repeats) {
	w := rereader{bow: bowOf(story), at: stationsOf(story.Bow())}
	for _, sitting := range story.Sessions {
		w.forget()
		for line := range session.Counting(story.LinesIn(sitting)) {
			if model.WorkOf(line.What, story.Bow()).Begins {
				w.forget()
			}
			w.look(line.On, line.What)
		}
	}
	return w.Repeats
}

// A rereader looks for readings taken twice.
type rereader struct {
	Repeats
	bow   estimate.Bow
	at    [2][]float64
	walks []walk
	pull  model.Pull
	on    int // the string that the bow hangs on
}

type walk struct {
	pose session.Pose
	by   model.ReadBy
	rows model.Readings
}

func (w *rereader) forget() { w.walks, w.pull = nil, model.Pull{} }

func (w *rereader) look(on int, what model.Event) {
	if on != w.on {
		w.forget()
		w.on = on
	}
	switch e := what.(type) {
	case model.Exercise, model.StringLength, model.Finish:
		w.forget()
	case model.Relaxed:
		w.pull = model.Pull{}
		w.walk(session.Pose{Kind: model.KindRelaxed}, e.By, e.Readings)
	case model.Braced:
		w.walk(session.Pose{Kind: model.KindBraced, From: e.From}, e.By, e.Readings)
	case model.Pull:
		first, known := w.pull.Peak.Get()
		second, also := e.Peak.Get()
		if known && also && math.Abs(float64(e.Draw-w.pull.Draw)) <= exactly {
			w.peaks(float64(first), float64(second), float64(e.Draw))
		}
		w.pull = e
		w.walk(session.Pose{Kind: model.KindPull, From: e.From, Draw: e.Draw}, e.By, e.Readings)
	}
}

// peaks takes two at one draw. What is not the scale's own, the estimate knows of already.
func (w *rereader) peaks(first, second, draw float64) {
	sd, pull := w.bow.Errors.Peak, w.bow.PullError(second, draw)
	if half := (second - first) / math.Sqrt2; math.Abs(half) <= misreadBy*math.Hypot(sd, pull) {
		w.Scale.add(1, (half*half-pull*pull)/(sd*sd))
	}
}

// walk takes a reading of the stations, against the last by the same means in the same pose.
func (w *rereader) walk(pose session.Pose, by model.ReadBy, rows model.Readings) {
	if !rows.Any() {
		return
	}
	for i := range w.walks {
		if before := &w.walks[i]; before.pose.Kind == pose.Kind && before.pose.From == pose.From &&
			before.by == by && math.Abs(float64(before.pose.Draw-pose.Draw)) <= exactly {
			for _, side := range model.Sides {
				w.limb(side, by, before.rows, rows)
			}
			before.rows = rows
			return
		}
	}
	w.walks = append(w.walks, walk{pose, by, rows})
}

// limb takes two readings of one limb. A course of their difference along it is a tilt, or a bow that was
// drawn or set otherwise, and no error of the rule.
func (w *rereader) limb(side model.Side, by model.ReadBy, first, second model.Readings) {
	var at, off []float64
	for i, place := range w.at[side] {
		a, known := first.At(side, i).Get()
		b, also := second.At(side, i).Get()
		if known && also {
			at, off = append(at, place, place*place), append(off, float64(b-a)/math.Sqrt2)
		}
	}
	const shapes = 2
	n := len(off)
	if n <= shapes {
		return
	}
	x, y := mat.NewDense(n, shapes, at), mat.NewVecDense(n, off)
	var best, left mat.VecDense
	if best.SolveVec(x, y) != nil {
		return
	}
	left.MulVec(x, &best)
	left.SubVec(y, &left)
	sd, learnt := w.bow.Errors.Line, &w.Rule
	if by == model.ByPhoto {
		sd, learnt = w.bow.Errors.Photo, &w.Photo
	}
	if mat.Norm(&left, math.Inf(1)) <= misreadBy*sd {
		learnt.add(n-shapes, mat.Dot(&left, &left)/(sd*sd))
	}
}
