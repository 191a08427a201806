package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model/measure"
)

// arc is what is read along a circular arc that leaves the line at the root: y = R (1 − cos(s/R)).
func arc(radius float64, stations []length) []measure.Optional[length] {
	var readings []measure.Optional[length]
	for _, s := range stations {
		readings = append(readings, some(length(radius*(1-math.Cos(float64(s)/radius)))))
	}
	return readings
}

// worst is the largest error of a bend against a curvature, over the stations that have one.
func worst(bend []measure.Optional[float64], curvature float64) (most float64, n int) {
	for _, b := range bend {
		if k, known := b.Get(); known {
			most = max(most, math.Abs(k-curvature))
			n++
		}
	}
	return most, n
}

func TestBendOfAnArcIsOneOverItsRadius(t *testing.T) {
	const radius = 40.0
	var before float64
	for i, step := range []length{4, 2, 1, .5} {
		stations := every(step, int(32/step))
		off, n := worst(FiniteBend(FromLine, stations, arc(radius, stations), 0), 1/radius)
		if n != len(stations)-1 {
			t.Fatalf("%d of %d stations have a bend", n, len(stations))
		}
		if off > 0.01/radius {
			t.Errorf("at steps of %v in the bend is off by %.2g of 1/%v", step, off*radius, radius)
		}
		// Second order: half the step, a quarter of the error.
		if ratio := before / off; i > 0 && (ratio < 3.5 || ratio > 4.5) {
			t.Errorf("halving the step to %v in divides the error by %.2f", step, ratio)
		}
		before = off
	}
}

func TestBendOfAnArcAtUnevenStations(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		radius := rapid.Float64Range(30, 400).Draw(t, "radius")
		var stations []length
		at := 0.0
		for at < 30 {
			at += rapid.Float64Range(1, 4).Draw(t, "step")
			stations = append(stations, length(at))
		}
		// The chord of an arc of Δ at the angle φ is flatter than its middle by Δ²/24R² · tan φ; the
		// change of that over a step of at least 1 in, where steps differ, bounds the error.
		off, _ := worst(FiniteBend(FromLine, stations, arc(radius, stations), 0), 1/radius)
		if angle := at / radius; off > 16/24./(radius*radius)*math.Tan(min(angle, 1.3))*2 {
			t.Fatalf("radius %v at %v: off by %.3g of it", radius, stations, off*radius)
		}
	})
}

func TestAStraightLimbHasNoBend(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		slope := rapid.Float64Range(-.9, .9).Draw(t, "slope")
		var stations []length
		var readings []measure.Optional[length]
		for at := 0.0; at < 30; {
			at += rapid.Float64Range(1, 6).Draw(t, "step")
			stations = append(stations, length(at))
			readings = append(readings, some(length(slope*at)))
		}
		for _, from := range []Datum{FromLine, FromString} {
			if off, _ := worst(FiniteBend(from, stations, readings, 0), 0); off > 1e-12 {
				t.Fatalf("bend %g from the %s at a slope of %v", off, from, slope)
			}
		}
	})
}

func TestStringAndLineAgreeOnABracedBow(t *testing.T) {
	stations := []length{4, 7, 12, 16, 20, 24, 28, 32, 34}
	line := arc(80, stations)
	const height = 6
	var gaps []measure.Optional[length]
	for _, reading := range line {
		gaps = append(gaps, some(height-reading.Or(0)))
	}
	fromLine, fromString := FiniteBend(FromLine, stations, line, 0), FiniteBend(FromString, stations, gaps, 0)
	for i := 1; i < len(stations)-1; i++ {
		l, s := fromLine[i].Or(math.NaN()), fromString[i].Or(math.NaN())
		if !(math.Abs(l-s) < 1e-12) || l < 0 {
			t.Errorf("at %v in the bend is %v from the line, %v from the string", stations[i], l, s)
		}
	}
	if !fromLine[0].Known() || fromString[0].Known() {
		t.Error("the root is a known place on the line, not at the string")
	}
}

func TestAReadingLeftOutLeavesGaps(t *testing.T) {
	stations := every(4, 8)
	whole := arc(40, stations)
	whole[3] = measure.Optional[length]{}
	for i, bend := range FiniteBend(FromLine, stations, whole, 0) {
		if want := i < 2 || (i > 4 && i < 7); bend.Known() != want {
			t.Errorf("station %d has a bend: %v, want %v", i, bend.Known(), want)
		}
	}
	for i, bend := range FiniteBend(FromLine, stations, whole[:3], 0) {
		if want := i < 2; bend.Known() != want {
			t.Errorf("of three readings station %d has a bend: %v", i, bend.Known())
		}
	}
	if bend := FiniteBend(FromLine, nil, nil, 0); len(bend) != 0 {
		t.Errorf("no stations have %v", bend)
	}
}

func TestImpossibleReadingsGiveAFiniteBend(t *testing.T) {
	// checkReading lets each reading pass alone; together they may still ask more than the limb between them.
	for _, bend := range FiniteBend(FromLine, []length{4, 5, 6}, row(4, -4, 6), 0) {
		if b := bend.Or(0); math.IsNaN(b) || math.IsInf(b, 0) {
			t.Errorf("bend %v", b)
		}
	}
}

// Close stations magnify the rule's error: with the trade's 6, 8 and 12 in, the bend at 8 in is taken over 12
// in instead.
func TestCloseStationsArePassedOver(t *testing.T) {
	stations := []length{6, 8, 12, 16, 20}
	readings := arc(60, stations)
	readings[1] = measure.Some(readings[1].Or(0) + 1.0/16)
	near, wide := FiniteBend(FromLine, stations, readings, 0), FiniteBend(FromLine, stations, readings, 3)
	if off := math.Abs(near[1].Or(0) - 1.0/60); off < 0.01 {
		t.Errorf("with a neighbour 2 in off, a reading off by 1/16 in moves the bend by %.4f only", off)
	}
	if off := math.Abs(wide[1].Or(0) - 1.0/60); off > 0.005 {
		t.Errorf("with neighbours 3 in off or more, a reading off by 1/16 in moves the bend by %.4f", off)
	}
}

// The error that is told is the error that there is: the bend of a straight limb read with random errors.
func TestBendErrorIsWhatErrorsOfReadingLeave(t *testing.T) {
	stations := []length{6, 8, 12, 16, 20, 24, 28, 32}
	const sd, n = 1.0 / 32, 20000
	r := rand.New(rand.NewPCG(20, 27))
	for _, from := range []Datum{FromLine, FromString} {
		sum := make([]float64, len(stations))
		for range n {
			readings := make([]measure.Optional[length], len(stations))
			for i := range readings {
				readings[i] = measure.Some(length(sd * r.NormFloat64()))
			}
			for i, b := range FiniteBend(from, stations, readings, 3) {
				sum[i] += b.Or(0) * b.Or(0)
			}
		}
		for i, want := range BendError(from, stations, 3, sd) {
			if got := math.Sqrt(sum[i] / n); math.Abs(got-want) > 0.03*want {
				t.Errorf("%s, station %d: sd %.5f, told %.5f", from, i, got, want)
			}
		}
	}
}
