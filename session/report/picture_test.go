package report

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// advised is a story with what its readings say.
type advised struct {
	story   session.Story
	advice  verdict.Advice
	verdict verdict.Verdict
}

// demoShop is the demo shop's stories with what their readings say, by the bow's name.
func demoShop(t testing.TB) map[string]advised {
	t.Helper()
	all := make(map[string]advised)
	for _, story := range demoStories(t) {
		a, err := verdict.Of(story, verdict.Usual(), nil)
		must(t, err)
		all[story.Bow().Name] = advised{story, a, a.Judge(subject(story, 0).Finishing)}
	}
	return all
}

func svgOf(t rapid.TB, p picture) string {
	t.Helper()
	var b strings.Builder
	must(t, pages.ExecuteTemplate(&b, "svg", p.Drawing()))
	return b.String()
}

// texts are the words of a drawing, and whether it is whole XML.
func texts(t testing.TB, svg string) []string {
	t.Helper()
	var all []string
	dec := xml.NewDecoder(strings.NewReader(svg))
	for {
		token, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return all
		}
		if err != nil {
			t.Fatalf("%v in\n%s", err, svg)
		}
		if text, isText := token.(xml.CharData); isText && strings.TrimSpace(string(text)) != "" {
			all = append(all, strings.TrimSpace(string(text)))
		}
	}
}

// TestTheDemoShopsPictures: every tillered bow has all of them, each named, told in a sentence and in a table.
// Every two lines differ in dash or mark, as on a black and white print.
func TestTheDemoShopsPictures(t *testing.T) {
	for name, bow := range demoShop(t) {
		var names []string
		for _, p := range pictures(bow.story, bow.advice, bow.verdict) {
			names = append(names, p.Name)
			said := texts(t, svgOf(t, p))
			if said[0] != p.Title || said[1] != p.Says {
				t.Errorf("%s: %s does not begin with its title and its words: %q", name, p.Name, said[:2])
			}
			if len(p.Says) < 40 || !strings.HasSuffix(p.Says, ".") || strings.Contains(p.Says, "NaN") {
				t.Errorf("%s: %s is told as %q", name, p.Name, p.Says)
			}
			otherLength := func(row []string) bool { return len(row) != len(p.Table.Head) }
			if len(p.Table.Rows) == 0 || slices.ContainsFunc(p.Table.Rows, otherLength) {
				t.Errorf("%s: %s has the figures %q", name, p.Name, p.Table)
			}
			if looks := looksOf(p); len(slices.Compact(slices.Sorted(maps.Values(looks)))) < len(looks) {
				t.Errorf("%s: in %s some lines look alike: %q", name, p.Name, looks)
			}
		}
		if got := strings.Join(names, " "); got != "limbs changes bend force weights" &&
			(name != "Locust for Bram" || got != "limbs bend force weights") {
			t.Errorf("%s has the pictures %q", name, got)
		}
	}
}

// looksOf is how each line that the legend names looks in black and white.
func looksOf(p picture) map[string]string {
	looks := make(map[string]string)
	for _, s := range p.chart.series {
		if s.name != "" {
			looks[s.name] = fmt.Sprint(s.look.dash, s.look.mark, s.look.bare, s.look.width > 3)
		}
	}
	return looks
}

// TestPicturesSayWhatTheReadingsSay of a bow that was drawn to 18 in in five passes, and whose upper limb
// moved by 1/8 in a pass at 12 in.
func TestPicturesSayWhatTheReadingsSay(t *testing.T) {
	w := newWorkshop(t, ash())
	w.add(t, pull(10, 12, nil, nil))
	for pass := range 5 {
		peak, tip := 31.4-0.5*measure.Force(pass), 1.625+measure.Length(pass)/8
		w.add(t, model.Scrape{Limb: model.Upper, From: 4, To: 16, Tool: "scraper"}, model.Exercise{Pulls: 20},
			pull(18, peak, row(0.375, 0.75, tip), row(0.375, 0.75, 1.5)))
	}
	w.add(t, pull(22, 36.9, nil, nil))
	checkSays(t, pictures(w.story(), verdict.Advice{}, verdict.Verdict{}), map[string]string{
		"limbs": "pass 5 in the boldest line over passes 4, 3, 2 and 1. ",
		"changes": "from pass 1 to pass 5: the upper limb's most at 12 in, +1/2 in; " +
			"the lower limb hangs as it did.",
		"force":   "The longest pull with a peak weighed 36.9 lb at 22 in.",
		"weights": "at 18 in it went from 31.4 to 29.4 lb in 5 passes",
	})
}

