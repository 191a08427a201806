package strung_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"bendbook/model/strung"
)

// reference reads one of the tables in testdata/reference; its README says where each comes from.
func reference(t testing.TB, file, key string, into any) {
	t.Helper()
	data, err := os.ReadFile("../../testdata/reference/" + file)
	check(t, err)
	var all map[string]json.RawMessage
	check(t, json.Unmarshal(data, &all))
	check(t, json.Unmarshal(all[key], into))
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.9g, want %.9g within %.2g (off by %.2g)", what, got, want, within, got-want)
	}
}

// even is a straight limb of even stiffness.
func even(length, stiffness float64) strung.Limb {
	return strung.Limb{Length: length, At: []float64{0, length}, Stiffness: []float64{stiffness, stiffness}}
}

// Large bending of a cantilever under a dead end load: Bisshopp & Drucker, Quart. Appl. Math. 3 (1945)
// 272–275; Mattiasson, Int. J. Num. Meth. Eng. 17 (1981) 145–153, table 1. All rows were
// recomputed independently with elliptic integrals.
func TestElasticaUnderEndLoad(t *testing.T) {
	var table struct {
		Rows []struct{ Alpha, Theta, W, U, M0 float64 }
	}
	reference(t, "elastica.json", "cantilever_dead_tip_load", &table)
	if len(table.Rows) < 51 {
		t.Fatalf("%d rows", len(table.Rows))
	}
	for _, row := range table.Rows {
		limb, err := strung.Cantilever(even(1, 1), row.Alpha, 0)
		check(t, err)
		near(t, "slope", limb.NockSlope, row.Theta, 1e-5)
		near(t, "deflection", limb.NockY, row.W, 1e-5)
		near(t, "shortening", 1-limb.NockX, row.U, 1e-5)
		near(t, "root moment", limb.RootMoment, row.M0, 3e-5)
	}
}

// A moment at the end bends an even limb to a circle (exact).
func TestElasticaUnderEndMoment(t *testing.T) {
	var table struct {
		Rows []struct {
			M     float64 `json:"ML_EI"`
			Theta float64
			X, W  float64
		}
	}
	reference(t, "elastica.json", "cantilever_end_moment", &table)
	for _, row := range table.Rows {
		limb, err := strung.Cantilever(even(1, 1), 0, row.M)
		check(t, err)
		near(t, "slope", limb.NockSlope, row.Theta, 1e-8)
		near(t, "x", limb.NockX, row.X, 1e-5)
		near(t, "deflection", limb.NockY, row.W, 1e-5)
	}
}

// A limb whose stiffness falls linearly to nothing at its end, under a dead end load: computed
// independently; for small loads it is the handbook's even curvature.
func TestElasticaOfTaperedLimb(t *testing.T) {
	var table struct {
		Rows []struct {
			Alpha0, Theta, X, W, M0 float64
			KappaTip                float64 `json:"kappa_tip"`
		}
	}
	reference(t, "elastica.json", "pyramid_limb_tip_load", &table)
	for _, row := range table.Rows {
		taper := strung.Limb{Length: 1, At: []float64{0, 1}, Stiffness: []float64{1, 1e-8}}
		limb, err := strung.Cantilever(taper, row.Alpha0, 0)
		check(t, err)
		near(t, "slope", limb.NockSlope, row.Theta, 2e-6)
		near(t, "x", limb.NockX, row.X, 2e-6)
		near(t, "deflection", limb.NockY, row.W, 2e-6)
		near(t, "root moment", limb.RootMoment, row.M0, 2e-6)
		// The end itself has a little stiffness left, and no bend; just inside it the bend is that of the table.
		inside := 0
		for 1-limb.S[inside] < 1e-4 {
			inside++
		}
		near(t, "bend at the end", limb.Bend[inside], row.KappaTip, 5e-4)
	}
}

// A clamped column under an axial load past buckling: Timoshenko & Gere, Theory of Elastic
// Stability, table of the elastica (printed values from memory, recomputed independently). It is a braced bow
// without a handle whose limbs are even: the string pulls along the line.
func TestElasticaOfBracedEvenLimbs(t *testing.T) {
	var table struct {
		Rows []struct {
			Angle float64 `json:"tip_angle_deg"`
			Alpha float64
			X, W  float64
		}
	}
	reference(t, "elastica.json", "column_clamped_free_axial", &table)
	for _, row := range table.Rows {
		if row.X <= 0 {
			continue // there the two nocks have passed each other
		}
		s, err := strung.New(strung.Bow{Upper: even(1, 1), Lower: even(1, 1)}, strung.ByLength(2*row.X))
		check(t, err)
		var sol strung.Solution
		check(t, s.Brace(&sol))
		near(t, "brace", sol.Brace, row.W, 2e-5)
		near(t, "tension", sol.Upper.Tension/row.Alpha, 1, 2e-5)
		near(t, "slope", sol.Upper.NockSlope*180/math.Pi, row.Angle, 2e-3)
	}
}

// literatureBow has lengths over the draw and forces over the full-draw force.
type literatureBow struct {
	L, L0, OH, OD float64
	Half          float64      `json:"string_half_length"`
	KBrace        float64      `json:"K_brace_over_Ffull"`
	KFull         float64      `json:"K_full_over_Ffull"`
	W0            float64      `json:"W0_for_F1"`
	Q             float64      `json:"q"`
	F             [][2]float64 `json:"F_over_Ffull"`
	Tip           [3]float64   `json:"tip_full"`
}

