package table

import (
	"math"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

func (c *cells) Readings(v *model.Readings) {
	if c.writing {
		for _, side := range model.Sides {
			for i, at := range c.bow.Limbs[side].Stations {
				c.add(side, at, v.At(side, i))
			}
		}
		return
	}
	for _, r := range c.readings {
		i, ok := stationAt(c.bow, r.side, r.at)
		if !ok {
			c.failf("%s: the %s limb has no station there; it is read at %s",
				r.named, r.side, sayStations(c.bow, r.side))
			continue
		}
		if v.At(r.side, i).Known() {
			c.failf("%s: that station stands in two columns", r.named)
		}
		put(&v[r.side], i, r.l)
	}
	c.readings = nil
}

// block writes or reads the gaps under a block. Their places need not be stations.
func (c *cells) block(e *model.Braced) {
	if c.writing {
		c.Length(kindBlock, &e.Block.Length)
		for i, at := range e.Block.At {
			for _, side := range model.Sides {
				c.add(side, at, e.Block.Gaps.At(side, i))
			}
		}
		return
	}
	c.take(columnMeasured)
	e.From, e.Block = model.FromString, &model.Block{}
	c.Length(kindBlock, &e.Block.Length)
	for _, r := range c.readings {
		e.Block.At = append(e.Block.At, r.at)
	}
	slices.Sort(e.Block.At)
	e.Block.At = slices.Compact(e.Block.At)
	for _, r := range c.readings {
		put(&e.Block.Gaps[r.side], slices.Index(e.Block.At, r.at), r.l)
	}
	c.readings = nil
}

// add writes a reading that was taken.
func (c *cells) add(side model.Side, at measure.Length, l measure.Optional[measure.Length]) {
	if v, known := l.Get(); known {
		c.readings = append(c.readings, reading{column: column{station: true, side: side, at: at}, l: v})
	}
}

// put sets the reading at an index and lengthens the row as needed.
func put(row *[]measure.Optional[measure.Length], i int, l measure.Length) {
	for len(*row) <= i {
		*row = append(*row, measure.Optional[measure.Length]{})
	}
	(*row)[i] = measure.Some(l)
}

// partsOf splits a block that names a place twice, as it may in a record: a row has one cell for a place.
func partsOf(b model.Block) []model.Block {
	parts := []model.Block{{Length: b.Length}}
	for i, at := range b.At {
		n := slices.IndexFunc(parts, func(p model.Block) bool { return !slices.Contains(p.At, at) })
		if n < 0 {
			n = len(parts)
			parts = append(parts, model.Block{Length: b.Length})
		}
		appendPlace(&parts[n], b, i)
	}
	return parts
}

// appendPlace appends place i of a block, with its gaps, to another block.
func appendPlace(to *model.Block, from model.Block, i int) {
	to.At = append(to.At, from.At[i])
	for _, side := range model.Sides {
		to.Gaps[side] = append(to.Gaps[side], from.Gaps.At(side, i))
	}
}

// joined is a block with the places of both.
func joined(b, more model.Block) model.Block {
	all := model.Block{Length: b.Length}
	for _, part := range []model.Block{b, more} {
		for i := range part.At {
			appendPlace(&all, part, i)
		}
	}
	return all
}

// stationAt is the index of the station of a limb at a place.
func stationAt(bow model.Bow, side model.Side, at measure.Length) (i int, ok bool) {
	stations := bow.Limbs[side].Stations
	for n, s := range stations {
		if math.Abs(float64(s-at)) < math.Abs(float64(stations[i]-at)) {
			i = n
		}
	}
	return i, len(stations) > 0 && session.SameStation(stations[i], at)
}

func sayStations(bow model.Bow, side model.Side) string {
	var said []string
	for _, at := range bow.Limbs[side].Stations {
		said = append(said, bow.Ruler().Short(at))
	}
	if len(said) == 0 {
		return "none yet"
	}
	return strings.Join(said, ", ") + " " + string(bow.Units.Length)
}