// TestPicturesSayWhatTheAdviceSays of the demo shop's Ash for Wren, which is stiff in its upper limb.
func TestPicturesSayWhatTheAdviceSays(t *testing.T) {
	ash := demoShop(t)["Ash for Wren"]
	all := pictures(ash.story, ash.advice, ash.verdict)
	if len(ash.advice.Findings) == 0 {
		t.Fatal("no place of the bow is stiff, so this test can't fail")
	}
	for _, f := range ash.advice.Findings {
		checkSays(t, all, map[string]string{"bend": f.Says, "force": ash.advice.SayForecast(verdict.Verdict{})})
	}
}

// checkSays holds pictures to what they must say, by their names.
func checkSays(t *testing.T, all []picture, wants map[string]string) {
	t.Helper()
	for name, want := range wants {
		i := slices.IndexFunc(all, func(p picture) bool { return p.Name == name })
		if i < 0 || !strings.Contains(all[i].Says, want) {
			t.Errorf("no %s says %q: %+v", name, want, all)
		}
	}
}

// TestTheBowHangsAsItStands to scale along its length.
func TestTheBowHangsAsItStands(t *testing.T) {
	ash := demoShop(t)["Ash for Wren"]
	// The bow hangs: its tips lie lower than its roots, on either side, and a reading lies where a ruler
	// would put it.
	p, _ := limbsPicture(ash.story, ash.advice)
	l := drawing{picture: p}
	newest := p.chart.series[len(p.chart.series)-3 : len(p.chart.series)-1]
	for side, s := range newest {
		tip := len(s.x) - 1
		down, right := l.py(s.y[tip])-l.py(s.y[0]), l.px(s.x[tip])-l.px(s.x[0])
		if down < 100 || side == 0 && right < 100 || side == 1 && right > -100 {
			t.Errorf("limb %d hangs %.1f down and %.1f to the right", side, down, right)
		}
	}
	// 71 in of bow on the width of the plot: 32 in on the upper limb lie 34 in right of the middle of the
	// handle.
	plot := float64(chartWidth - leftMargin - rightMargin)
	if got, want := l.px(newest[0].x[7]), leftMargin+plot*(2+33+34.0)/71; math.Abs(got-want) > 1e-9 {
		t.Errorf("the station at 32 in lies at %.3f, want %.3f", got, want)
	}
}

// TestLinesAreToldApartWithoutColour compares every two lines of a picture by dash and mark, as on a black
// and white print.
func TestLinesAreToldApartWithoutColour(t *testing.T) {
	for name, bow := range demoShop(t) {
		for _, p := range pictures(bow.story, bow.advice, bow.verdict) {
			seen := make(map[string]string)
			for _, s := range p.chart.series {
				if s.name == "" {
					continue
				}
				look := fmt.Sprint(s.look.dash, s.look.mark, s.look.bare, s.look.width > 3)
				if other, taken := seen[look]; taken {
					t.Errorf("%s: in %s %q looks like %q", name, p.Name, s.name, other)
				}
				seen[look] = s.name
			}
		}
	}
}

var figure = regexp.MustCompile(`-?\d+(\.\d+)?`)

