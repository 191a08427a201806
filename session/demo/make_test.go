package demo

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/oklog/ulid/v2"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/date"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/plan"
	"bendbook/model/record"
	"bendbook/model/section"
	"bendbook/model/strung"
	"bendbook/model/treetest"
	"bendbook/model/wood"
	"bendbook/session"
	"bendbook/session/verdict"
)

// How well the shop reads and works, and how its staves come. Rule and scale round besides.
const (
	ruleError  = 1.0 / 32 // in
	scaleError = 0.3      // lb
	gaugeError = 0.003    // of the wedge gauge under the block (in)
	toolError  = 0.2      // of what comes off, as a share along the limb
	strokeOff  = 0.002    // that a stroke takes (in)
	stiffer    = 1.1      // that the lower limb comes, over the upper
	leastCut   = 0.25     // of the deepest cut, that is worth a stroke
	thickness  = 0.65     // of a limb that was not measured (in)
)

// A bowyer makes one bow of a computed stave, by sound practice: what to do next the verdict says.
type bowyer struct {
	t      *testing.T
	r      *rand.Rand
	stave  treetest.Stave
	long   float64 // length of the long string; 0 once the bow was braced (in)
	desc   record.Description
	items  []record.Item
	at     time.Time
	sat    time.Time // when this sitting began
	rests  []int     // days between sittings
	share  float64   // of a plan that is taken at a time
	far    float64   // that the bow is drawn at most; 0 for no limit of the bowyer's own (in)
	tough  treetest.Scraping
	advice verdict.Advice
	told   string // the last verdict that was logged
}

// sit puts a stave on the tree. Its limbs bend by the full compass, but for noise along them.
func sit(t *testing.T, seed uint64, bow model.Bow, heavy, noise float64, at time.Time) *bowyer {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 20))
	b := &bowyer{t: t, r: r, at: at, sat: at, share: 1, rests: []int{4, 7, 3, 5}}
	b.stave = treetest.New(r, treetest.Rough{Rest: 0.0003, Follow: 0.0002, Heavy: 1})
	b.stave.Bow.Handle, b.stave.Brace = float64(bow.Handle), 5.75
	b.stave.Draw, b.stave.Weight = float64(bow.Order.Draw.Or(0)), heavy*float64(bow.Order.Weight.Or(0))
	var whole []treetest.Scraping
	for _, side := range model.Sides {
		limb, length := b.stave.Limb(side), float64(bow.Limbs[side].Length)
		for i := range limb.At {
			limb.At[i] *= length / limb.Length
		}
		limb.Length = length
		limb.At[len(limb.At)-1] = length
		whole = append(whole, treetest.Scraping{Side: side, From: -2, To: length + 2, Loss: 0.3})
	}
	b.stave.Even(aim.Aim{}.Bend)
	b.stave.Work(r, whole, noise/0.3)
	b.stave.Step(model.Lower, 0, b.stave.Bow.Lower.Length, stiffer)
	b.weigh()
	b.describe(bow)
	return b
}

// weigh makes the stave as heavy as it was meant to be.
func (b *bowyer) weigh() { b.times(b.stave.Weight / b.stave.Force(b.stave.Draw)) }

// times makes the whole stave stiffer by a factor.
func (b *bowyer) times(factor float64) {
	for _, side := range model.Sides {
		b.stave.Step(side, 0, b.stave.Limb(side).Length, factor)
	}
}

func (b *bowyer) describe(bow model.Bow) {
	b.t.Helper()
	desc, err := record.Describe(bow)
	must(b.t, err)
	b.desc = desc
}

// measured gives the stave widths and depths, as deep as a limb of its wood must be to be so stiff.
func (b *bowyer) measured() *bowyer {
	bow := b.desc.Bow
	of, _ := wood.Find(bow.Wood)
	for _, side := range model.Sides {
		limb := &bow.Limbs[side]
		for _, at := range limb.Stations {
			u := float64(at / limb.Length)
			width, low, high := round(1.25-0.55*u*u, 1.0/32), 0.1, 2.0
			for high-low > 1e-4 {
				depth := (low + high) / 2
				s, _ := section.New(section.D, width, depth)
				if 1.05*of.Modulus*s.SecondMoment() < b.stiffness(side, float64(at)) {
					low = depth
				} else {
					high = depth
				}
			}
			limb.Widths = append(limb.Widths, measure.Some(measure.Length(width)))
			limb.Depths = append(limb.Depths, measure.Some(measure.Length(round(low, 0.005))))
		}
	}
	b.describe(bow)
	return b
}

