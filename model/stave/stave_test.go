package stave

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/iotest"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/strung"
)

// example is the stave of the package's documentation.
const example = `{"format": "bendbook/stave", "version": 1,
 "units": {"length": "in", "force": "lbf"}, "handle": 4, "limbs": {"upper": {"length": 34, "at": [0, 17, 34],
 "stiffness": [60000, 33000, 6000], "rest_bend": null}, "lower": {}},
 "string": {"brace": 6}, "draws": [8, 12, 28]}`

// check fails the test at an error.
func check(t rapid.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func compute(t *testing.T, doc string) Answer {
	t.Helper()
	answer, err := Compute(strings.NewReader(doc))
	check(t, err)
	return answer
}

// What the document answers is what the solver says on a far finer grid, each figure in its place, also where
// stiffness falls to next to nothing within the limb.
func TestTheAnswerIsTheSolvers(t *testing.T) {
	for _, middle := range []float64{33000, 100, 1, 0.01} {
		upper := strung.Limb{Length: 34, At: []float64{0, 17, 34}, Stiffness: []float64{60000, middle, 6000}}
		lower := strung.Limb{Length: 33, At: []float64{0, 33}, Stiffness: []float64{50000, 5000}}
		doc := strings.Replace(example, "{}", `{"length": 33, "at": [0, 33], "stiffness": [50000, 5000]}`, 1)
		got := compute(t, strings.Replace(doc, "33000", fmt.Sprint(middle), 1))
		bow := strung.Bow{Handle: 4, Upper: upper, Lower: lower}
		s, err := strung.New(bow, strung.ByBrace(6), strung.Segments(400))
		check(t, err)
		var sol strung.Solution
		check(t, s.Brace(&sol))
		near := func(what string, got, want float64) {
			t.Helper()
			if math.Abs(got-want) > 3e-5*math.Abs(want) {
				t.Errorf("%v in the middle: %s: %v, want %v", middle, what, got, want)
			}
		}
		near("string", got.String.Length, sol.StringLength)
		near("brace", *got.String.Brace, 6)
		near("tension braced", *got.String.TensionBraced, sol.Upper.Tension)
		for i, d := range got.Draws {
			check(t, s.Draw([]float64{8, 12, 28}[i], &sol))
			near("draw", d.Draw, sol.Draw)
			near("force", d.Force, sol.Force)
			near("energy", d.Energy, sol.Work)
			for j, limb := range []strung.LimbState{sol.Upper, sol.Lower} {
				told := []bent{d.Upper, d.Lower}[j]
				near("root moment", told.MomentRoot, limb.RootMoment)
				near("nock's x", told.Nock[0], limb.NockX)
				if middle == 33000 { // else it is small, and good to a share of the limb
					near("nock's y", told.Nock[1], limb.NockY)
				}
			}
		}
	}
}

// TestUnitsOnlyRename writes one bow in all units there are.
func TestUnitsOnlyRename(t *testing.T) {
	plain := compute(t, example)
	for _, length := range []measure.LengthUnit{measure.Inch, measure.Centimetre, measure.Millimetre} {
		for _, force := range []measure.ForceUnit{measure.PoundForce, measure.KilogramForce, measure.Newton} {
			l, f := length.PerInch(), force.PerPound()
			doc := fmt.Sprintf(`{"format": "bendbook/stave", "version": 1, "units": {"length": %q, "force": %q},
 "handle": %v, "limbs": {"upper": {"length": %v, "at": [0, %v, %v], "stiffness": [%v, %v, %v],
 "rest_bend": [0, 0, 0]}, "lower": null},
 "string": {"brace": %v}, "draws": [%v, %v, %v]}`, length, force,
				4*l, 34*l, 17*l, 34*l, 60000*f*l*l, 33000*f*l*l, 6000*f*l*l, 6*l, 8*l, 12*l, 28*l)
			got := compute(t, doc)
			if got.Units.Length != length || got.Units.Force != force {
				t.Errorf("answered in %v", got.Units)
			}
			same := func(what string, got, want float64) {
				if math.Abs(got-want) > 2e-5*math.Abs(want) {
					t.Errorf("%s %s: %s %v, want %v", length, force, what, got, want)
				}
			}
			same("string", got.String.Length, plain.String.Length*l)
			for i, d := range got.Draws {
				same("force", d.Force, plain.Draws[i].Force*f)
				same("energy", d.Energy, plain.Draws[i].Energy*f*l)
				same("moment", d.Lower.MomentRoot, plain.Draws[i].Lower.MomentRoot*f*l)
				same("nock", d.Upper.Nock[0], plain.Draws[i].Upper.Nock[0]*l)
			}
		}
	}
}

// TestEmptyLowerLimbIsTheUpperOver: left out, empty, null and written out, all are one bow.
func TestEmptyLowerLimbIsTheUpperOver(t *testing.T) {
	want := fmt.Sprint(compute(t, example).Draws)
	upper := `{"length": 34, "at": [0, 17, 34], "stiffness": [60000, 33000, 6000]}`
	for _, lower := range []string{`, "lower": null`, `, "lower": { }`, ``, `, "lower": ` + upper} {
		doc := strings.Replace(example, `, "lower": {}`, lower, 1)
		if got := fmt.Sprint(compute(t, doc).Draws); got != want {
			t.Errorf("lower limb %q: %v, want %v", lower, got, want)
		}
	}
}

func TestLongStringAnswersWithoutBrace(t *testing.T) {
	doc := strings.Replace(example, `"brace": 6`, `"length": 73`, 1)
	if s := compute(t, doc).String; s.Length != 73 || s.Brace != nil || s.TensionBraced != nil {
		t.Errorf("%+v", s)
	}
}

// TestFaultsAreToldInOneLine: each names the field and what was expected there.
func TestFaultsAreToldInOneLine(t *testing.T) {
	change := func(from, to string) string {
		if !strings.Contains(example, from) {
			t.Fatalf("no %s in the example", from)
		}
		return strings.Replace(example, from, to, 1)
	}
	for _, c := range []struct{ doc, want string }{
		{"", "it is empty: give one stave (JSON)"},
		{"{", "it ends in the middle of a stave: add the rest"},
		{"null", `format: found "": write "bendbook/stave"`},
		{"[]", "found an array: write an object"},
		{example + "x", "it goes on after its end: give one stave"},
		{example + example, "it goes on after its end: give one stave"},
		{change(`"bendbook/stave"`, `"bendbook/record"`), `format: found "bendbook/record": write "bendbook/stave"`},
		{change(`"version": 1`, `"version": 2`), "version: found 2: write 1"},
		{change(`"in"`, `"ft"`), `units.length: `},
		{change(`"lbf"`, `"lb"`), `units.force: `},
		{change(`"handle": 4`, `"handle": -4`), "handle: must be a length of 0 or more, not -4"},
		{change(`"handle": 4`, `"handle": 1e999`), "handle: 1e999 is beyond any measure: write a number"},
		{change(`"handle": 4`, `"handel": 4`), "handel: there is no such field in a stave"},
		{change(`"rest_bend"`, `"rest_bent"`), "rest_bent: there is no such field in a stave"},
		{change(`"length": 34`, `"length": 0`), "limbs.upper.length: must be a positive length, not 0"},
		{change(`[0, 17, 34]`, `[0, 34]`), "limbs.upper.stiffness: must have 2 values, one for each place, not 3"},
		{change(`[0, 17, 34]`, `[0, 35, 34]`), "limbs.upper.at[2]: must be beyond the place before it, not 34 after 35"},
		{change(`[0, 17, 34]`, `[1, 17, 34]`), "limbs.upper.at[0]: must be 0, the root, not 1"},
		{change(`[0, 17, 34]`, `[0, 17, 33]`), "limbs.upper.at[2]: must be the limb's length 34, not 33"},
		{change(`[0, 17, 34]`, `[0]`), "limbs.upper.at: must have 2 to 2048 places, not 1"},
		{change(`[0, 17, 34]`, `[0, null, 34]`), "limbs.upper.at[1]: must be beyond the place before it, not 0 after 0"},
		{change(`[0, 17, 34]`, `"17"`), "limbs.upper.at: found a string: write a list"},
		{change(`33000`, `-33000`), "limbs.upper.stiffness[1]: must be positive, not -33000"},
		{change(`33000`, `1e300`), "limbs.upper.stiffness[1]: must be a positive number, not 1e+300"},
		{change(`null`, `[0, 0]`), "limbs.upper.rest_bend: must have 3 values, one for each place, not 2"},
		{change(`null`, `[0, 99, 0]`), "limbs.upper.rest_bend[1]: must be a curvature, not 99"},
		{change(`"lower": {}`, `"lower": {"length": 30}`), "limbs.lower.at: must have 2 to 2048 places, not 0"},
		{change(`{"brace": 6}`, `{"brace": 6, "length": 70}`), "string: give either length or brace, not both"},
		{change(`"brace": 6`, `"brace": -6`), "string.brace: must be a positive height, not -6"},
		{change(`"brace": 6`, `"brace": 40`), "string.brace: the brace height is too high at 40: write at most "},
		{change(`[8, 12, 28]`, `[28, 5]`), "draws[1]: the string is slack at 5; the shortest draw that pulls it taut is 6"},
		{change(`[8, 12, 28]`, `[90]`), "draws[0]: the draw is beyond the reach of string and limbs at 90; the longest draw that can be is "},
		{change(`null`, `[0.012, 0.012, 0.012]`), "string.brace: the brace height is too low, the string would be slack at 6: write more than "},
		{change(`null`, `[0, 0, -0.06]`), "string.brace: the string would touch the limb, which is not modelled (upper limb, 34 from the root)"},
		{change(`[8, 12, 28]`, "["+strings.Repeat("8,", 400)+"8]"), "draws: it has 401 values: write at most 400"},
		{strings.Repeat(" ", 1<<20) + example, "it is longer than 1048576 bytes: give one stave (JSON)"},
	} {
		_, err := Compute(strings.NewReader(c.doc))
		var field *model.FieldError
		if !errors.As(err, &field) {
			t.Errorf("%.80q: %v is no error of a field", c.doc, err)
			continue
		}
		if !strings.HasPrefix(err.Error(), c.want) || strings.ContainsAny(err.Error(), "\n\r") {
			t.Errorf("got  %s\nwant %s", err, c.want)
		}
	}
}

func TestFailuresToReadArePassedOn(t *testing.T) {
	failure := errors.New("no paper")
	if _, err := Compute(iotest.ErrReader(failure)); !errors.Is(err, failure) {
		t.Errorf("reading: %v", err)
	}
}
