package graph_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"pgregory.net/rapid"

	"bendbook/ui/graph"
)

var (
	missing = math.NaN()
	marked  = graph.Pen{Point: 'o'}
)

// anyValue draws what a reading never should be as often as what it is.
func anyValue() *rapid.Generator[float64] {
	return rapid.OneOf(
		rapid.Float64Range(-40, 40),
		rapid.Float64(),
		rapid.SampledFrom([]float64{
			0, math.Copysign(0, -1), 3, missing, math.Inf(1), math.Inf(-1), math.MaxFloat64, -math.MaxFloat64, 1e-300,
		}),
	)
}

func anySeries(style lipgloss.Style) *rapid.Generator[graph.Series] {
	return rapid.Custom(func(t *rapid.T) graph.Series {
		n := rapid.IntRange(0, 12).Draw(t, "n")
		return graph.Series{
			X: rapid.SliceOfN(rapid.Float64Range(-40, 40), n, n).Draw(t, "x"), Y: rapid.SliceOfN(anyValue(), n, n).Draw(t, "y"),
			Pen: graph.Pen{Stroke: graph.Stroke(rapid.IntRange(0, 3).Draw(t, "stroke")),
				Point: rapid.SampledFrom([]rune{0, 'o'}).Draw(t, "point"), Style: style},
		}
	})
}

func anyBand(style lipgloss.Style) *rapid.Generator[graph.Band] {
	return rapid.Custom(func(t *rapid.T) graph.Band {
		n := rapid.IntRange(0, 6).Draw(t, "n")
		edge, x := rapid.SliceOfN(anyValue(), n, n), rapid.SliceOfN(rapid.Float64Range(-60, 60), n, n).Draw(t, "x")
		return graph.Band{Low: graph.Series{X: x, Y: edge.Draw(t, "low")},
			High: graph.Series{X: x, Y: edge.Draw(t, "high")}, Style: style}
	})
}

func anyPlot(style lipgloss.Style) *rapid.Generator[graph.Plot] {
	return rapid.Custom(func(t *rapid.T) graph.Plot {
		span := rapid.Custom(func(t *rapid.T) graph.Range {
			return graph.Range{Min: anyValue().Draw(t, "min"), Max: anyValue().Draw(t, "max")}
		})
		tick := rapid.Custom(func(t *rapid.T) graph.Tick {
			return graph.Tick{At: rapid.Float64Range(-50, 50).Draw(t, "at"), Label: rapid.StringMatching(`[0-9 /]{0,6}`).Draw(t, "label")}
		})
		p := graph.Plot{
			Width: rapid.IntRange(-1, 80).Draw(t, "width"), Height: rapid.IntRange(-1, 24).Draw(t, "height"),
			YDown:  rapid.Bool().Draw(t, "down"),
			YSteps: rapid.SampledFrom([][]float64{nil, {0.25, 0.5, 1, 2, 3, 6}, {1e-300}, {0}, {missing}, {-1}}).Draw(t, "steps"),
			XTicks: rapid.SliceOfN(tick, 0, 5).Draw(t, "ticks"),
			Bands:  rapid.SliceOfN(anyBand(style), 0, 2).Draw(t, "bands"),
			Series: rapid.SliceOfN(anySeries(style), 0, 8).Draw(t, "series"),
			Axis:   style,
		}
		if rapid.Bool().Draw(t, "bounded") {
			p.X, p.Y = span.Draw(t, "X"), span.Draw(t, "Y")
		}
		if rapid.Bool().Draw(t, "labelled") {
			text := rapid.StringMatching(`[ -~]{0,9}`).Draw(t, "y label")
			p.YLabel = func(v float64) string { return fmt.Sprint(text, v) }
		}
		return p
	})
}

// TestExactSize: any plot of any data fills exactly its rectangle, styled or not.
func TestExactSize(t *testing.T) {
	screen := lipgloss.NewRenderer(nil)
	screen.SetColorProfile(termenv.TrueColor)
	styles := []lipgloss.Style{
		{},
		screen.NewStyle().Foreground(lipgloss.Color("#c08040")).Underline(true),
		screen.NewStyle().Bold(true).Reverse(true),
	}
	rapid.Check(t, func(t *rapid.T) {
		style := styles[rapid.IntRange(0, len(styles)-1).Draw(t, "style")]
		p := anyPlot(style).Draw(t, "plot")
		got := p.Render()
		if p.Height <= 0 || p.Width <= 0 {
			if got != "" {
				t.Fatalf("a plot without a size is %q", got)
			}
			return
		}
		lines := strings.Split(got, "\n")
		if len(lines) != p.Height {
			t.Fatalf("%d lines, want %d:\n%s", len(lines), p.Height, got)
		}
		for _, line := range lines {
			if w := ansi.StringWidth(line); w != p.Width {
				t.Fatalf("a line of %d cells, want %d: %q\n%s", w, p.Width, line, got)
			}
			for _, r := range ansi.Strip(line) {
				if r < ' ' {
					t.Fatalf("%q in %q", r, line)
				}
			}
		}
	})
}

