package graph_test

import (
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"

	"bendbook/ui/graph"
)

var update = flag.Bool("update", false, "write the golden pictures anew")

var missing = math.NaN()

// inches writes a value as a caller might: whole and quarters.
func inches(v float64) string {
	quarters := int(math.Round(v * 4))
	part := []string{"", " 1/4", " 1/2", " 3/4"}[((quarters%4)+4)%4]
	if quarters/4 == 0 && part != "" {
		return strings.TrimSpace(part)
	}
	return fmt.Sprintf("%d%s", quarters/4, part)
}

func quarters() []float64 { return []float64{0.25, 0.5, 1, 2, 3, 6} }

// sides gives both halves of something measured outward from the middle.
func sides(stroke graph.Stroke, point rune, at, left, right []float64) []graph.Series {
	mirrored := make([]float64, len(at))
	for i, x := range at {
		mirrored[i] = -x
	}
	return []graph.Series{
		{X: mirrored, Y: left, Stroke: stroke, Point: point},
		{X: at, Y: right, Stroke: stroke, Point: point},
	}
}

// middle is the fixed part that both halves are measured from.
func middle() graph.Series {
	return graph.Series{X: []float64{-2, 2}, Y: []float64{0, 0}, Stroke: graph.Heavy}
}

func ticks() []graph.Tick {
	return []graph.Tick{
		{At: 0, Label: "0"}, {At: -36, Label: "36"}, {At: 36, Label: "36"},
		{At: -12, Label: "12"}, {At: 12, Label: "12"}, {At: -24, Label: "24"}, {At: 24, Label: "24"},
	}
}

func hung(series ...[]graph.Series) graph.Plot {
	p := graph.Plot{
		X: graph.Range{Min: -36, Max: 36}, Y: graph.Range{Min: 0, Max: 9}, YDown: true,
		YLabel: inches, YSteps: quarters(), XTicks: ticks(),
	}
	for _, s := range series {
		p.Series = append(p.Series, s...)
	}
	p.Series = append(p.Series, middle())
	return p
}

// scenes are typical pictures: what a caller will draw, and the odd cases.
func scenes() map[string]graph.Plot {
	at := []float64{6, 8, 12, 18, 24, 30, 35}
	new1, new2 := []float64{.5, .875, 1.75, 3.375, 5.25, 7.25, 8.75}, []float64{.5, .75, 1.625, 3.25, 5.25, 7.25, 8.75}
	old1, old2 := []float64{.375, .625, 1.25, 2.5, 4, 5.5, 6.625}, []float64{.25, .5, 1, 2, 3.125, 4.25, 5.125}
	first := []float64{.125, .25, .625, 1.125, 1.75, 2.5, 3}
	return map[string]graph.Plot{
		"passes": hung(
			sides(graph.Dotted, '+', at, first, first),
			sides(graph.Dashed, 'x', at, old1, old2),
			sides(graph.Solid, 'o', at, new1, new2),
		),
		"gaps": hung(sides(graph.Solid, 'o', at,
			[]float64{.5, missing, 1.75, 3.375, missing, 7.25, 8.75},
			[]float64{.5, .75, missing, 3.25, missing, 7.25, missing})),
		"point": {
			YLabel: inches, YSteps: quarters(),
			Series: []graph.Series{{X: []float64{12}, Y: []float64{3.25}, Point: 'o'}},
			XTicks: []graph.Tick{{At: 12, Label: "12"}},
		},
		"jagged": {
			YLabel: func(v float64) string { return fmt.Sprintf("%.0f", v) }, YSteps: []float64{5, 10, 20},
			Series: []graph.Series{
				{X: []float64{0, 10, 20, 21, 22, 40, 41, 60}, Y: []float64{10, 10, 40, 0, 40, 20, 35, 5}, Point: 'o'},
				{X: []float64{0, 60}, Y: []float64{20, 20}, Stroke: graph.Dotted},
			},
		},
	}
}

func TestGolden(t *testing.T) {
	for _, of := range []struct {
		scene         string
		width, height int
		ascii         bool
	}{
		{"passes", 46, 13, false}, {"passes", 46, 13, true}, {"passes", 74, 20, false}, {"gaps", 46, 13, false},
		{"jagged", 46, 13, false}, {"point", 26, 11, false},
	} {
		p := scenes()[of.scene]
		p.Width, p.Height, p.ASCII = of.width, of.height, of.ascii
		file := fmt.Sprintf("%s-%dx%d", of.scene, of.width, of.height)
		if of.ascii {
			file += "-ascii"
		}
		t.Run(file, func(t *testing.T) { compare(t, file+".txt", p.Render()+"\n") })
	}
}

func compare(t *testing.T, file, got string) {
	t.Helper()
	file = filepath.Join("testdata", file)
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s differs; want\n%s\ngot\n%s", file, want, got)
	}
	for _, line := range strings.Split(got, "\n") {
		if line != ansi.Strip(line) {
			t.Errorf("%s: a plain plot holds an escape sequence: %q", file, line)
		}
	}
}
