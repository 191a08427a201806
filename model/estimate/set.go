package estimate

// usualSet is the set that a first full draw brings to a bow and that neither relaxed readings nor those at
// its draws show (in, 1 sd). Common practice says that half an inch of set is usual; allowing for all of it
// makes the bands of bows that take none too wide where only gaps and peaks are read, and gains nothing on
// virtual staves that take an inch.
const usualSet = 0.15

// leastFresh is the share of a set that no reading shows.
const leastFresh = 0.02

// SetShare is the share of the set of a first full draw that a bow has taken once it was drawn to a draw
// (in). It grows with the square of the draw over brace, nearly; this project's own.
func (b Bow) SetShare(draw float64) float64 {
	s := max((draw-b.usualBrace())/(b.orderedDraw()-b.usualBrace()), 0)
	return min(s*s, 1)
}

// setBy is the share of that set that a pass brings: each draw beyond all before adds some, which earlier
// readings did not see.
func (st State) setBy(p Pass) float64 {
	return st.bow.SetShare(p.longest(st.longest)) - st.bow.SetShare(st.longest)
}
