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
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/finish"
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
		if got := strings.Join(names, " "); got != "evenness way limbs force" &&
			(name != "Locust for Bram" || got != "way limbs force") {
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

// TestPicturesSayWhatTheReadingsSay of a bow that was drawn to 18 in in five passes.
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
		"limbs": "Boldest is pass 5, over passes 4, 3, 2 and 1. ",
		"force": "The longest pull with a peak weighed 36.9 lb at 22 in.",
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
		checkSays(t, all, map[string]string{"evenness": f.Says, "force": ash.advice.SayForecast(verdict.Verdict{})})
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

// The weight wanted is a level line right across the forecasts, and the legend says what it is. Without an order there
// is none.
func TestTheWeightWantedIsALineAcrossTheForecasts(t *testing.T) {
	ash := demoShop(t)["Ash for Wren"]
	p, _ := wayPicture(ash.story, ash.advice)
	svg := svgOf(t, p)
	line := regexp.MustCompile(`<path class="aim" d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)"`).FindStringSubmatch(svg)
	if line == nil || !slices.Contains(texts(t, svg), "wanted") {
		t.Fatalf("there is no line of the weight wanted in\n%s", svg)
	}
	if left, right := n(leftMargin), n(chartWidth-rightMargin); line[1] != left || line[3] != right || line[2] != line[4] {
		t.Errorf("the line goes from %s, %s to %s, %s, not level from %s to %s", line[1], line[2], line[3], line[4], left, right)
	}
	wayDrawing := drawing{picture: p}
	if height := n(wayDrawing.py(42)); line[2] != height {
		t.Errorf("the line lies at %s, 42 lb at %s", line[2], height)
	}
	ash.advice.Wanted = measure.Optional[finish.Wanted]{}
	p, _ = wayPicture(ash.story, ash.advice)
	if svg := svgOf(t, p); slices.Contains(texts(t, svg), "wanted") {
		t.Errorf("the legend names a weight wanted without an order in\n%s", svg)
	}
}

// The page's picture, its table and its strips have the figures of the strips.
func TestThePagesEvennessIsThatOfTheStrips(t *testing.T) {
	for name, bow := range demoShop(t) {
		a := bow.advice
		p, ok := evennessPicture(a, false)
		last := a.Strips[len(a.Strips)-1]
		if ok != last.Tells() {
			t.Errorf("%s: a picture %v, told %v", name, ok, last.Tells())
		}
		if !ok {
			continue
		}
		row := 0
		for _, side := range model.Sides {
			course := last.Limbs[side]
			drawn := slices.IndexFunc(p.chart.series, func(s series) bool { return s.low != nil && (s.x[1] > 0) == (side == model.Upper) })
			line := p.chart.series[drawn]
			for i, d := range course.Deviation {
				want := [...]float64{100 * d.Estimate, 100 * d.Low, 100 * d.High}
				if got := [...]float64{line.y[i], line.low[i], line.high[i]}; course.Known[i] != (got == want) {
					t.Errorf("%s, %s limb at %v: drawn %v, want %v (%v)", name, side, course.At[i], got, want, course.Known[i])
				}
				said := "-"
				if course.Known[i] {
					said = percent(d.Estimate)
				}
				if got := p.Table.Rows[row][2]; got != said {
					t.Errorf("%s, %s limb at %v: the table has %s, want %s", name, side, course.At[i], got, said)
				}
				row++
			}
		}
		for n, row := range stripsOf(a, time.UTC).Rows {
			if both := a.Strips[n].Text(model.Lower, false) + "━" + a.Strips[n].Text(model.Upper, false); !strings.Contains(row.String(), both) {
				t.Errorf("%s: pass %d is %q, without %q", name, n, row, both)
			}
		}
	}
}
