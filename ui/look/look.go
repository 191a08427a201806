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

// Background is what a terminal's background is like.
type Background int

// The backgrounds.
const (
	Unknown Background = iota
	onLight
	onDark
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
//
// Each colour stands out by 4.5:1 (WCAG 2 contrast ratio) on white and on #fdf6e3, or on black, #282a36 and
// #002b36; where the background is unknown, by 3:1 on all five. The first 16 colours are the terminal's own;
// there only those are used that stand out with the usual values of xterm and of VGA text mode. A bold one of
// the first eight comes out as its bright twin on many terminals, so bold takes none that fails then.
func New(w io.Writer, profile Profile, on Background, ascii bool) Styles {
	r := lipgloss.NewRenderer(w)
	r.SetColorProfile(profile)
	r.SetHasDarkBackground(true)
	plain := r.NewStyle()
	type c [3]string // a colour as RGB, of 256 and of the first 16
	coloured := func(unknown, light, dark c) lipgloss.Style {
		is := [...]c{Unknown: unknown, onLight: light, onDark: dark}[on]
		return plain.Foreground(lipgloss.CompleteColor{TrueColor: is[0], ANSI256: is[1], ANSI: is[2]})
	}
	accent := coloured(c{"#1B8A8A", "30"}, c{"#0F6B6B", "23"}, c{"#3FB8B8", "73", "6"}).Bold(true)
	second := coloured(c{"#B07D12", "136"}, c{"#7A5600", "94", "1"}, c{"#D8A020", "178", "11"})
	third := coloured(c{"#8A63B8", "98"}, c{"#6B3FA0", "61"}, c{"#B795E0", "140", "13"})
	return Styles{
		Plain: plain, Strong: plain.Bold(true), Chosen: plain.Reverse(true), Accent: accent,
		Caution: coloured(c{"#B07D12", "136"}, c{"#7A5600", "94"}, c{"#D8A020", "178", "11"}).Bold(true),
		Bad:     coloured(c{"#D0463B", "167"}, c{"#B3261E", "124"}, c{"#F07A70", "209", "13"}).Bold(true),
		Good:    coloured(c{"#2E8B57", "29"}, c{"#1F6B3F", "23", "4"}, c{"#4FC07F", "72", "2"}),
		Quiet:   coloured(c{"#808080", "244"}, c{"#5F5F5F", "59"}, c{"#A0A0A0", "247"}),
		Cold:    coloured(c{"#3B7DC4", "68"}, c{"#1F5FA8", "25", "4"}, c{"#6FA8E8", "74", "14"}),
		Warm:    coloured(c{"#C0681A", "166"}, c{"#9A4A00", "94", "1"}, c{"#E89048", "173", "11"}),
		passes:  [3]lipgloss.Style{accent, second, third}, ASCII: ascii,
	}
}

// For makes the styles for a terminal, as far as the shop's settings let it show what it can.
func For(w io.Writer, profile Profile, on Background, ascii bool, screen finish.Screen) Styles {
	switch screen.Colours {
	case finish.ColoursLight:
		on = onLight
	case finish.ColoursDark:
		on = onDark
	case finish.Colours16:
		profile = max(profile, Colours16)
	case finish.ColoursNone:
		profile = NoColour
	}
	return New(w, profile, on, ascii || screen.Letters == finish.LettersASCII)
}

// BackgroundOf is a terminal's background by its environment: the Linux console is black, and some terminals
// say theirs in COLORFGBG, such as 15;0 (rxvt's convention, from memory). Asking the terminal itself costs
// seconds on one that doesn't answer.
func BackgroundOf(term, colorFGBG string) Background {
	_, back, _ := strings.Cut(colorFGBG, ";")
	if at := strings.LastIndex(back, ";"); at >= 0 {
		back = back[at+1:]
	}
	switch back {
	case "7", "15":
		return onLight
	case "0", "1", "2", "3", "4", "5", "6", "8":
		return onDark
	}
	if term == "linux" {
		return onDark
	}
	return Unknown
}

// Detect is the profile of a terminal by its environment, NO_COLOR and CLICOLOR among it.
func Detect(w io.Writer) Profile { return termenv.NewOutput(w).EnvColorProfile() }

// Pass is the pen of a pass that lies age passes back among those shown: 0 for the newest, 2 at the most.
// With one limb laid over the other, the upper is drawn as 0 and the lower as 1.
func (s Styles) Pass(age int) graph.Pen {
	age = max(0, min(age, 2))
	return graph.Pen{Stroke: []graph.Stroke{graph.Solid, graph.Dashed, graph.Dotted}[age],
		Point: []rune("ox+")[age], Style: s.passes[age]}
}

// Bold is the pen of the newest of some curves that are laid over each other without marks; the others are
// drawn by [Styles.Thin].
func (s Styles) Bold() graph.Pen { return graph.Pen{Stroke: graph.Heavy, Style: s.passes[0]} }

// Thin is the pen of the curve before the newest, and of the first of all.
func (s Styles) Thin(first bool) graph.Pen {
	if first {
		return graph.Pen{Stroke: graph.Dotted, Style: s.passes[2]}
	}
	return graph.Pen{Stroke: graph.Solid, Style: s.passes[1]}
}

func (s Styles) Handle() graph.Pen { return graph.Pen{Stroke: graph.Heavy, Style: s.Quiet} }

// Cursor is where the next letter will stand, one cell. It is seen where nothing but letters is sent.
func (s Styles) Cursor() string { return s.Chosen.Render("_") }

func (s Styles) Rule(width int) string { return s.Quiet.Render(strings.Repeat("─", max(0, width))) }

// Spell is text in plain ASCII characters where the screen has no others; letters of names stay as they are.
func (s Styles) Spell(text string) string {
	if !s.ASCII {
		return text
	}
	return spelled.Replace(text)
}

var spelled = strings.NewReplacer("±", "+/-", "¼", "1/4", "½", "1/2", "¾", "3/4", "⅜", "3/8", "…", "...",
	"–", "-", "·", "|", "−", "-", "×", "x", "▼", "v", "▲", "^", "─", "-", "│", "|", "╭", ".", "╮", ".", "╰", "'",
	"╯", "'", "╌", ":", "╎", ":", "∙", ".", "━", "#", "┃", "#", "┏", "#", "┓", "#", "┗", "#", "┛", "#", "┤", "+",
	"└", "+", "┬", "+", "░", ",")

// Dot stands between facts on one line.
func (s Styles) Dot() string { return s.Spell(" · ") }
