package model

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model/measure"
)

// asked finds the stations that FarFromNeighbours asks about, each by the two inward of it; the root itself
// lies on the line.
func asked(stations []length, readings []length) map[int]bool {
	at := append([]length{0}, stations...)
	y := append([]length{0}, readings...)
	out := make(map[int]bool)
	for i := 2; i < len(at); i++ {
		if _, far := FarFromNeighbours(Place{at[i-2], y[i-2]}, Place{at[i-1], y[i-1]}, Place{at[i], y[i]}); far {
			out[i-1] = true
		}
	}
	return out
}

// read gives the readings along a limb whose curvature is given from the root out.
func read(stations []length, curvature func(s float64) float64) []length {
	const step = 1e-3
	var readings []length
	s, angle, y := 0.0, 0.0, 0.0
	for _, at := range stations {
		for s < float64(at) {
			angle += curvature(s+step/2) * step
			y += math.Sin(angle-curvature(s+step/2)*step/2) * step
			s += step
		}
		readings = append(readings, length(y))
	}
	return readings
}

func TestHonestLimbsAreNotAskedAbout(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// No place bends tighter than to 16 in; the angle stays below a right one, past which no limb is drawn.
		root := rapid.Float64Range(0, 1./16).Draw(t, "bend at the root")
		tip := rapid.Float64Range(0, 1./16).Draw(t, "bend at the tip")
		power := rapid.Float64Range(.5, 4).Draw(t, "taper")
		const long = 34.0
		scale := min(1, 1.5/((root+tip)*long))
		var stations []length
		for at := 0.0; at < 30; {
			at += rapid.Float64Range(1, 4).Draw(t, "step")
			stations = append(stations, length(at))
		}
		bend := func(s float64) float64 { return scale * (root + (tip-root)*math.Pow(s/long, power)) }
		honest := read(stations, bend)
		for i := range honest {
			honest[i] += length(rapid.Float64Range(-1./16, 1./16).Draw(t, "rule's error"))
		}
		if doubts := asked(stations, honest); len(doubts) > 0 {
			t.Fatalf("asked about %v of\n%v at\n%v", doubts, honest, stations)
		}
	})
}

func TestTheTightestArcsAreNotAskedAbout(t *testing.T) {
	for _, step := range []length{1, 2, 4} {
		stations := every(step, int(24/step)) // near a quarter of the circle
		for _, radius := range []float64{16, -16, 25, 60} {
			honest := read(stations, func(float64) float64 { return 1 / radius })
			if doubts := asked(stations, honest); len(doubts) > 0 {
				t.Errorf("radius %v in, every %v in: asked about %v", radius, step, doubts)
			}
		}
	}
}

func TestASlipOfAnInchIsAskedAbout(t *testing.T) {
	// At the station itself, at the next, where the slip shows doubled, or at the one after it.
	stations := every(4, 8)
	for _, radius := range []float64{25, 40, 60, 100, math.Inf(1)} {
		honest := read(stations, func(float64) float64 { return 1 / radius })
		for i := range stations[:len(stations)-1] {
			for _, slip := range []length{1, -1} {
				typed := append([]length(nil), honest...)
				typed[i] += slip
				if doubts := asked(stations, typed); !doubts[i] && !doubts[i+1] && !doubts[i+2] {
					t.Errorf("radius %v: a slip of %v in at station %d is let pass", radius, slip, i)
				}
			}
		}
	}
}

func TestTheExpectedReadingIsOnTheLine(t *testing.T) {
	expected, far := FarFromNeighbours(Place{4, 1}, Place{8, 2}, Place{12, 8.25})
	if expected != 3 || !far {
		t.Errorf("4 in: 1, 8 in: 2, 12 in: 8 1/4 gives %v, %v", expected, far)
	}
	for _, places := range [][3]Place{{{4, 1}, {4, 1}, {8, 9}}, {{4, 1}, {8, 1}, {8, 9}}} {
		if _, far := FarFromNeighbours(places[0], places[1], places[2]); far {
			t.Errorf("places that are one say nothing: %v", places)
		}
	}
}

func TestAReadingIsHeldAgainstTheLastPass(t *testing.T) {
	for _, c := range []struct {
		now, earlier length
		far          bool
	}{
		{8.25, 3.25, true}, {3.25, 8.25, true}, // "was 3 1/4, now 8 1/4"
		{4.25, 3.25, true}, {5, 6, true}, {1, 0, true}, // an inch off
		{3.75, 3.25, false}, {2.75, 3.25, false}, {6, 6, false}, {-.5, 0, false}, // what scraping does
		{17, 16, true}, {20, 19, false}, // far out, deep in the draw, the tip moves more
	} {
		if got := FarFromEarlier(c.now, c.earlier); got != c.far {
			t.Errorf("was %v, now %v: %v", c.earlier, c.now, got)
		}
	}
}

func TestAPeakIsHeldAgainstTheLastPass(t *testing.T) {
	for _, c := range []struct {
		now, earlier measure.Force
		far          bool
	}{
		{36, 38, false}, {38, 38, false}, {39, 38, false}, // scraped; the scale's error
		{30, 40, false}, {25, 40, false}, // a bold pass
		{24, 40, true}, {83, 38, true}, {3.6, 36, true}, {44, 40, true}, // typed wrong
	} {
		if got := FarFromEarlierPeak(c.now, c.earlier); got != c.far {
			t.Errorf("was %v lb, now %v lb: %v", c.earlier, c.now, got)
		}
	}
}

func TestALongerDrawNeverWeighsLess(t *testing.T) {
	pull := func(draw length, peak measure.Force) Pull { return Pull{Draw: draw, Peak: pounds(peak)} }
	for _, c := range []struct {
		shorter, longer Pull
		want            bool
	}{
		{pull(18, 20), pull(20, 19), true},
		{pull(18, 20), pull(20, 20), false},
		{pull(18, 20), pull(20, 23), false},
		{pull(18, 20), pull(18, 19), false},
		{pull(20, 19), pull(18, 20), false},
		{Pull{Draw: 18}, pull(20, 19), false},
		{pull(18, 20), Pull{Draw: 20}, false},
	} {
		if got := Sawtooth(c.shorter, c.longer); got != c.want {
			t.Errorf("%v at %v, %v at %v: %v", c.shorter.Peak, c.shorter.Draw, c.longer.Peak, c.longer.Draw, got)
		}
	}
}
