package stave

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"bendbook/model"
	"bendbook/model/strung"
)

// The bow is solved at rising numbers of segments until two in a row agree this well: force, tension and
// moment as a share of themselves, places as a share of the limb.
const (
	agreement     = 2e-5
	firstSegments = strung.DefaultSegments
	mostSegments  = 16 * strung.DefaultSegments
)

// solve solves the bow at all draws.
func (doc document) solve() ([]strung.Solution, error) {
	before, err := doc.solveAt(firstSegments)
	if err != nil {
		return nil, err
	}
	for n := 2 * firstSegments; n <= mostSegments; n *= 2 {
		now, err := doc.solveAt(n)
		if err != nil {
			return nil, err
		}
		if agree(before, now) {
			return now, nil
		}
		before = now
	}
	return nil, model.Fault("limbs", "stiffness or rest bend change too sharply to be followed; "+
		"smooth the limb")
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
	}
	return all, nil
}

// agree tells whether two sets of solutions say the same.
func agree(a, b []strung.Solution) bool {
	for i := range a {
		// Near brace the force is nothing, and a share of it says little: the tension is the scale then.
		scale := math.Abs(b[i].Force) + 0.1*b[i].Upper.Tension
		if !near(a[i].Force, b[i].Force, scale) || !near(a[i].Energy, b[i].Energy, 5*b[i].Energy) ||
			!alike(&a[i].Upper, &b[i].Upper) || !alike(&a[i].Lower, &b[i].Lower) {
			return false
		}
	}
	return true
}

func alike(a, b *strung.LimbState) bool {
	return near(math.Hypot(a.NockX-b.NockX, a.NockY-b.NockY), 0, math.Hypot(b.NockX, b.NockY)) &&
		near(a.RootMoment, b.RootMoment, 2*math.Abs(b.RootMoment))
}

func near(a, b, scale float64) bool { return math.Abs(a-b) <= agreement*scale }

// explain turns an error of the solver into one that names the field of the document.
func (doc document) explain(field string, err error) error {
	var e *strung.Error
	if !errors.As(err, &e) {
		return model.Fault(field, "%v", err)
	}
	if e.Field != "" && errors.Is(err, strung.ErrInput) {
		if e.Field != "handle" && !strings.HasPrefix(e.Field, "string.") {
			e.Field = "limbs." + e.Field
		}
		return model.Fault(e.Field, "%s", e.Want)
	}
	where := ""
	if e.Side != "" {
		where = fmt.Sprintf(" (%s limb, %.4g from the root)", e.Side, e.At)
	}
	if !e.HasLimit {
		return model.Fault(field, "%v%s", e.Err, where)
	}
	decimals := 4 - magnitude(e.Limit)
	above, below := rounded(e.Limit, decimals, math.Ceil), rounded(e.Limit, decimals, math.Floor)
	switch e.Err {
	case strung.ErrSlack:
		return model.Fault(field, "the string is slack at %v; the shortest draw that pulls it taut is %v",
			e.Value, above)
	case strung.ErrReach, strung.ErrFolded, strung.ErrUnsteady:
		return model.Fault(field, "%v%s at %v; the longest draw that can be is %v", e.Err, where, e.Value, below)
	case strung.ErrNotConverged:
		return model.Fault(field, "%v at %v; the longest draw found is %v", e.Err, e.Value, below)
	case strung.ErrBraceLow, strung.ErrStringShort:
		return model.Fault(field, "%v at %v: write more than %v", e.Err, e.Value, above)
	case strung.ErrBraceHigh, strung.ErrStringLong:
		return model.Fault(field, "%v at %v: write at most %v", e.Err, e.Value, below)
	}
	return model.Fault(field, "%v%s", e.Err, where)
}

// magnitude is the power of ten of a number's first digit.
func magnitude(v float64) int { return int(math.Floor(math.Log10(max(math.Abs(v), 1e-300)))) }

// rounded brings a number to so many decimals, or fewer than none, by a function that makes it whole.
func rounded(v float64, decimals int, whole func(float64) float64) float64 {
	unit := math.Pow10(max(decimals, -decimals))
	if decimals < 0 {
		return whole(v/unit) * unit
	}
	return whole(v*unit) / unit
}

// significant rounds to a number of significant decimal digits.
func significant(v float64, digits int) float64 {
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'e', digits-1, 64), 64) // reads what was just printed
	return v
}