// TestAnyChartStaysOnItsPaper draws lines of any figures, with gaps and infinities in them.
func TestAnyChartStaysOnItsPaper(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.OneOf(rapid.Float64Range(-1e9, 1e9), rapid.Float64Range(-1, 1),
			rapid.SampledFrom([]float64{0, math.NaN(), math.Inf(1), math.Inf(-1), 1e-300, 5}))
		n := rapid.IntRange(0, 6).Draw(t, "points")
		values := rapid.SliceOfN(value, n, n)
		s := series{name: rapid.StringN(0, 40, 200).Draw(t, "name"), look: rapid.SampledFrom(looks).Draw(t, "look"),
			x: values.Draw(t, "x"), y: values.Draw(t, "y"), low: values.Draw(t, "low"), high: values.Draw(t, "high")}
		c := chart{series: []series{s}, yDown: rapid.Bool().Draw(t, "down")}
		zero := rapid.Bool().Draw(t, "from zero")
		c.x.min, c.x.max = around(zero, s.x)
		c.y.min, c.y.max = around(zero, slices.Concat(s.y, s.low, s.high))
		p := picture{Name: "any", Title: "t", Says: "s", chart: c}
		svg := svgOf(t, p)
		if strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf\"") || strings.Contains(svg, "Inf ") {
			t.Fatalf("it holds what isn't a number:\n%s", svg)
		}
		d := p.Drawing()
		for _, path := range d.Paths {
			for i, at := range regexp.MustCompile(`[ML]-?[\d.]+ -?[\d.]+`).FindAllString(path.D, -1) {
				xy := figure.FindAllString(at, -1)
				x, _ := strconv.ParseFloat(xy[0], 64)
				y, _ := strconv.ParseFloat(xy[1], 64)
				if x < 0 || x > chartWidth || y < 0 || y > float64(d.Height) {
					t.Fatalf("point %d lies at %s, off the paper of %d by %d:\n%s", i, at, chartWidth, d.Height, svg)
				}
			}
		}
	})
}

// TestTicksStandAtRoundFigures within the axis.
func TestTicksStandAtRoundFigures(t *testing.T) {
	for _, c := range []struct {
		min, max float64
		want     string
	}{
		{0, 8.48, "0 2 4 6 8"}, {0, 54, "0 10 20 30 40 50"}, {0, 1, "0 0.2 0.4 0.6 0.8 1"},
		{-1.2, 1.2, "-1 -0.5 0 0.5 1"}, {0, 29.7, "0 5 10 15 20 25"},
	} {
		var got []string
		for _, tick := range (axis{min: c.min, max: c.max}).marks() {
			got = append(got, tick.label)
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("from %v to %v: %q, want %q", c.min, c.max, got, c.want)
		}
	}
}

// The weight ordered is a level line right across the weights, which the bow meets in the pass in which it
// weighs just that, and the legend says what it is. Without an order there is none.
func TestTheWeightOrderedIsALineAcrossTheWeights(t *testing.T) {
	svgs := map[bool]string{}
	for ordered, order := range map[bool]model.Order{true: {Weight: measure.Some[measure.Force](40)}, false: {}} {
		bow := longbow("Ash for Wren", "")
		bow.Order = order
		w := newWorkshop(t, bow)
		w.add(t, at28(46), model.Scrape{Limb: model.Upper, From: 4, To: 30, Tool: "scraper"}, at28(40))
		p, _ := weightsPicture(w.story(), verdict.Advice{})
		svgs[ordered] = svgOf(t, p)
		if slices.Contains(texts(t, svgs[ordered]), "ordered") != ordered {
			t.Errorf("the legend names the weight ordered, or doesn't, in\n%s", svgs[ordered])
		}
	}
	// The lines of a class from one point to another: from x, y to x, y.
	linesIn := func(svg, class string) [][]string {
		line := regexp.MustCompile(`<path class="` + class + `" d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)"`)
		return line.FindAllStringSubmatch(svg, -1)
	}
	weights, ordered := linesIn(svgs[true], "s0"), linesIn(svgs[true], "aim")
	if len(weights) != 1 || len(ordered) != 1 || len(linesIn(svgs[false], "aim")) > 0 {
		t.Fatalf("lines of the weights %v, of the order %v, or without one in\n%s", weights, ordered, svgs[false])
	}
	bow, line := weights[0], ordered[0]
	if line[2] != line[4] || line[2] != bow[4] || line[2] == bow[2] {
		t.Errorf("the line of 40 lb goes from height %s to %s, the bow from %s (46 lb) to %s (40 lb)",
			line[2], line[4], bow[2], bow[4])
	}
	if left, right := n(leftMargin), n(chartWidth-rightMargin); line[1] != left || line[3] != right {
		t.Errorf("the line goes from %s to %s, not right across from %s to %s", line[1], line[3], left, right)
	}
}