// The straight bow of the literature (Klopsteg's, in Kooi & Sparenberg, J. Eng. Math. 14 (1980)
// 27–45, and Kooi's thesis, Groningen 1983): stiffness falls linearly to nearly nothing at the nock.
// Its static quality, stored energy over force times draw, is printed as q = .407 (from
// memory) and was solved independently as .40736.
func TestLiteratureStraightBow(t *testing.T) {
	var ref literatureBow
	reference(t, "bow_static.json", "literature_straight_bow_linear", &ref)
	limb := strung.Limb{Length: ref.L - ref.L0, At: []float64{0, ref.L - ref.L0},
		Stiffness: []float64{ref.W0, ref.W0 * 1e-6}}
	s, err := strung.New(strung.Bow{Handle: 2 * ref.L0, Upper: limb, Lower: limb}, strung.ByBrace(ref.OH))
	check(t, err)
	var sol strung.Solution
	check(t, s.Brace(&sol))
	near(t, "string", sol.StringLength/2, ref.Half, 2e-6)
	near(t, "tension braced", sol.Upper.Tension/ref.KBrace, 1, 5e-5)
	check(t, s.Draw(ref.OD, &sol))
	full := sol.Force
	near(t, "force at full draw", full, 1, 5e-5)
	near(t, "tension at full draw", sol.Upper.Tension/ref.KFull, 1, 5e-5)
	near(t, "nock x", sol.Upper.NockX, ref.Tip[0], 1e-5)
	near(t, "nock y", sol.Upper.NockY, ref.Tip[1], 1e-5)
	// How little stiffness is left at the very nock decides how the last hair of limb stands.
	near(t, "nock slope", sol.Upper.NockSlope, ref.Tip[2], 1e-3)
	near(t, "static quality", sol.Work/full/ref.OD, ref.Q, 1e-5)
	for _, row := range ref.F {
		check(t, s.Draw(row[0], &sol))
		near(t, "force", sol.Force/row[1], 1, 5e-5)
	}
}

// The inch bow, 72 in nock to nock: computed by an independent shooting solution.
func TestInchBow(t *testing.T) {
	var ref struct {
		Half    float64      `json:"string_half_length"`
		KBrace  float64      `json:"K_brace_lbf"`
		F       [][2]float64 `json:"F_lbf"`
		Tip     [][4]float64 `json:"tip"`
		Moment  [][2]float64 `json:"root_moment"`
		Energy  float64      `json:"energy_stored_in_lbf"`
		Quality float64      `json:"q"`
	}
	reference(t, "bow_static.json", "inch_bow_linear", &ref)
	s, err := strung.New(inchBow(), strung.ByBrace(6))
	check(t, err)
	var sol strung.Solution
	check(t, s.Brace(&sol))
	near(t, "string", sol.StringLength/2, ref.Half, 1e-5)
	near(t, "tension braced", sol.Upper.Tension, ref.KBrace, 1e-4)
	for i, row := range ref.F {
		check(t, s.Draw(row[0], &sol))
		near(t, "force", sol.Force/row[1], 1, 5e-4)
		near(t, "nock x", sol.Upper.NockX, ref.Tip[i][1], 0.003)
		near(t, "nock y", sol.Upper.NockY, ref.Tip[i][2], 0.003)
		near(t, "nock slope", sol.Upper.NockSlope, ref.Tip[i][3], 1e-4)
		near(t, "root moment", sol.Upper.RootMoment/ref.Moment[i][1], 1, 5e-4)
	}
	near(t, "work", sol.Work, ref.Energy, 5e-4*ref.Energy)
	near(t, "static quality", sol.Work/sol.Force/28, ref.Quality, 1e-5)
}

// A braced limb is an arc of a circle where its stiffness is K·R·(y at the nock − y), with K
// the tension and R the radius, and the string parallel to the line: exact. Knots every
// twentieth of an inch give that stiffness to the solver.
func TestBracedArc(t *testing.T) {
	var ref struct {
		L, L0, R, K float64
		Brace       float64
		Half        float64 `json:"string_half_length"`
		EI          [][2]float64
	}
	reference(t, "bow_static.json", "closed_form_braced_arc", &ref)
	length := ref.L - ref.L0
	height := func(s float64) float64 { return ref.R * (1 - math.Cos(s/ref.R)) }
	stiffness := func(s float64) float64 { return ref.K * ref.R * (height(length) - height(s)) }
	for _, row := range ref.EI {
		near(t, "stiffness of the table", stiffness(row[0]-ref.L0), row[1], 1e-3)
	}
	limb := strung.Limb{Length: length}
	n := 680
	for i := range n + 1 {
		s := length * float64(i) / float64(n)
		limb.At = append(limb.At, s)
		limb.Stiffness = append(limb.Stiffness, math.Max(stiffness(s), 1e-3))
	}
	limb.At[n] = length
	s, err := strung.New(strung.Bow{Handle: 2 * ref.L0, Upper: limb, Lower: limb}, strung.ByBrace(ref.Brace))
	check(t, err)
	var sol strung.Solution
	check(t, s.Brace(&sol))
	near(t, "tension", sol.Upper.Tension/ref.K, 1, 1e-4)
	near(t, "string", sol.StringLength/2, ref.Half, 1e-4)
	places := strung.LimbPlaces{At: limb.At}
	check(t, s.SetPlaces(strung.Places{places, places}))
	var read strung.Readings
	check(t, s.Read(&sol, &read))
	for i, at := range limb.At {
		near(t, "height", read[0].Line[i], height(at), 1e-4*ref.Brace)
	}
}
