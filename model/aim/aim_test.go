package aim

import (
	"errors"
	"math"
	"testing"
)

func TestAimsEaseToNothingAtTheNock(t *testing.T) {
	shape, err := Shape("another", []float64{0, 0.5, 0.9}, []float64{1, 2, 1})
	check(t, err)
	aims := []Aim{{}, shape}
	for _, name := range append(Names(), "") {
		a, err := Named(name)
		check(t, err)
		aims = append(aims, a)
	}
	for _, a := range aims {
		last := a.Bend(0)
		for i := range 1001 {
			u := float64(i) / 1000
			b := a.Bend(u)
			if u < 1 && !(b > 0) || math.Abs(b-last) > 0.02 {
				t.Errorf("%s: %v at %v after %v", a.Name(), b, u, last)
			}
			last = b
		}
		if a.Bend(1) != 0 || a.Bend(1.5) != 0 {
			t.Errorf("%s: bends at the nock", a.Name())
		}
	}
}

func TestCompassIsConstantToTheLastFifth(t *testing.T) {
	a, _ := Named("")
	for _, c := range [][2]float64{{0, 1}, {0.4, 1}, {0.8, 1}, {0.9, 0.5}, {0.95, 0.25}} {
		if got := a.Bend(c[0]); math.Abs(got-c[1]) > 1e-12 {
			t.Errorf("at %v: %v, want %v", c[0], got, c[1])
		}
	}
}

func TestShapeIsLinearBetweenItsPlaces(t *testing.T) {
	a, err := Shape("like that one", []float64{0.1, 0.5, 0.9}, []float64{1, 2, 1})
	check(t, err)
	for _, c := range [][2]float64{{0, 1}, {0.1, 1}, {0.3, 1.5}, {0.5, 2}, {0.9, 1}, {0.95, 0.5}} {
		if got := a.Bend(c[0]); math.Abs(got-c[1]) > 1e-12 {
			t.Errorf("at %v: %v, want %v", c[0], got, c[1])
		}
	}
}

func TestWhatIsNoAimIsRefused(t *testing.T) {
	if _, err := Named("whip"); !errors.Is(err, errName) {
		t.Errorf("whip gives %v", err)
	}
	for _, c := range [][2][]float64{{{0}, {1}}, {{0, 1}, {1}}, {{0.5, 0.5}, {1, 1}}, {{0, 2}, {1, 1}},
		{{0, 1}, {1, math.NaN()}}, {{0, 1}, {0, 1}}} {
		if _, err := Shape("x", c[0], c[1]); !errors.Is(err, errShape) {
			t.Errorf("%v gives %v", c, err)
		}
	}
}

// check fails the test at an error.
func check(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