func (b *bowyer) stiffness(side model.Side, at float64) float64 {
	limb := b.stave.Limb(side)
	for i := range limb.At {
		if limb.At[i] >= at {
			return limb.Stiffness[i]
		}
	}
	return limb.Stiffness[len(limb.At)-1]
}

func (b *bowyer) story() session.Story { return session.Fold(b.desc, b.items) }

// usual is how long the work takes that an entry tells of, in minutes.
func usual(what model.Event) float64 {
	switch what.(type) {
	case model.Pull, model.Note:
		return 3.5
	case model.Finish:
		return 25
	}
	return 6
}

func (b *bowyer) add(events ...model.Event) {
	b.t.Helper()
	for _, what := range events {
		spent := usual(what) * (0.8 + 0.4*b.r.Float64())
		b.at = b.at.Add(time.Duration(60*spent) * time.Second)
		var id ulid.ULID
		must(b.t, id.SetTime(uint64(b.at.UnixMilli())))
		for i := 6; i < len(id); i++ {
			id[i] = byte(b.r.Uint32())
		}
		must(b.t, b.desc.Bow.CheckEvent(what))
		item, err := record.NewItem(model.Entry{ID: id.String(), At: b.at, What: what}, b.desc.Bow.Units)
		must(b.t, err)
		item.Key = record.Key(id)
		b.items = append(b.items, item)
	}
}

func (b *bowyer) note(text string) { b.add(model.Note{Text: text}) }

// rest ends the sitting, with a look at the unstrung bow, and begins another some days later.
func (b *bowyer) rest() {
	b.relaxed()
	days := b.rests[0]
	b.rests = append(b.rests[1:], days)
	b.leave(days)
}

func (b *bowyer) leave(days int) {
	year, month, day := b.at.AddDate(0, 0, days).Date()
	hour := []int{8, 9, 13}[b.r.IntN(3)]
	b.at = time.Date(year, month, day, hour, b.r.IntN(40), b.r.IntN(60), 0, time.UTC)
	b.sat = b.at
}

func (b *bowyer) judge() verdict.Verdict {
	b.t.Helper()
	a, err := b.advice.Again(b.story(), verdict.Usual(), nil)
	must(b.t, err)
	b.advice = a
	return a.Judge(b.finishing())
}

func (b *bowyer) finishing() verdict.Finishing {
	return verdict.FinishingOf(b.story(), finish.Usual(), verdict.Usual().Takes, b.at, date.DayFirst)
}

// tell logs the verdict on a pass that is over.
func (b *bowyer) tell(v verdict.Verdict) {
	b.told = fmt.Sprintf("%s, pass %d: %s %s", b.desc.Bow.Name, b.story().Pass().Number, v.Say, v.Why)
	b.t.Log(b.told)
}

// work follows the verdict for so many passes, or until it asks for more than the tree can give.
func (b *bowyer) work(passes int) verdict.Verdict {
	b.t.Helper()
	last := b.story().Pass().Number + passes
	for range 80 {
		v := b.judge()
		far := v.Draw.Or(0) > b.far && b.far > 0
		over := v.Rule == "over weight" && len(b.advice.Removal) > 0
		switch {
		case (v.Do == verdict.Draw || v.Do == verdict.DrawAgain) && !far:
			b.pull(v.Draw.Or(0))
		case v.Do == verdict.Exercise:
			b.add(model.Exercise{Pulls: 20})
		case v.Do == verdict.Check:
			b.braced(false)
			b.pull(float64(b.story().LongestDraw()))
		case v.Do == verdict.Measure:
			b.braced(true)
		case (v.Do == verdict.Scrape || over) && b.story().Pass().Number < last:
			b.tell(v)
			if b.at.Sub(b.sat) > 75*time.Minute {
				b.rest()
			}
			b.scrape()
		default:
			b.tell(v)
			return v
		}
	}
	b.t.Fatalf("%s: the verdict leads nowhere: %s", b.desc.Bow.Name, b.told)
	return verdict.Verdict{}
}

