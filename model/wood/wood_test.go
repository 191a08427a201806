package wood

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Wood Handbook, FPL-GTR-190 and -282, table 4-2, per cent (printed with one decimal).
func TestMoistureOfTable42(t *testing.T) {
	humidity := []float64{20, 30, 40, 50, 60, 65, 70, 80, 90}
	for fahrenheit, row := range map[float64][]float64{
		30: {4.6, 6.3, 7.9, 9.5, 11.3, 12.4, 13.5, 16.5, 21.0},
		50: {4.6, 6.3, 7.9, 9.5, 11.2, 12.3, 13.4, 16.4, 20.9},
		70: {4.5, 6.2, 7.7, 9.2, 11.0, 12.0, 13.1, 16.0, 20.5},
		90: {4.3, 5.9, 7.4, 8.9, 10.5, 11.5, 12.6, 15.4},
	} {
		for i, want := range row {
			got, ok := MoistureInAir((fahrenheit-32)/1.8, humidity[i]/100)
			if !ok || math.Abs(100*got-want) > 0.06 {
				t.Errorf("%v °F, %v %%: %.3f %%, %v; the table has %v", fahrenheit, humidity[i], 100*got, ok, want)
			}
		}
	}
}

func modulusAt(dry, green, meeting, moisture float64) (float64, bool) {
	return Wood{Modulus: dry, GreenModulus: green, meeting: meeting}.ModulusAt(moisture)
}

// Computed independently from the equation of Wood Handbook, ch. 5 (from memory), in MPa.
func TestModulusAtOtherMoisture(t *testing.T) {
	for _, c := range []struct{ dry, green, meeting, moisture, want float64 }{
		{12000, 9900, 0.24, 0.08, 12794.69}, {12000, 9900, 0.24, 0.15, 11436.54}, // white ash
		{14900, 10800, 0, 0.08, 16450.92}, {14900, 10800, 0, 0.15, 13833.54}, // shagbark hickory
		{14900, 10800, 0, 0.12, 14900}, {14900, 10800, 0, 0.25, 10800}, {14900, 10800, 0, 0.8, 10800},
	} {
		got, ok := modulusAt(c.dry, c.green, c.meeting, c.moisture)
		if !ok || math.Abs(got-c.want) > 0.006 {
			t.Errorf("%+v: %.3f, %v", c, got, ok)
		}
	}
}

func TestDrierIsStifferAndDamperAirIsDamper(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		green := rapid.Float64Range(1, 100).Draw(t, "green")
		dry := green * rapid.Float64Range(1, 2).Draw(t, "gain")
		m := rapid.Float64Range(0, 0.4).Draw(t, "moisture")
		a, okA := modulusAt(dry, green, 0, m)
		b, okB := modulusAt(dry, green, 0, m+0.01)
		if !okA || !okB || b > a*(1+1e-12) || b < green*(1-1e-12) {
			t.Fatalf("%v %v, %v %v", a, okA, b, okB)
		}
		celsius, h := rapid.Float64Range(-20, 60).Draw(t, "celsius"),
			rapid.Float64Range(0, 0.97).Draw(t, "humidity")
		p, okP := MoistureInAir(celsius, h)
		q, okQ := MoistureInAir(celsius, h+0.01)
		if !okP || !okQ || !(q > p && p >= 0 && q < 0.5) {
			t.Fatalf("%v %v, %v %v", p, okP, q, okQ)
		}
	})
}

func TestWhatIsNoAirIsRefused(t *testing.T) {
	nan := math.NaN()
	for _, c := range [][2]float64{{-21, 0.5}, {61, 0.5}, {20, -0.1}, {20, 1}, {nan, 0.5}, {20, nan},
		{math.Inf(1), 0.5}} {
		if _, ok := MoistureInAir(c[0], c[1]); ok {
			t.Errorf("%v is air", c)
		}
	}
	for _, c := range [][4]float64{{0, 1, 0, 0.1}, {1, 0, 0, 0.1}, {1, 1, 0.1, 0.1}, {1, 1, 0, -1},
		{1, 1, 0, nan}, {nan, 1, 0, 0.1}, {math.Inf(1), 1, 0, 0.1}, {1, 1, nan, 0.1}} {
		if p, ok := modulusAt(c[0], c[1], c[2], c[3]); ok {
			t.Errorf("%v gives %v", c, p)
		}
	}
}

func TestWoodsAreFoundByAnyOfTheirNames(t *testing.T) {
	for _, c := range [][2]string{
		{"ash", "ash, white"}, {"White Ash", "ash, white"}, {"ash, white", "ash, white"}, {"yew", "yew, Pacific"},
		{"European yew", "yew, European"}, {"Osage-Orange", "osage-orange"}, {" ipe ", "ipe"},
	} {
		if w, ok := Find(c[0]); !ok || w.Name != c[1] {
			t.Errorf("%q finds %q", c[0], w.Name)
		}
	}
	for _, name := range []string{"", "pine", "white", "green ash"} {
		if w, ok := Find(name); ok {
			t.Errorf("%q finds %q", name, w.Name)
		}
	}
	ash, _ := Find("ash")
	if e, ok := ash.ModulusAt(0.08); !ok || e <= ash.Modulus {
		t.Errorf("dry ash: %v, %v", e, ok)
	}
	if _, ok := ash.ModulusAt(math.NaN()); ok {
		t.Error("a modulus at no moisture")
	}
	if oak, _ := Find("oak"); oak.Name == "" {
		t.Error("no oak")
	} else if _, ok := oak.ModulusAt(0.1); ok {
		t.Error("oak's green modulus isn't listed")
	}
	for _, w := range table() {
		unsourced := w.Source == "" || w.StrainHigh > 0 && w.StrainSource == ""
		if w.Modulus == 0 && w.GreenModulus == 0 || unsourced || w.StrainLow > w.StrainHigh {
			t.Errorf("%+v", w)
		}
	}
}
