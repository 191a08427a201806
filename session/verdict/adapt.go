package verdict

import (
	"cmp"
	"slices"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/model/section"
	"bendbook/model/wood"
	"bendbook/session"
)

// bowOf is what is known of a story's bow beside its readings.
func bowOf(story session.Story) estimate.Bow {
	bow, stave, whole := story.Bow(), story.Stave(), story.Whole()
	known, _ := wood.Find(bow.Wood)
	b := estimate.Bow{
		Handle: float64(bow.Handle), Section: section.Kind(bow.Section), Modulus: known.Modulus,
		Draw:   float64(bow.DrawToBelly().Or(0)),
		Weight: float64(bow.Order.Weight.Or(0)),
		Errors: estimate.UsualErrors(float64(bow.Rule), float64(bow.Scale), bow.Cradle == "rocking"),
		Hook:   float64(bow.Rig.Hook), GainError: bow.Rig.GainError(), LineMoves: bow.Rig.Line == model.OnBow,
	}
	for side, limb := range bow.Limbs {
		b.Limbs[side] = estimate.Limb{Length: float64(whole[side].Length),
			Sizes: sizesOf(stave[side], whole[side].Length)}
		if now := sizesOf(limb, limb.Length); !slices.Equal(now, b.Limbs[side].Sizes) {
			b.Limbs[side].Later = now
		}
	}
	return b
}

// sizesOf are the places of a limb where width and depth were measured; length is what it has now.
func sizesOf(limb model.Limb, length measure.Length) (sizes []estimate.Size) {
	limb.Length = length
	for i := range min(len(limb.Stations), len(limb.Widths), len(limb.Depths)) {
		width, depth := float64(limb.Widths[i].Or(0)), float64(limb.Depths[i].Or(0))
		place := onLimb(limb, limb.Stations[i])
		if n := len(sizes); width > 0 && depth > 0 && (n == 0 || place > sizes[n-1].At) {
			sizes = append(sizes, estimate.Size{At: place, Width: width, Depth: depth})
		}
	}
	return sizes
}

// onLimb is a place of a limb, at the nock where a record puts it past that by the rule's error.
func onLimb(limb model.Limb, at measure.Length) float64 { return float64(min(at, limb.Length)) }

// A folder turns the lines of a story into passes.
type folder struct {
	bow     model.Bow
	strokes Strokes
	pass    estimate.Pass
	hang    estimate.Hang // on the string that the bow hangs on
	open    bool          // something was read on it in the pass
}

func isRead(p estimate.Pass) bool { return len(p.Relaxed) > 0 || len(p.Hangs) > 0 }

// passesBefore are the passes of a story in order, with the readings that count before an entry; "" is none.
func passesBefore(story session.Story, entry string, strokes Strokes) []estimate.Pass {
	f := folder{bow: story.Bow(), strokes: strokes}
	f.bow.Limbs = story.Whole()
	strings, farthest := before(story, entry)
	var all []estimate.Pass
	for _, p := range story.Passes {
		f.pass = estimate.Pass{}
		on := -1
		for _, line := range story.LinesOf(p) {
			if entry != "" && line.Entry.ID == entry {
				f.close()
				return append(all, f.pass)
			}
			if line.On != on {
				f.close()
				on, f.hang = line.On, hangOn(story, strings.At(line.On), farthest)
			}
			if line.Counts() {
				f.add(line.What)
			}
		}
		f.close()
		all = append(all, f.pass)
	}
	return all
}

// before is what was known of a bow's strings, and the longest draw, before an entry; "" is none.
func before(story session.Story, entry string) (strings session.Strings, longest measure.Length) {
	bow := story.Bow()
	bow.Limbs = story.Whole()
	for _, line := range story.Lines {
		if entry != "" && line.Entry.ID == entry {
			break
		}
		if !line.Counts() {
			continue
		}
		switch what := line.Entry.What.(type) {
		case model.Pull:
			longest = max(longest, what.Draw)
		case model.Shorten:
			bow.Limbs = what.Of(bow.Limbs)
		}
		strings = strings.With(bow, line.Entry.What, line.Pass)
	}
	return strings, longest
}

// longPull is how far a bow is drawn on the long string, as a share of its draw (common practice).
const longPull = 0.6

// hangOn is a bow on a string. It is a long one where the bow was never said to be braced nor drawn far.
func hangOn(story session.Story, on session.String, farthest measure.Length) estimate.Hang {
	usual := measure.Length(bowOf(story).UsualDraw())
	short := farthest <= longPull*cmp.Or(story.Bow().DrawToBelly().Or(0), usual)
	return estimate.Hang{Long: on.Kind == model.LongString || on.Kind == "" && short,
		Length: float64(on.Length.Or(0))}
}

