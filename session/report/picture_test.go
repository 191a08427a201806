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
	"bendbook/model/date"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session/verdict"
)

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

// TestTheDemoShopsPictures: every tillered bow has all of them, each named, told in a sentence and in a table; what a
// bow is comes first once it left the tree. Every two lines differ in dash or mark, as on a black and white print.
func TestTheDemoShopsPictures(t *testing.T) {
	wants := map[string]string{
		"Yew for Hollis": "evenness way shape force", "Ash for Wren": "evenness way shape force section",
		"Locust for Bram": "shape force", "Elm for Odile": "shape force evenness way",
		"Hickory for Tamsin": "shape force evenness way section",
	}
	for name, bow := range demoShop(t) {
		var names []string
		for _, p := range pictures(bow.Story, bow.advice, bow.verdict) {
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
				t.Errorf("%s: %s has the figures %v", name, p.Name, p.Table)
			}
			if looks := looksOf(p); len(slices.Compact(slices.Sorted(maps.Values(looks)))) < len(looks) {
				t.Errorf("%s: in %s some lines look alike: %q", name, p.Name, looks)
			}
		}
		if got := strings.Join(names, " "); got != wants[name] {
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

// TestPicturesSayWhatTheAdviceSays of the demo shop's Ash for Wren, which is stiff in its upper limb.
func TestPicturesSayWhatTheAdviceSays(t *testing.T) {
	ash := demoShop(t)["Ash for Wren"]
	says := make(map[string]string)
	for _, p := range pictures(ash.Story, ash.advice, ash.verdict) {
		says[p.Name] = p.Says
	}
	if !strings.Contains(says["evenness"], "The letters are those") ||
		!strings.Contains(says["force"], ash.advice.SayForecast(verdict.Verdict{})) {
		t.Errorf("the pictures say %q", says)
	}
	d := documentOf(t, ash.Story, 0)
	if found := ash.advice.Findings; len(found) == 0 || !slices.Contains(d.Findings, "A: "+found[0].Says) {
		t.Errorf("the list has no letter A for %+v: %q", found, d.Findings)
	}
}

// TestTheBowIsDrawnInTrueProportion: an inch along it is as long as one across, its limbs are as long as they
// were described, and the string at full draw is as long as the one that braces it.
func TestTheBowIsDrawnInTrueProportion(t *testing.T) {
	for name, bow := range demoShop(t) {
		p, ok := shapePicture(bow.Story, bow.advice)
		if !ok {
			t.Fatalf("%s has no shape", name)
		}
		d := drawing{picture: p}
		if along, across := d.px(1)-d.px(0), d.py(1)-d.py(0); math.Abs(along-across) > 1e-9 {
			t.Errorf("%s: an inch is %v along and %v across", name, along, across)
		}
		lengths := make(map[string]float64)
		strings := []float64{}
		for _, s := range p.chart.series {
			if s.look.class == "s5" && s.look.width < 1 {
				strings = append(strings, lengthOf(s))
			}
			lengths[s.name] = lengthOf(s)
		}
		want := bow.advice.Bow.Length().In(bow.advice.Bow.Units.Length)
		for _, pose := range []string{"braced", "unstrung"} {
			if got, shown := lengths[pose]; shown && math.Abs(got-want) > want/200 {
				t.Errorf("%s: %s it is %.2f long, described as %.2f", name, pose, got, want)
			}
		}
		if math.Abs(strings[0]-strings[1]) > strings[0]/200 {
			t.Errorf("%s: the string is %.2f long, drawn %.2f", name, strings[0], strings[1])
		}
	}
}

// lengthOf is how long a line is.
func lengthOf(s series) (length float64) {
	for i := 1; i < len(s.x); i++ {
		length += math.Hypot(s.x[i]-s.x[i-1], s.y[i]-s.y[i-1])
	}
	return length
}

var figure = regexp.MustCompile(`-?\d+(\.\d+)?`)

// TestAnyChartStaysOnItsPaper draws lines of any figures, with gaps and infinities in them.
func TestAnyChartStaysOnItsPaper(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.OneOf(rapid.Float64Range(-1e9, 1e9), rapid.Float64Range(-1, 1),
			rapid.SampledFrom([]float64{0, math.NaN(), math.Inf(1), math.Inf(-1), 1e-300, 5}))
		n := rapid.IntRange(0, 6).Draw(t, "points")
		values := rapid.SliceOfN(value, n, n)
		s := series{name: rapid.StringN(0, 40, 200).Draw(t, "name"), look: rapid.SampledFrom([]look{solidLine.marked(disc), dashedLine, dottedLine.marked(ring)}).Draw(t, "look"),
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
	p, _ := wayPicture(ash.Story, ash.advice)
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
	p, _ = wayPicture(ash.Story, ash.advice)
	if svg := svgOf(t, p); slices.Contains(texts(t, svg), "wanted") {
		t.Errorf("the legend names a weight wanted without an order in\n%s", svg)
	}
}

// The page's picture and its strips have the figures of the strips; numbers_test.go has the table.
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
		for _, side := range model.Sides {
			course := last.Limbs[side]
			drawn := slices.IndexFunc(p.chart.series, func(s series) bool { return s.low != nil && (s.x[1] > 0) == (side == model.Upper) })
			line := p.chart.series[drawn]
			for i, d := range course.Deviation {
				want := [...]float64{100 * d.Estimate, 100 * d.Low, 100 * d.High}
				if got := [...]float64{line.y[i], line.low[i], line.high[i]}; course.Known[i] != (got == want) {
					t.Errorf("%s, %s limb at %v: drawn %v, want %v (%v)", name, side, course.At[i], got, want, course.Known[i])
				}
			}
		}
		for n, row := range stripsOf(a, time.UTC, date.ISO).Rows {
			if both := a.Strips[n].Text(model.Lower, false) + "━" + a.Strips[n].Text(model.Upper, false); !strings.Contains(row.String(), both) {
				t.Errorf("%s: pass %d is %q, without %q", name, n, row, both)
			}
		}
	}
}
