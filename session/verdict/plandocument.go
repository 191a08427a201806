package verdict

import "bendbook/model/plan"

// The parts of the document that tell of the plan.

type removal struct {
	Limb       string  `json:"limb"`
	From       number  `json:"from"`
	To         number  `json:"to"`
	Stiffness  number  `json:"stiffness"`
	DepthShare number  `json:"depth_share"`
	Depth      *number `json:"depth"`
	Strokes    *int    `json:"strokes"`
}

type planned struct {
	Verdict string   `json:"verdict"`
	Says    []string `json:"says"`
	// After is the bow with the removal.
	After outcome `json:"after"`
}

type outcome struct {
	Weight      figure `json:"weight"`
	Tiller      figure `json:"tiller"`
	ChanceUnder number `json:"chance_under"`
}

type cameOff struct {
	Limb    string  `json:"limb"`
	From    number  `json:"from"`
	To      number  `json:"to"`
	Planned *number `json:"planned"`
	figure
	Says string `json:"says"`
}

// verdictNames are the verdicts as the document spells them.
var verdictNames = map[plan.Verdict]string{
	plan.Scrape: "scrape", plan.Done: "done", plan.Weak: "weak", plan.Unsure: "unsure", plan.Left: "left over",
}

// planInto adds what is to come off, what the bow would then be, and what came off.
func (a Advice) planInto(d *document, w writer) {
	for _, r := range a.Removal {
		one := removal{
			Limb: r.Side.String(), From: rounded(r.From * w.length), To: rounded(r.To * w.length),
			Stiffness: rounded(r.Stiffness()), DepthShare: rounded(r.DepthShare), Depth: known(r.Depth, w.length),
		}
		if n, ok := r.Strokes.Get(); ok {
			one.Strokes = &n
		}
		d.Removal = append(d.Removal, one)
	}
	if p, ok := a.Plan.Get(); ok {
		after := p.After
		if len(a.Removal) == 0 {
			after = p.Now
		}
		d.Plan = &planned{Verdict: verdictNames[p.Verdict], Says: p.Says, After: outcome{
			Weight: of(after.Weight, w.force), Tiller: of(after.Tiller, w.length), ChanceUnder: rounded(after.ChanceUnder),
		}}
	}
	for _, c := range a.CameOff {
		d.CameOff = append(d.CameOff, cameOff{
			Limb: c.Scrape.Side.String(), From: rounded(c.Scrape.From * w.length), To: rounded(c.Scrape.To * w.length),
			Planned: known(c.Planned, 1), figure: of(c.Came, 1), Says: c.Says,
		})
	}
}