func (f *folder) close() {
	if f.open {
		f.pass.Hangs = append(f.pass.Hangs, f.hang)
	}
	f.open = false
}

func (f *folder) add(what model.Event) {
	switch e := what.(type) {
	case model.Scrape:
		if e.TookNothing() {
			return
		}
		if e.Face != "" { // its figures are none of the thickness
			e = model.Scrape{Limb: e.Limb, From: e.From, To: e.To}
		}
		f.pass.Scrapes = append(f.pass.Scrapes, estimate.Scrape{
			Side: e.Limb, From: float64(e.From), To: float64(e.To),
			Share: e.DepthShare.Or(0), Depth: float64(e.Depth.Or(0)), Strokes: e.Strokes.Or(0),
			Stroke: f.strokes.taking(e.Tool, f.bow.Wood),
		})
	case model.Patch:
		f.pass.Heats = append(f.pass.Heats, patched(e))
	case model.Heat:
		f.pass.Heats = append(f.pass.Heats, heated(e))
	case model.Shorten:
		f.bow.Limbs = e.Of(f.bow.Limbs)
		for side, off := range e.Off() {
			f.pass.Shorten[side] += float64(off)
		}
	case model.Relaxed:
		line, _ := f.rows(e.By, model.FromLine, e.Readings)
		f.pass.Relaxed = append(f.pass.Relaxed, line...)
	case model.Braced:
		f.braced(e)
	case model.Pull:
		f.open = true
		pull := estimate.Pull{Draw: float64(e.Draw), Peak: float64(e.Peak.Or(0))}
		pull.Line, pull.Gap = f.rows(e.By, e.From, e.Readings)
		f.hang.Pulls = append(f.hang.Pulls, pull)
	}
}

// heated is what heat may have changed. A limb is set back by an inch or so; twist and toasting move the
// nock little, and toasting stiffens the belly (common practice; the sizes are this project's own).
func heated(e model.Heat) estimate.Heat {
	h := estimate.Heat{Side: e.Limb, From: float64(e.From), To: float64(e.To), Back: 0.4, Nock: 0.9,
		Stiffness: 0.03}
	switch e.Why {
	case "twist":
		h.Back, h.Nock = 0, 0.3
	case "toast":
		h.Back, h.Nock, h.Stiffness = 0, 0.5, 0.06
	}
	if reached, known := e.Reached.Get(); known { // by the line: how far it followed the string adds to it
		h.Back, h.Nock = float64(reached), max(0.5, float64(reached)/2)
	}
	return h
}

// patched is what a backing, glue or a longer handle may have added: some stiffness (this project's own).
func patched(e model.Patch) estimate.Heat {
	return estimate.Heat{Side: e.Limb, From: float64(e.From), To: float64(e.To), Stiffer: 0.12, Stiffness: 0.12}
}

func (f *folder) braced(e model.Braced) {
	f.open = true
	if height := float64(e.Height.Or(0)); height > 0 {
		f.hang.Brace = height
	}
	line, gap := f.rows(e.By, e.From, e.Readings)
	f.hang.Line, f.hang.Gap = append(f.hang.Line, line...), append(f.hang.Gap, gap...)
	if b := e.Block; b != nil {
		var places [2][]float64
		for side := range places {
			for _, at := range b.At {
				places[side] = append(places[side], float64(at))
			}
		}
		row := estimate.BlockRow{Block: float64(b.Length), Gaps: readings(places, b.Gaps)}
		f.hang.Blocks = append(f.hang.Blocks, row)
	}
}

// rows are the readings at the stations. Those off a photograph have an error of their own.
func (f *folder) rows(by model.ReadBy, from model.Datum, r model.Readings) (line, gap []estimate.Reading) {
	all := readings(stationsOf(f.bow), r)
	if from == model.FromString {
		return nil, all
	}
	for i := range all {
		all[i].Photo = by == model.ByPhoto
	}
	return all, nil
}

func stationsOf(bow model.Bow) (at [2][]float64) {
	for side, limb := range bow.Limbs {
		for _, s := range limb.Stations {
			at[side] = append(at[side], onLimb(limb, s))
		}
	}
	return at
}

func readings(places [2][]float64, r model.Readings) (all []estimate.Reading) {
	for _, side := range model.Sides {
		for i, at := range places[side] {
			if v, known := r.At(side, i).Get(); known {
				all = append(all, estimate.Reading{Side: side, At: at, Value: float64(v)})
			}
		}
	}
	return all
}
