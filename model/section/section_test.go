package section

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"testing"

	"pgregory.net/rapid"
)

type reference struct {
	Params struct{ B, H, T float64 }
	A, I   float64
	Y      float64 `json:"y_centroid_from_back"`
	ZBack  float64 `json:"Z_back"`
	ZBelly float64 `json:"Z_belly"`
}

func table(t *testing.T, key string, into any) {
	t.Helper()
	data, err := os.ReadFile("../../testdata/reference/sections.json")
	if err != nil {
		t.Fatal(err)
	}
	var all map[string]json.RawMessage
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(all[key], into); err != nil {
		t.Fatalf("%s: %v", key, err)
	}
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within*math.Abs(want)) {
		t.Errorf("%s: %.10g, want %.10g", what, got, want)
	}
}

// Formulas of Roark's Formulas for Stress and Strain, table A.1 (from memory), each value integrated numerically.
func TestSectionsOfTheTable(t *testing.T) {
	for key, kind := range map[string]Kind{
		"rectangle": Rectangle, "ellipse": Ellipse, "semi_ellipse_flat_back": D, "rounded_D_t0.4": D, "rounded_D_t0.25": D, "rounded_D_min_ratio": D,
	} {
		t.Run(key, func(t *testing.T) {
			var ref reference
			table(t, key, &ref)
			s, err := New(kind, ref.Params.B, ref.Params.H)
			if kind == D {
				s, err = NewD(ref.Params.B, ref.Params.H, ref.Params.T)
			}
			if err != nil {
				t.Fatal(err)
			}
			back, belly := s.Faces()
			near(t, "area", s.Area(), ref.A, 1e-8)
			near(t, "centroid", back, ref.Y, 1e-8)
			near(t, "second moment", s.SecondMoment(), ref.I, 1e-8)
			near(t, "over the back", s.SecondMoment()/back, ref.ZBack, 1e-7)
			near(t, "over the belly", s.SecondMoment()/belly, ref.ZBelly, 1e-7)
		})
	}
}

// The cube rule, and its inverse: arithmetic.
func TestSimilarSectionsFollowTheCubeRule(t *testing.T) {
	var ref struct {
		Rows []struct {
			Off   float64 `json:"dt_over_t"`
			Ratio float64 `json:"EI_ratio_rect"`
			Depth float64 `json:"thickness_ratio_for_weight_ratio"`
		}
	}
	table(t, "_cube_rule", &ref)
	for _, kind := range []Kind{Rectangle, Ellipse} {
		s, err := New(kind, 1.25, 1)
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range ref.Rows {
			thin, err := s.WithDepth(1 - row.Off)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "stiffness", thin.SecondMoment()/s.SecondMoment(), row.Ratio, 1e-8)
			depth, err := s.DepthFor(1 - row.Off)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "depth", depth, row.Depth, 1e-8)
		}
	}
}

// A D scraped on its belly: computed independently by numerical integration.
func TestScrapingTheBellyOfD(t *testing.T) {
	var ref struct {
		Rows []struct {
			Off      float64 `json:"dh"`
			Ratio    float64 `json:"I_ratio"`
			Exponent float64
		}
	}
	table(t, "_rounded_D_belly_scrape", &ref)
	s, err := New(D, 1.25, 1)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range ref.Rows {
		thin, err := s.WithDepth(1 - row.Off)
		if err != nil {
			t.Fatal(err)
		}
		ratio := thin.SecondMoment() / s.SecondMoment()
		near(t, "stiffness", ratio, row.Ratio, 1e-7)
		near(t, "exponent", math.Log(ratio)/math.Log(1-row.Off), row.Exponent, 1e-5)
		depth, err := s.DepthFor(row.Ratio)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "depth", depth, 1-row.Off, 1e-7)
	}
}

