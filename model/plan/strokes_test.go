package plan_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/plan"
	"bendbook/model/section"
)

// A shop scrapes with one tool, which takes what nobody knows, counts its strokes, and learns.
type shop struct {
	hidden  float64 // in, at a stroke
	bow     int
	scraped []plan.Scraped
}

func (s *shop) learnt() plan.Stroke { return plan.Learn(s.scraped) }

// measure tells the estimate widths and depths of a stave, as a rectangle of a wood that is as stiff as most:
// 1.7 million psi.
func (s *shop) measure(at *sitting, bow *estimate.Bow) {
	const modulus = 1.7e6
	bow.Section, bow.Modulus = section.Rectangle, modulus
	for _, side := range model.Sides {
		limb := at.stave.Limb(side)
		for i := 0; i < len(limb.At); i += 8 {
			width := 1.2 - 0.6*limb.At[i]/limb.Length
			depth := math.Cbrt(12 * limb.Stiffness[i] / (modulus * width))
			bow.Limbs[side].Sizes = append(bow.Limbs[side].Sizes,
				estimate.Size{At: limb.At[i], Width: width, Depth: math.Round(100*depth) / 100})
		}
	}
}

// strokes is how many strokes the bowyer counts for a cut, by what he believes one takes, and what comes off.
func (s *shop) strokes(c plan.Cut, bow estimate.Bow) (n int, loss float64) {
	depth, _ := bow.Depth(c.Side, (c.From+c.To)/2)
	n = s.learnt().Strokes(depth * bow.DepthShare(c.Loss))
	return n, bow.Loss(float64(n) * s.hidden / depth)
}

// see learns what the readings after a scraping show.
func (s *shop) see(st estimate.State) {
	for _, r := range st.Removed() {
		if depth, known := r.SeenDepth(st.Bow()); known {
			s.scraped = append(s.scraped, plan.Scraped{Bow: s.bow, Strokes: r.Scrape.Strokes, Depth: depth})
		}
	}
}

// TestStrokesAreLearnt has shops with tools that take 0.0014 to 0.003 in at a stroke: the figure is within 15
// % after five bows, and its band holds the truth. The long run goes on to twenty bows.
func TestStrokesAreLearnt(t *testing.T) {
	t.Parallel()
	hidden := []float64{0.003}
	if series.Long {
		hidden = []float64{0.002, 0.0014, 0.003}
	}
	for _, truth := range hidden {
		shop := &shop{hidden: truth}
		for k := range series.Count(5, 20) {
			r := series.Rand(t, 5, k)
			stave := ordered(r, planed)
			at := newSitting(t, r, &stave, gauged())
			at.shop, shop.bow = shop, k
			res := at.told()
			learnt := shop.learnt()
			t.Logf("%.4f in: after %d bows of %d scrapings %.5f (%.5f to %.5f), scatter %.2f; weight off by %.2f lb",
				truth, k+1, learnt.Count,
				learnt.Depth.Estimate, learnt.Depth.Low, learnt.Depth.High, learnt.Scatter, res.off)
			if k >= 4 && math.Abs(learnt.Depth.Estimate/truth-1) > 0.15 {
				t.Errorf("after %d bows %.5f in a stroke, truly %.4f", k+1, learnt.Depth.Estimate, truth)
			}
			if k >= 4 && !(learnt.Depth.Low <= truth && truth <= learnt.Depth.High) {
				t.Errorf("after %d bows the band %.5f to %.5f does not hold %.4f", k+1, learnt.Depth.Low,
					learnt.Depth.High, truth)
			}
		}
	}
}

// TestLearnedStrokesAreSane: two thousandths, more or less, before any are counted; positive whatever was
// counted; and one odd scraping among many moves little.
func TestLearnedStrokesAreSane(t *testing.T) {
	s := plan.Learn(nil)
	if s.Count != 0 || math.Abs(s.Depth.Estimate-0.002) > 1e-9 || s.Depth.Low > 0.001 || s.Depth.High < 0.003 {
		t.Errorf("%+v", s)
	}
	rapid.Check(t, func(t *rapid.T) {
		truth := rapid.Float64Range(0.001, 0.004).Draw(t, "truth")
		var all []plan.Scraped
		for range rapid.IntRange(12, 40).Draw(t, "scrapings") {
			n := rapid.IntRange(3, 40).Draw(t, "strokes")
			depth := truth * float64(n) * (1 + 0.2*rapid.Float64Range(-1, 1).Draw(t, "off"))
			all = append(all, plan.Scraped{Strokes: n, Depth: estimate.Figure{Estimate: depth, Low: 0.8 * depth,
				High: 1.2 * depth}})
		}
		before := plan.Learn(all)
		if math.Abs(before.Depth.Estimate/truth-1) > 0.25 {
			t.Fatalf("%+v, truly %v", before, truth)
		}
		all = append(all, plan.Scraped{Strokes: 1, Depth: estimate.Figure{Estimate: 0.2, Low: 0.19, High: 0.21}})
		after := plan.Learn(all)
		if r := after.Depth.Estimate / before.Depth.Estimate; r > 1.2 || r < 0.83 {
			t.Fatalf("one odd scraping moves %v to %v", before.Depth, after.Depth)
		}
		all = append(all, plan.Scraped{Strokes: 10, Depth: estimate.Figure{Estimate: -0.01, Low: -0.05,
			High: 0.03}}, plan.Scraped{})
		if s := plan.Learn(all); !(s.Depth.Low > 0) || s.Depth.Low > s.Depth.Estimate ||
			s.Depth.Estimate > s.Depth.High || math.IsInf(s.Depth.High, 0) {
			t.Fatalf("%+v", s)
		}
	})
}
