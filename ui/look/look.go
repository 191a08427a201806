// Package look is how the screen looks: the few styles that everything is drawn with. No other package makes
// colours; this one must not know what is drawn with them.
package look

import (
	"io"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"

	"bendbook/model/finish"
	"bendbook/ui/graph"
)

// Styles are the styles of one screen. What must be read is in the terminal's own foreground; a colour only
// adds to what a word, a sign or a shape says already.
type Styles struct {
	Plain   lipgloss.Style
	Strong  lipgloss.Style // headings, what is chosen
	Quiet   lipgloss.Style // what may be overlooked
	Accent  lipgloss.Style // the field that is being typed, keys
	Good    lipgloss.Style // saved
	Caution lipgloss.Style // a question, a caution
	Bad     lipgloss.Style // refused
	Chosen  lipgloss.Style // the line of a list that is chosen
	Cold    lipgloss.Style // one end of a scale with two ends
	Warm    lipgloss.Style // the other end; apart from Cold also for the colour-blind
	ASCII   bool           // plain ASCII characters only

	passes [3]lipgloss.Style
}

// The palette. The terminal's background is not known, so each colour stands out by 3:1 or more on black and
// on white (WCAG 2 contrast ratio). The first 16 colours are the terminal's own; there only those are used
// that stand out with the usual values of xterm and of VGA text mode, and what none of them fits is left in
// the terminal's foreground.
var (
	teal   = lipgloss.CompleteColor{TrueColor: "#1B8A8A", ANSI256: "30", ANSI: "12"}
	amber  = lipgloss.CompleteColor{TrueColor: "#B07D12", ANSI256: "136", ANSI: "5"}
	purple = lipgloss.CompleteColor{TrueColor: "#8A63B8", ANSI256: "97"}
	// Bold makes the first eight brighter on many terminals, and then too bright for white.
	boldAmber = lipgloss.CompleteColor{TrueColor: "#B07D12", ANSI256: "136"}
	green     = lipgloss.CompleteColor{TrueColor: "#2E8B57", ANSI256: "29"}
	red       = lipgloss.CompleteColor{TrueColor: "#D0463B", ANSI256: "167", ANSI: "9"}
	blue      = lipgloss.CompleteColor{TrueColor: "#3B7DC4", ANSI256: "67", ANSI: "12"}
	orange    = lipgloss.CompleteColor{TrueColor: "#C0681A", ANSI256: "166", ANSI: "9"}
	grey      = lipgloss.CompleteColor{TrueColor: "#808080", ANSI256: "244"}
)

// Profile is how many colours a screen has: the more, the smaller its number.
type Profile = termenv.Profile

// The profiles.
const (
	NoColour   = termenv.Ascii
	Colours16  = termenv.ANSI
	Colours256 = termenv.ANSI256
	TrueColour = termenv.TrueColor
)

// New makes the styles for output w with the given colours. ascii keeps to plain ASCII characters.
func New(w io.Writer, profile Profile, ascii bool) Styles {
	r := lipgloss.NewRenderer(w)
	r.SetColorProfile(profile)
	r.SetHasDarkBackground(true)
	plain := r.NewStyle()
	coloured := func(c lipgloss.TerminalColor) lipgloss.Style { return plain.Foreground(c) }
	accent := coloured(teal).Bold(true)
	return Styles{
		Plain: plain, Strong: plain.Bold(true), Quiet: coloured(grey), Accent: accent, Good: coloured(green),
		Caution: coloured(boldAmber).Bold(true), Bad: coloured(red).Bold(true), Chosen: plain.Reverse(true),
		Cold: coloured(blue), Warm: coloured(orange),
		passes: [3]lipgloss.Style{accent, coloured(amber), coloured(purple)}, ASCII: ascii,
	}
}

// For makes the styles for a terminal of the given profile, as far as the shop's settings let it show what it
// can.
func For(w io.Writer, profile Profile, ascii bool, screen finish.Screen) Styles {
	switch screen.Colours {
	case finish.Colours16:
		profile = max(profile, Colours16)
	case finish.ColoursNone:
		profile = NoColour
	}
	return New(w, profile, ascii || screen.Letters == finish.LettersASCII)
}

// Detect is the profile of a terminal by its environment, NO_COLOR and CLICOLOR among it.
func Detect(w io.Writer) Profile { return termenv.NewOutput(w).EnvColorProfile() }

// Pen is how a curve is drawn: its line, the mark of its readings and its colour.
type Pen struct {
	Stroke graph.Stroke
	Point  rune
	Style  lipgloss.Style
}

// Pass is the pen of a pass that lies age passes back among those shown: 0 for the newest, 2 at the most.
// With one limb laid over the other, the upper is drawn as 0 and the lower as 1.
func (s Styles) Pass(age int) Pen {
	age = max(0, min(age, 2))
	return Pen{[3]graph.Stroke{graph.Solid, graph.Dashed, graph.Dotted}[age], [3]rune{'o', 'x', '+'}[age],
		s.passes[age]}
}

// Bold is the pen of the newest of some curves that are laid over each other without marks; the others are
// drawn by [Styles.Thin].
func (s Styles) Bold() Pen { return Pen{graph.Heavy, 0, s.passes[0]} }

// Thin is the pen of the curve before the newest, and of the first of all.
func (s Styles) Thin(first bool) Pen {
	if first {
		return Pen{graph.Dotted, 0, s.passes[2]}
	}
	return Pen{graph.Solid, 0, s.passes[1]}
}

// Handle is the pen of what does not bend: the handle, the string.
func (s Styles) Handle() Pen { return Pen{graph.Heavy, 0, s.Quiet} }

// Cursor is where the next letter will stand, one cell. It is seen where nothing but letters is sent.
func (s Styles) Cursor() string { return s.Chosen.Render("_") }

// Rule is a horizontal line of the given width.
func (s Styles) Rule(width int) string {
	glyph := "─"
	if s.ASCII {
		glyph = "-"
	}
	return s.Quiet.Render(strings.Repeat(glyph, max(0, width)))
}

// Spell is text in plain ASCII characters where the screen has no others; letters of names stay as they are.
func (s Styles) Spell(text string) string {
	if !s.ASCII {
		return text
	}
	return spelled.Replace(text)
}

var spelled = strings.NewReplacer("±", "+/-", "¼", "1/4", "½", "1/2", "¾", "3/4", "⅜", "3/8", "…", "...",
	"–", "-", "·", "|", "−", "-", "×", "x")

// Dot stands between facts on one line.
func (s Styles) Dot() string { return s.Spell(" · ") }