// scrape takes off what is planned, neighbouring stretches that are much alike in one go.
func (b *bowyer) scrape() {
	var cuts []plan.Cut
	deepest := 0.0
	for _, r := range b.advice.Removal {
		deepest = max(deepest, r.Loss)
	}
	for _, r := range b.advice.Removal {
		c, n := r.Cut, len(cuts)
		if c.Loss < leastCut*deepest {
			continue
		}
		if n > 0 && cuts[n-1].Side == c.Side && c.From-cuts[n-1].To < 0.1 &&
			math.Abs(cuts[n-1].Loss-c.Loss) < 0.6*max(cuts[n-1].Loss, c.Loss) {
			was := cuts[n-1]
			c.Loss = (was.Loss*(was.To-was.From) + c.Loss*(c.To-c.From)) / (c.To - was.From)
			c.From = was.From
			cuts = cuts[:n-1]
		}
		cuts = append(cuts, c)
	}
	for _, c := range cuts {
		c.Loss *= b.share
		b.shave(c)
	}
}

// shave takes one cut and counts its strokes. Where the wood is tough less comes off.
func (b *bowyer) shave(c plan.Cut) {
	r := b.advice.RemovalOf(c)
	depth := r.Depth.Or(thickness*r.DepthShare) * math.Exp(0.15*b.r.NormFloat64())
	tool := "scraper"
	if b.story().Pass().Number < 2 {
		tool = "spokeshave"
	}
	b.add(model.Scrape{Limb: c.Side, From: b.tidy(c.From), To: b.tidy(c.To), Tool: tool,
		Strokes: measure.Some(max(1, int(math.Round(depth/strokeOff))))})
	b.stave.Work(b.r, []treetest.Scraping{{Side: c.Side, From: c.From, To: c.To, Loss: c.Loss}}, toolError)
	if from, to := max(c.From, b.tough.From), min(c.To, b.tough.To); c.Side == b.tough.Side && from < to {
		b.stave.Change(func() { b.stave.Step(c.Side, from, to, math.Exp(b.tough.Loss*c.Loss)) })
	}
}

// tidy is a place as one tells it at the bench: in half inches or whole centimetres.
func (b *bowyer) tidy(at float64) measure.Length {
	if unit := b.desc.Bow.Units.Length; unit != measure.Inch {
		return unit.Length(math.Round(measure.Length(at).In(unit)))
	}
	return measure.Length(round(at, 0.5))
}

// inches is a length for the tools of the shop, 2.5 cm to the inch where it works in centimetres.
func (b *bowyer) inches(l float64) measure.Length {
	if unit := b.desc.Bow.Units.Length; unit != measure.Inch {
		return unit.Length(2.5 * l)
	}
	return measure.Length(l)
}

func round(v, step float64) float64 { return math.Round(v/step) * step }

// ruled is a length as it is read.
func (b *bowyer) ruled(l float64) measure.Optional[measure.Length] {
	return measure.Some(b.desc.Bow.Ruler().Round(measure.Length(l + ruleError*b.r.NormFloat64())))
}

// solve is the stave at a draw, or braced at 0, with readings at its stations and where the block is laid.
func (b *bowyer) solve(draw float64, blocks []measure.Length) (strung.Solution, strung.Readings) {
	b.t.Helper()
	str := strung.ByBrace(b.stave.Brace)
	if b.long > 0 {
		str = strung.ByLength(b.long)
	}
	solver, err := strung.New(b.stave.Bow, str)
	must(b.t, err)
	var places strung.Places
	for _, side := range model.Sides {
		for _, at := range b.desc.Bow.Limbs[side].Stations {
			places[side].At = append(places[side].At, float64(at))
		}
		places[side].Block = float64(b.inches(6))
		for _, at := range blocks {
			places[side].BlockAt = append(places[side].BlockAt, float64(at))
		}
	}
	must(b.t, solver.SetPlaces(places))
	var sol strung.Solution
	var read strung.Readings
	if draw > 0 {
		must(b.t, solver.Draw(draw, &sol))
	} else {
		must(b.t, solver.Brace(&sol))
	}
	must(b.t, solver.Read(&sol, &read))
	return sol, read
}

// walk reads both limbs. Now and then a station is left out.
func (b *bowyer) walk(read strung.Readings, of func(strung.LimbReadings) []float64) (rows model.Readings) {
	for side, limb := range read {
		for _, v := range of(limb) {
			value := b.ruled(v)
			if b.r.IntN(60) == 0 {
				value = measure.Optional[measure.Length]{}
			}
			rows[side] = append(rows[side], value)
		}
	}
	return rows
}