// grid is a plot's picture without axes, cell by cell.
func grid(p graph.Plot) [][]rune {
	var rows [][]rune
	for _, line := range strings.Split(p.Render(), "\n") {
		rows = append(rows, []rune(line))
	}
	return rows
}

// readings draws distances in order and a height for each.
func readings(t *rapid.T, from, to float64) (xs, ys []float64) {
	n := rapid.IntRange(1, 9).Draw(t, "n")
	free := rapid.SliceOfNDistinct(rapid.IntRange(0, 200), n, n, rapid.ID[int]).Draw(t, "at")
	slices.Sort(free)
	for _, v := range free {
		xs = append(xs, from+(to-from)*float64(v)/200)
		ys = append(ys, float64(rapid.IntRange(0, 72).Draw(t, "y"))/8)
	}
	return xs, ys
}

// TestEveryReadingShown: each finite reading stands in its own column and row, marked or not, however jagged
// the curve; so no extreme is lost. No cell is drawn between the neighbours of a missing one, and none outside
// the readings.
func TestEveryReadingShown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := graph.Plot{
			Width: rapid.IntRange(1, 80).Draw(t, "width"), Height: rapid.IntRange(1, 24).Draw(t, "height"),
			X: graph.Range{Min: 0, Max: 40}, Y: graph.Range{Min: 0, Max: 9}, YDown: true,
		}
		xs, ys := readings(t, 0, 40)
		for i := range ys {
			if rapid.Bool().Draw(t, "missing") {
				ys[i] = rapid.SampledFrom([]float64{missing, math.Inf(1), math.Inf(-1)}).Draw(t, "gone")
			}
		}
		pen := graph.Pen{Point: rapid.SampledFrom([]rune{0, 'o'}).Draw(t, "point")}
		p.Series = []graph.Series{{X: xs, Y: ys, Pen: pen}}
		cells := grid(p)
		want := make([]bool, p.Width) // columns that may hold something
		known := func(i int) bool { return i < len(ys) && ys[i] == ys[i] && !math.IsInf(ys[i], 0) }
		for i := range xs {
			if !known(i) {
				continue
			}
			col, ok := p.Column(xs[i])
			if off := math.Abs(float64(col) - xs[i]/40*float64(p.Width-1)); !ok || off > 0.5+1e-6 {
				t.Fatalf("%v stands %v cells from its place", xs[i], off)
			}
			shown := false
			for row := range cells {
				near := math.Abs(float64(row)-ys[i]/9*float64(p.Height-1)) <= 0.5+1e-6
				shown = shown || near && cells[row][col] != ' '
			}
			if !shown {
				t.Fatalf("the reading %v at %v isn't shown:\n%s", ys[i], xs[i], p.Render())
			}
			to := col
			if known(i + 1) {
				to, _ = p.Column(xs[i+1])
			}
			for c := col; c <= to; c++ {
				want[c] = true
			}
		}
		for c := range want {
			drawn := slices.ContainsFunc(cells, func(row []rune) bool { return row[c] != ' ' })
			if drawn != want[c] {
				t.Fatalf("column %d drawn: %v, want %v\n%s", c, drawn, want[c], p.Render())
			}
		}
	})
}

// TestMirrored: what is alike on both sides of the middle looks alike, if the plot
// is wide enough for the sides to share no column.
func TestMirrored(t *testing.T) {
	turned := strings.NewReplacer("╭", "╮", "╮", "╭", "╰", "╯", "╯", "╰")
	rapid.Check(t, func(t *rapid.T) {
		span := rapid.Float64Range(30, 44).Draw(t, "span")
		p := graph.Plot{
			Width: rapid.IntRange(26, 90).Draw(t, "width"), Height: rapid.IntRange(1, 24).Draw(t, "height"),
			X: graph.Range{Min: -span, Max: span}, Y: graph.Range{Min: 0, Max: 9}, YDown: true,
		}
		xs, ys := readings(t, 2, 30)
		var mirrored []float64
		for _, x := range xs {
			mirrored = append(mirrored, -x)
		}
		pen := graph.Pen{Point: rapid.SampledFrom([]rune{0, 'o'}).Draw(t, "point")}
		p.Series = []graph.Series{{X: mirrored, Y: ys, Pen: pen}, {X: xs, Y: ys, Pen: pen}}
		for _, line := range strings.Split(p.Render(), "\n") {
			back := []rune(line)
			slices.Reverse(back)
			if turned.Replace(string(back)) != line {
				t.Fatalf("not mirrored:\n%s", p.Render())
			}
		}
	})
}
