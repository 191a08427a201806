package graph

import "github.com/guptarohit/asciigraph"

// Stroke is the shape of a line. The strokes differ in their glyphs, so that
// curves lying over each other stay apart on a screen without colour.
type Stroke int

// The strokes, from the one that catches the eye to the one that hardly does,
// and Heavy for a thing that is no curve, such as a fixed part.
const (
	Solid Stroke = iota
	Dashed
	Dotted
	Heavy
)

// glyphs are the characters of a stroke: a line going right, one going up, and
// the four corners, named as asciigraph does by where the arc's ends point.
type glyphs struct {
	horizontal, vertical                 rune
	downRight, downLeft, upRight, upLeft rune
}

// glyphs returns the stroke's characters. Dashed and Dotted avoid characters
// of ambiguous East Asian width; for Solid and Heavy there are none but those.
func (s Stroke) glyphs(ascii bool) glyphs {
	all := func(r rune) glyphs { return glyphs{r, r, r, r, r, r} }
	switch {
	case s == Heavy && ascii:
		return all('#')
	case s == Heavy:
		return glyphs{'━', '┃', '┏', '┓', '┗', '┛'}
	case s == Dotted && ascii:
		return all('.')
	case s == Dotted:
		return all('∙')
	case s == Dashed && ascii:
		return all(':')
	case s == Dashed:
		return glyphs{'╌', '╎', '╌', '╌', '╌', '╌'}
	case ascii:
		return glyphs{'-', '|', '.', '.', '\'', '\''}
	}
	return glyphs{'─', '│', '╭', '╮', '╰', '╯'}
}

// charSet is the same set as asciigraph wants it. The caps are never drawn,
// because no gap is ever handed over.
func (g glyphs) charSet() asciigraph.CharSet {
	return asciigraph.CharSet{
		Horizontal:   string(g.horizontal),
		VerticalLine: string(g.vertical),
		ArcDownRight: string(g.downRight),
		ArcDownLeft:  string(g.downLeft),
		ArcUpRight:   string(g.upRight),
		ArcUpLeft:    string(g.upLeft),
	}
}
