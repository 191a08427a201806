package estimate

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// A marked bow is one with stickers on its limbs: its values, and after them what each sticker is off. They
// stay on from pass to pass, so that a picture shows what changed since the one before far better than where
// a limb lies.
type marked struct {
	gaussian
	stickers []Reading // by their places; [handles] is the tilt of the handle's two
}

// handles stands for the handle's stickers among those of stations.
var handles = Reading{At: -1}

// Pictured says whether the limbs were read off photographs, which show single stretches of two inches.
func (st State) Pictured() bool { return st.marked.stickers != nil }

// wander is how far a sticker comes off its place in a pass: a length, of the handle's a tilt.
func (b Bow) wander(sticker Reading) float64 { return b.placed(sticker, stickerWander) }

// placed turns an error of a sticker's place (in) into that of its value.
func (b Bow) placed(sticker Reading, sd float64) float64 {
	if sticker == handles {
		return math.Sqrt2 * sd / max(b.Handle, 1)
	}
	return sd
}

// prior is the bow before the readings of a pass, with the stickers that are on it.
func (st State) prior() gaussian {
	if st.marked.stickers == nil {
		return st.g
	}
	return st.marked.gaussian
}

// agedMarks are the stickers after a pass.
func (st State) agedMarks(p Pass) marked {
	m := st.marked
	if m.stickers == nil {
		return m
	}
	m.gaussian = st.aged(m.gaussian, p)
	cov := m.covariance()
	for i, s := range m.stickers {
		at, sd := st.frame.len()+i, st.bow.wander(s)
		addTo(cov, at, at, sd*sd)
	}
	if g, ok := from(m.mean, cov); ok {
		m.gaussian = g
	}
	return m
}

// marks are the values of the bow and of its stickers among those that were fitted.
func (m *predictor) marks(g gaussian) marked {
	if m.placed == nil {
		return marked{}
	}
	core := m.frame.len()
	_, cols := g.root.Dims()
	out := marked{gaussian: gaussian{slices.Clone(g.mean[:core]), mat.NewDense(core+len(m.placed), cols, nil)},
		stickers: m.placed}
	out.root.Slice(0, core, 0, cols).(*mat.Dense).Copy(g.root.Slice(0, core, 0, cols))
	for i, s := range m.placed {
		at := m.stickers[s]
		out.mean = append(out.mean, g.mean[at])
		out.root.SetRow(core+i, g.root.RawRowView(at))
	}
	return out
}

// pictured gives a row the errors of a photograph: its own, and those of the stickers, which all pictures
// share: what the station's is off, and the tilt of the line through the handle's.
func (m *predictor) pictured(r *row, sticker Reading) {
	for _, s := range []Reading{handles, sticker} {
		if _, known := m.stickers[s]; !known {
			m.stickers[s] = m.extra(0, m.bow.placed(s, stickerError))
			m.placed = append(m.placed, s)
		}
	}
	r.sd, r.sticker, r.turn = cmp.Or(m.bow.Errors.Photo, photoError), m.stickers[sticker], m.stickers[handles]
}
