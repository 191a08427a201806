package record

import (
	"cmp"
	"encoding/json"
	"time"

	"bendbook/model"
)

func (c *codec) bow(b *model.Bow) {
	b.Units = c.units
	fullText(c, "id", &b.ID)
	fullText(c, "name", &b.Name)
	text(c, "wood", &b.Wood)
	text(c, "number", &b.Number)
	bare("handle", &b.Handle, c.writing, c.MaybeLength)
	c.MaybeLength("handle_depth", &b.HandleDepth)
	text(c, "section", &b.Section)
	if !c.object("limbs", func(c *codec) { c.limbs(b) }) {
		c.missing("limbs", "upper and lower")
	}
	c.object("order", func(c *codec) {
		o := &b.Order
		text(c, "for", &o.For)
		c.MaybeLength("draw", &o.Draw)
		text(c, "draw_to", &o.DrawTo)
		c.MaybeForce("weight", &o.Weight)
		c.MaybeForce("allow", &o.Allow)
		text(c, "due", &o.Due)
		text(c, "hand", &o.Hand)
		text(c, "notes", &o.Notes)
	})
	c.object("aim", func(c *codec) {
		text(c, "bend", &b.Aim.Bend)
		c.MaybeLength("tiller_at", &b.Aim.TillerAt)
		c.MaybeLength("tiller", &b.Aim.Tiller)
		c.MaybeLength("stiff_tips", &b.Aim.StiffTips)
	})
	c.object("readings", func(c *codec) {
		bare("rule", &b.Rule, b.Rule > 0, c.MaybeLength)
		bare("scale", &b.Scale, b.Scale > 0, c.MaybeForce)
		text(c, "cradle", &b.Cradle)
		text(c, "scale_at", &b.Rig.ScaleAt)
		bare("reads_high", &b.Rig.High, b.Rig.High != 0, c.MaybeNumber)
		bare("tare", &b.Rig.Tare, b.Rig.Tare != 0, c.MaybeForce)
		bare("hook_off", &b.Rig.Hook, b.Rig.Hook != 0, c.MaybeLength)
		text(c, "line", &b.Rig.Line)
	})
}

func (c *codec) limbs(b *model.Bow) {
	for _, side := range model.Sides {
		limb := &b.Limbs[side]
		present := c.object(side.String(), func(c *codec) {
			c.Length("length", &limb.Length)
			c.lengths("stations", &limb.Stations)
			c.row("widths", &limb.Widths)
			c.row("depths", &limb.Depths)
		})
		if !present {
			c.missing(side.String()+".length", "the limb's length from root to nock")
		}
	}
}

// head visits the fields that every entry has.
func (c *codec) head(e *model.Entry, kind *model.Kind) {
	text(c, "id", &e.ID)
	at := ""
	if !e.At.IsZero() {
		at = e.At.UTC().Format(time.RFC3339Nano)
	}
	text(c, "at", &at)
	fullText(c, "kind", kind)
	if c.writing || at == "" {
		return
	}
	var err error
	if e.At, err = time.Parse(time.RFC3339, at); err != nil {
		c.fail("at", "%q isn't a time: write one like 2027-01-10T09:00:00Z", model.Shortened(at))
	} else if year := e.At.Year(); year < 1970 || year > 9999 {
		c.fail("at", "the year %d is out of range: write 1970 or later", year)
	}
}

// event visits the fields of an event of a kind; was is nil when reading.
func (c *codec) event(kind model.Kind, was model.Event) model.Event {
	if kind == "" {
		c.missing("kind", "pull, braced, relaxed, scrape or the like")
	}
	return model.Exchange(kind, was, c)
}

func (c *codec) Readings(r *model.Readings) {
	for _, side := range model.Sides {
		c.row(side.String(), &r[side])
	}
}

func (c *codec) Block(block **model.Block) {
	if c.writing && *block == nil {
		return
	}
	b := cmp.Or(*block, &model.Block{})
	if c.object("block", func(c *codec) {
		c.Length("length", &b.Length)
		c.lengths("at", &b.At)
		c.Readings(&b.Gaps)
	}) {
		*block = b
	}
}

func (c *codec) Side(name string, s *model.Side) {
	limb := ""
	if c.writing {
		limb = s.String()
	}
	fullText(c, name, &limb)
	switch limb {
	case model.Upper.String():
		*s = model.Upper
	case model.Lower.String():
		*s = model.Lower
	default:
		c.fail(name, "%q isn't a limb: write upper or lower", model.Shortened(limb))
	}
}

func (c *codec) Datum(from *model.Datum, otherwise model.Datum) {
	text(c, "from", from)
	switch {
	case *from == "" && !c.writing:
		*from = otherwise
	case *from != "" && *from != model.FromLine && *from != model.FromString:
		c.fail("from", "%q is nothing to measure from: write line or string", model.Shortened(string(*from)))
	}
}

func (c *codec) Patch(name string, set *[]byte) {
	if c.writing {
		c.put(name, json.RawMessage(*set))
		return
	}
	var doc json.RawMessage
	if !c.get(name, &doc) || !isObject(doc) {
		c.fail(name, "give an object with the fields that change")
	}
	*set = compact(doc)
}
