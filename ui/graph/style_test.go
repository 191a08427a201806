package graph_test

import (
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"

	"bendbook/ui/graph"
)

// With colours the picture is the same; without a colour profile, as NO_COLOR asks, there is no colour in it.
func TestColourOnlyPaints(t *testing.T) {
	p := graph.Plot{Width: 46, Height: 13, YDown: true, XTicks: []graph.Tick{{At: 2, Label: "2"}},
		Series: []graph.Series{{X: []float64{1, 2, 3}, Y: []float64{0.5, missing, 2}, Pen: marked},
			{X: []float64{1, 3}, Y: []float64{1, 2}, Pen: graph.Pen{Stroke: graph.Dashed}}}}
	want := p.Render()
	paint := func(profile termenv.Profile) string {
		r := lipgloss.NewRenderer(nil)
		r.SetColorProfile(profile)
		p.Axis = r.NewStyle().Foreground(lipgloss.Color("3")).Bold(true)
		for i := range p.Series {
			p.Series[i].Style = p.Axis
		}
		return p.Render()
	}
	if got := paint(termenv.ANSI); got == want || ansi.Strip(got) != want {
		t.Errorf("colours change the picture or are missing:\n%s", got)
	}
	if got := paint(termenv.Ascii); got != want {
		t.Errorf("colours without a colour profile:\n%q", got)
	}
}

// Where two curves coincide, the later one is seen.
func TestLaterOver(t *testing.T) {
	x, y := []float64{0, 10}, []float64{1, 1}
	p := graph.Plot{Width: 11, Height: 1, Series: []graph.Series{
		{X: x, Y: y, Pen: graph.Pen{Stroke: graph.Dotted, Point: 'x'}}, {X: x, Y: y, Pen: marked},
	}}
	if got, want := p.Render(), "o─────────o"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// A reading beyond the given ranges is shown nevertheless.
func TestBoundsWiden(t *testing.T) {
	p := graph.Plot{
		Width: 11, Height: 3, X: graph.Range{Min: 2, Max: 3}, Y: graph.Range{Min: 1, Max: 2},
		Series: []graph.Series{{X: []float64{0, 10}, Y: []float64{0, 4}, Pen: marked}},
	}
	if rows := grid(p); rows[2][0] != 'o' || rows[0][10] != 'o' {
		t.Errorf("readings cut off:\n%s", p.Render())
	}
}
