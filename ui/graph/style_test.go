package graph_test

import (
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"

	"bendbook/ui/graph"
)

func screen(profile termenv.Profile) *lipgloss.Renderer {
	r := lipgloss.NewRenderer(nil)
	r.SetColorProfile(profile)
	return r
}

// TestColourOnlyPaints: with colours the picture is the same, without a colour profile (as NO_COLOR asks)
// there is no colour in it.
func TestColourOnlyPaints(t *testing.T) {
	p := scenes()["passes"]
	p.Width, p.Height = 46, 13
	want := p.Render()
	paint := func(profile termenv.Profile) string {
		yellow := screen(profile).NewStyle().Foreground(lipgloss.Color("3")).Bold(true)
		p.Axis = yellow
		for i := range p.Series {
			p.Series[i].Style = yellow
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

// TestLaterOver: where two curves coincide, the later one is seen.
func TestLaterOver(t *testing.T) {
	x, y := []float64{0, 10}, []float64{1, 1}
	p := graph.Plot{Width: 11, Height: 1, Series: []graph.Series{
		{X: x, Y: y, Stroke: graph.Dotted, Point: 'x'},
		{X: x, Y: y, Stroke: graph.Solid, Point: 'o'},
	}}
	if got, want := p.Render(), "o─────────o"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestKey(t *testing.T) {
	s := graph.Series{Stroke: graph.Dashed, Point: 'x'}
	if got := s.Key(false) + " " + s.Key(true); got != "╌x╌ :x:" {
		t.Errorf("got %q", got)
	}
}

// TestBoundsWiden: a reading beyond the given ranges is shown nevertheless.
func TestBoundsWiden(t *testing.T) {
	p := graph.Plot{
		Width: 11, Height: 3, X: graph.Range{Min: 2, Max: 3}, Y: graph.Range{Min: 1, Max: 2},
		Series: []graph.Series{{X: []float64{0, 10}, Y: []float64{0, 4}, Point: 'o'}},
	}
	rows := grid(p)
	if rows[2][0] != 'o' || rows[0][10] != 'o' {
		t.Errorf("readings cut off:\n%s", p.Render())
	}
	if col, ok := p.Column(5); col != 5 || !ok {
		t.Errorf("5 stands in column %d, %v", col, ok)
	}
	if _, ok := p.Column(11); ok {
		t.Error("11 stands outside and has a column")
	}
}
