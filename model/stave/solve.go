package stave

import (
	"errors"
	"fmt"
	"math"

	"bendbook/model/strung"
)

// The bow is solved at rising numbers of segments until two in a row agree this well: force, tension and moment as a share
// of themselves, places as a share of the limb. An answer that does not settle is not given.
const (
	agreement     = 2e-5
	firstSegments = strung.DefaultSegments
	mostSegments  = 16 * strung.DefaultSegments
)

// solve solves the bow at all draws.
func (doc document) solve() (Answer, error) {
	before, err := doc.solveAt(firstSegments)
	if err != nil {
		return Answer{}, err
	}
	for n := 2 * firstSegments; n <= mostSegments; n *= 2 {
		now, err := doc.solveAt(n)
		if err != nil {
			return Answer{}, err
		}
		if agree(before, now) {
			return doc.answer(now), nil
		}
		before = now
	}
	return Answer{}, fault("limbs", "stiffness or rest bend change too sharply to be followed; expected a smoother limb")
}

// solveAt solves the bow, braced first and then at all draws, with a number of segments to a limb.
func (doc document) solveAt(segments int) ([]strung.Solution, error) {
	solver, err := strung.New(doc.bow, doc.string, strung.Segments(segments))
	if err != nil {
		return nil, doc.explain("", err)
	}
	all := make([]strung.Solution, 1+len(doc.draws))
	if err := solver.Brace(&all[0]); err != nil {
		return nil, doc.explain("string."+doc.given, err)
	}
	var last strung.Solution
	for i, draw := range doc.draws {
		if err := solver.Draw(draw, &last); err != nil {
			return nil, doc.explain(fmt.Sprintf("draws[%d]", i), err)
		}
		all[i+1] = last
		// The shapes share their room with the next draw's, and aren't asked for.
		all[i+1].Upper, all[i+1].Lower = ends(&last.Upper), ends(&last.Lower)
	}
	return all, nil
}

// ends is a limb without its shape.
func ends(limb *strung.LimbState) strung.LimbState {
	out := *limb
	out.S, out.X, out.Y, out.Slope, out.Bend, out.Moment = nil, nil, nil, nil, nil, nil
	return out
}

// agree tells whether two sets of solutions say the same.
func agree(a, b []strung.Solution) bool {
	for i := range a {
		// Near brace the force is nothing, and a share of it says little: the tension is the scale then.
		scale := math.Abs(b[i].Force) + 0.1*b[i].Upper.Tension
		if !(math.Abs(a[i].Force-b[i].Force) <= agreement*scale) {
			return false
		}
		if !(math.Abs(a[i].Energy-b[i].Energy) <= 5*agreement*b[i].Energy) {
			return false
		}
		for k, limb := range [...]*strung.LimbState{&b[i].Upper, &b[i].Lower} {
			other := [...]*strung.LimbState{&a[i].Upper, &a[i].Lower}[k]
			size := math.Hypot(limb.NockX, limb.NockY)
			if !(math.Hypot(limb.NockX-other.NockX, limb.NockY-other.NockY) <= agreement*size) ||
				!(math.Abs(limb.RootMoment-other.RootMoment) <= 2*agreement*math.Abs(limb.RootMoment)) {
				return false
			}
		}
	}
	return true
}

// explain turns an error of the solver into one that names the field of the document.
func (doc document) explain(field string, err error) error {
	var e *strung.Error
	if !errors.As(err, &e) {
		return fault(field, "%v", err)
	}
	if e.Field != "" && (errors.Is(err, strung.ErrInput) || errors.Is(err, strung.ErrStiffness)) {
		switch e.Field {
		case "handle", "string.brace", "string.length":
			return fault(e.Field, "%s", e.Want)
		}
		return fault("limbs."+e.Field, "%s", e.Want)
	}
	where := ""
	if e.Side != strung.Neither {
		where = " " + fmt.Sprintf("(%s limb, %.4g from the root)", e.Side, e.At)
	}
	asked, limit := e.Value, e.Limit
	switch {
	case e.Err == strung.ErrSlack && e.HasLimit:
		return fault(field, "the string is slack at %v; the shortest draw that is not is %s", asked, outward(limit))
	case (e.Err == strung.ErrReach || e.Err == strung.ErrFolded || e.Err == strung.ErrUnsteady) && e.HasLimit:
		return fault(field, "%v%s at %v; the longest draw that can be is %s", e.Err, where, asked, inward(limit))
	case e.Err == strung.ErrNotConverged && e.HasLimit:
		return fault(field, "%v at %v; the longest draw found is %s", e.Err, asked, inward(limit))
	case (e.Err == strung.ErrBraceLow || e.Err == strung.ErrStringShort) && e.HasLimit:
		return fault(field, "%v at %v; expected more than %s", e.Err, asked, outward(limit))
	case (e.Err == strung.ErrBraceHigh || e.Err == strung.ErrStringLong) && e.HasLimit:
		return fault(field, "%v at %v; expected at most %s", e.Err, asked, inward(limit))
	}
	return fault(field, "%v%s", e.Err, where)
}

// outward and inward print a limit with five digits behind the point's first figure, rounded to the side on which it can be met.
func outward(limit float64) string { return fmt.Sprint(roundTo(limit, 5, math.Ceil)) }
func inward(limit float64) string  { return fmt.Sprint(roundTo(limit, 5, math.Floor)) }
