package graph_test

import (
	"strings"
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

// painted is a plot with a colour for everything.
func painted(r *lipgloss.Renderer) graph.Plot {
	p := scenes()["passes"]
	p.Width, p.Height = 46, 13
	p.Ground = r.NewStyle().Background(lipgloss.Color("4"))
	p.Axis = r.NewStyle().Foreground(lipgloss.Color("8"))
	for i := range p.Series {
		p.Series[i].Style = r.NewStyle().Foreground(lipgloss.Color("3")).Bold(true)
	}
	return p
}

// TestColourOnlyPaints: with colours the picture is the same, without a colour
// profile (as NO_COLOR asks) there is no colour in it.
func TestColourOnlyPaints(t *testing.T) {
	plain := scenes()["passes"]
	plain.Width, plain.Height = 46, 13
	want := plain.Render()
	coloured := painted(screen(termenv.ANSI)).Render()
	if coloured == want || ansi.Strip(coloured) != want {
		t.Errorf("colours change the picture or are missing:\n%s", coloured)
	}
	for i := range plain.Series {
		plain.Series[i].Style = screen(termenv.Ascii).NewStyle().Foreground(lipgloss.Color("3"))
	}
	if got := plain.Render(); got != want {
		t.Errorf("colours without a colour profile:\n%q", got)
	}
}

// TestGroundHasNoHoles: every cell is painted after the last reset, so that a
// background shows through nowhere.
func TestGroundHasNoHoles(t *testing.T) {
	for _, line := range strings.Split(painted(screen(termenv.ANSI)).Render(), "\n") {
		for i, part := range strings.Split(line, "\x1b[0m") {
			if part != "" && !strings.HasPrefix(part, "\x1b[") {
				t.Errorf("part %d of %q has no colour", i, line)
			}
			if strings.HasPrefix(part, "\x1b[") && !strings.Contains(part, "44m") {
				t.Errorf("part %d of %q has no background", i, line)
			}
		}
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
	s = graph.Series{Point: '界'}
	if got := s.Key(false) + " " + s.Key(true); got != "─*─ -*-" {
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
