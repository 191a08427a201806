package section

import (
	"encoding/json"
	"math"
	"os"
	"testing"
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
	check(t, err)
	var all map[string]json.RawMessage
	check(t, json.Unmarshal(data, &all))
	check(t, json.Unmarshal(all[key], into))
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within*math.Abs(want)) {
		t.Errorf("%s: %.10g, want %.10g", what, got, want)
	}
}

// Formulas of Roark's Formulas for Stress and Strain, table A.1 (from memory), each value integrated
// numerically. A bend strains each face by its distance from the neutral axis: the moment over the section
// modulus, I/Z times the bend. The belly of a D lies farther out than its back, so it is pressed harder than
// the back is stretched.
func TestSectionsOfTheTable(t *testing.T) {
	const bend = 1.0 / 40
	for key, kind := range map[string]Kind{
		"rectangle": Rectangle, "ellipse": Ellipse,
		"semi_ellipse_flat_back": D, "rounded_D_t0.4": D, "rounded_D_t0.25": D, "rounded_D_min_ratio": D,
	} {
		var ref reference
		table(t, key, &ref)
		s := Section{kind: kind, width: ref.Params.B, depth: ref.Params.H, side: ref.Params.T}
		area, centroid, _ := s.moments()
		near(t, key+", area", area, ref.A, 1e-8)
		near(t, key+", centroid", centroid, ref.Y, 1e-8)
		near(t, key+", second moment", s.SecondMoment(), ref.I, 1e-8)
		back, belly := s.Strain(bend)
		near(t, key+", back", back, bend*ref.I/ref.ZBack, 1e-7)
		near(t, key+", belly", belly, -bend*ref.I/ref.ZBelly, 1e-7)
		if kind == D && -belly < 1.2*back {
			t.Errorf("%s: the belly strains %.5f, the back %.5f", key, belly, back)
		}
	}
}

// scraped is the share of the second moment that is left when wood came off the belly of a section 1.25 wide
// and 1 deep; the sides of a D stay.
func scraped(t *testing.T, kind Kind, off float64) float64 {
	t.Helper()
	s, _ := New(kind, 1.25, 1)
	thin := s
	thin.depth -= off
	return thin.SecondMoment() / s.SecondMoment()
}

// The cube rule: arithmetic.
func TestSimilarSectionsFollowTheCubeRule(t *testing.T) {
	var ref struct {
		Rows []struct {
			Off   float64 `json:"dt_over_t"`
			Ratio float64 `json:"EI_ratio_rect"`
		}
	}
	table(t, "_cube_rule", &ref)
	for _, row := range ref.Rows {
		near(t, "rectangle", scraped(t, Rectangle, row.Off), row.Ratio, 1e-8)
		near(t, "ellipse", scraped(t, Ellipse, row.Off), row.Ratio, 1e-8)
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
	for _, row := range ref.Rows {
		ratio := scraped(t, D, row.Off)
		near(t, "stiffness", ratio, row.Ratio, 1e-7)
		near(t, "exponent", math.Log(ratio)/math.Log(1-row.Off), row.Exponent, 1e-5)
	}
}

// Strain is distance over radius.
func TestStrain(t *testing.T) {
	var ref struct {
		Rows []struct{ C, R, Strain float64 }
	}
	table(t, "_strain", &ref)
	for _, row := range ref.Rows {
		s, _ := New(Rectangle, 1, 2*row.C)
		back, belly := s.Strain(1 / row.R)
		near(t, "back", back, row.Strain, 1e-12)
		near(t, "belly", belly, -row.Strain, 1e-12)
	}
}

func TestWhatIsNoSectionIsRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range [][2]float64{{0, 1}, {1, 0}, {-1, 1}, {nan, 1}, {1, nan}, {inf, 1}, {1, inf}} {
		if _, ok := New(D, c[0], c[1]); ok {
			t.Errorf("%v is a section", c)
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