func (b *bowyer) relaxed() { b.add(model.Relaxed{Readings: b.unstrung(0)}) }

// unstrung reads the unstrung bow with a rule that is off.
func (b *bowyer) unstrung(off float64) model.Readings {
	_, read := b.solve(0, nil)
	return b.walk(read, func(l strung.LimbReadings) (rows []float64) {
		for _, v := range l.Relaxed {
			rows = append(rows, v+off)
		}
		return rows
	})
}

// brace puts the bow on its short string.
func (b *bowyer) brace() {
	b.long = 0
	sol, _ := b.solve(0, nil)
	b.add(model.StringLength{Length: b.ruled(sol.StringLength).Or(0)})
	b.braced(false)
}

// braced reads brace height and gaps, and lays the block on between the stations where that is asked for.
func (b *bowyer) braced(block bool) {
	var at []measure.Length
	for s := 6.0; block && s < 30; s += 4 {
		at = append(at, b.inches(s))
	}
	_, read := b.solve(0, at)
	e := model.Braced{Height: b.ruled(b.stave.Brace), From: model.FromString}
	e.Readings = b.walk(read, func(l strung.LimbReadings) []float64 { return l.Gap })
	if block {
		e.Block = &model.Block{Length: b.inches(6), At: at}
		for side, limb := range read {
			for _, gap := range limb.Block {
				gap = round(gap+gaugeError*b.r.NormFloat64(), 0.001)
				e.Block.Gaps[side] = append(e.Block.Gaps[side], measure.Some(measure.Length(gap)))
			}
		}
	}
	b.add(e)
}

// pull draws the bow and reads scale and limbs: first braced, then a shorter pull to warm it up. What goes
// farther than before leaves a little set.
func (b *bowyer) pull(draw float64) {
	pass, longest := b.story().Pass(), float64(b.story().LongestDraw())
	if b.long == 0 && len(pass.Pulls) == 0 {
		if len(pass.Braced) == 0 {
			b.braced(pass.Number%2 == 1)
		}
		if shorter := b.whole(draw - 4); shorter > 10 {
			b.add(model.Pull{Draw: measure.Length(shorter), Peak: b.peak(shorter), From: model.FromLine})
		}
	}
	draw = b.drawn(draw, longest)
	_, read := b.solve(draw, nil)
	b.add(model.Pull{Draw: measure.Length(draw), Peak: b.peak(draw), From: model.FromLine,
		Readings: b.walk(read, func(l strung.LimbReadings) []float64 { return l.Line })})
	if farther := draw - max(longest, 12); farther > 0 && b.long == 0 {
		b.stave.Change(func() {
			for _, side := range model.Sides {
				limb := b.stave.Limb(side)
				for i, at := range limb.At {
					limb.RestBend[i] += 4e-5 * farther * (1 - at/limb.Length)
				}
			}
		})
	}
}

func (b *bowyer) peak(draw float64) measure.Optional[measure.Force] {
	sol, _ := b.solve(draw, nil)
	step := float64(b.desc.Bow.Scale)
	return measure.Some(measure.Force(round(sol.Force+scaleError*b.r.NormFloat64(), step)))
}

// drawn is a draw that the peg on the tree is set to, no farther than asked for: in half inches where they go
// farther than before.
func (b *bowyer) drawn(draw, longest float64) float64 {
	if d := b.floor(draw, 0.5, 1); d > longest {
		return d
	}
	return b.floor(draw, 0.125, 0.5)
}

func (b *bowyer) whole(draw float64) float64 { return b.floor(draw, 1, 2.5) }

func (b *bowyer) floor(draw, inches, centimetres float64) float64 {
	if unit := b.desc.Bow.Units.Length; unit != measure.Inch {
		steps := math.Floor(measure.Length(draw).In(unit)/centimetres + 1e-6)
		return float64(unit.Length(centimetres * steps))
	}
	return inches * math.Floor(draw/inches+1e-6)
}

// done logs a stage, on a day of its own where days went by.
func (b *bowyer) done(days int, step model.Finish) {
	if days > 0 {
		b.leave(days)
	}
	b.add(step)
}