// Strain is distance over radius.
func TestStrain(t *testing.T) {
	var ref struct {
		Rows []struct{ C, R, Strain float64 }
	}
	table(t, "_strain", &ref)
	for _, row := range ref.Rows {
		s, err := New(Rectangle, 1, 2*row.C)
		if err != nil {
			t.Fatal(err)
		}
		back, belly := s.Strain(1 / row.R)
		near(t, "back", back, row.Strain, 1e-12)
		near(t, "belly", belly, -row.Strain, 1e-12)
	}
}

// A bend strains each face by its distance from the neutral axis: the moment over the section modulus, I/Z
// times the bend (Roark's Formulas for Stress and Strain, table A.1, from memory; integrated numerically).
// The belly of a D lies farther out than its back, so it is pressed harder than the back is stretched.
func TestStrainIsThatOfEachFace(t *testing.T) {
	const bend = 1.0 / 40
	for key, kind := range map[string]Kind{
		"rectangle": Rectangle, "ellipse": Ellipse,
		"semi_ellipse_flat_back": D, "rounded_D_t0.4": D, "rounded_D_min_ratio": D,
	} {
		var ref reference
		table(t, key, &ref)
		s, err := New(kind, ref.Params.B, ref.Params.H)
		if kind == D {
			s, err = NewD(ref.Params.B, ref.Params.H, ref.Params.T)
		}
		if err != nil {
			t.Fatal(err)
		}
		back, belly := s.Strain(bend)
		near(t, key+", back", back, bend*ref.I/ref.ZBack, 1e-7)
		near(t, key+", belly", belly, -bend*ref.I/ref.ZBelly, 1e-7)
		if kind == D && -belly < 1.2*back {
			t.Errorf("%s: the belly strains %.5f, the back %.5f", key, belly, back)
		}
	}
}

func TestDepthForUndoesSecondMoment(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]Kind{D, Rectangle, Ellipse}).Draw(t, "kind")
		s, err := New(kind, rapid.Float64Range(0.1, 60).Draw(t, "width"), rapid.Float64Range(0.1, 60).Draw(t, "depth"))
		if err != nil {
			t.Fatal(err)
		}
		other, err := s.WithDepth(s.Depth() * rapid.Float64Range(0.45, 3).Draw(t, "share"))
		if err != nil {
			t.Fatal(err)
		}
		depth, err := s.DepthFor(other.SecondMoment() / s.SecondMoment())
		if err != nil || math.Abs(depth-other.Depth()) > 1e-9*depth {
			t.Fatalf("%v, %v; want %v", depth, err, other.Depth())
		}
	})
}

func TestWhatIsNoSectionIsRefused(t *testing.T) {
	nan := math.NaN()
	for _, c := range [][2]float64{{0, 1}, {1, 0}, {-1, 1}, {nan, 1}, {1, nan}, {math.Inf(1), 1}, {1, math.Inf(1)}} {
		if _, err := New(D, c[0], c[1]); !errors.Is(err, ErrSize) {
			t.Errorf("New(D, %v) gives %v", c, err)
		}
	}
	if _, err := NewD(1, 1, 1.1); !errors.Is(err, ErrSize) {
		t.Errorf("sides beyond the depth give %v", err)
	}
	if _, err := New(Kind(7), 1, 1); !errors.Is(err, ErrKind) {
		t.Errorf("kind 7 gives %v", err)
	}
	if _, err := ParseKind("round"); !errors.Is(err, ErrKind) {
		t.Errorf("round gives %v", err)
	}
	for _, k := range []Kind{D, Rectangle, Ellipse} {
		if got, err := ParseKind(k.String()); got != k || err != nil {
			t.Errorf("%v comes back as %v, %v", k, got, err)
		}
	}
	s, err := New(D, 1.25, 1)
	if err != nil {
		t.Fatal(err)
	}
	for _, share := range []float64{0, -1, nan, 1e-3, 1e300} {
		if _, err := s.DepthFor(share); !errors.Is(err, ErrDepth) {
			t.Errorf("share %v gives %v", share, err)
		}
	}
	if _, err := s.WithDepth(0.3); !errors.Is(err, ErrDepth) {
		t.Errorf("a depth within the sides gives %v", err)
	}
}
