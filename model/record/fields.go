package record

import (
	"encoding/json"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
)

// The functions below go over the fields of the format, in the order in which they are written.

func (c *codec) bow(b *model.Bow) {
	b.Units = c.units
	fullText(c, "id", &b.ID)
	fullText(c, "name", &b.Name)
	text(c, "wood", &b.Wood)
	text(c, "number", &b.Number)
	c.set("handle", &b.Handle, c.writing)
	c.maybeLength("handle_depth", &b.HandleDepth)
	text(c, "section", &b.Section)
	if !c.object("limbs", func(c *codec) { c.limbs(b) }) {
		c.missing("limbs", "upper and lower")
	}
	c.object("order", func(c *codec) {
		o := &b.Order
		text(c, "for", &o.For)
		c.maybeLength("draw", &o.Draw)
		text(c, "draw_to", &o.DrawTo)
		c.maybeForce("weight", &o.Weight)
		c.maybeForce("allow", &o.Allow)
		text(c, "due", &o.Due)
		text(c, "hand", &o.Hand)
		text(c, "notes", &o.Notes)
	})
	c.object("aim", func(c *codec) {
		text(c, "bend", &b.Aim.Bend)
		c.maybeLength("tiller_at", &b.Aim.TillerAt)
		c.maybeLength("tiller", &b.Aim.Tiller)
		c.maybeLength("stiff_tips", &b.Aim.StiffTips)
	})
	c.object("readings", func(c *codec) {
		c.set("rule", &b.Rule, b.Rule > 0)
		scale := measure.Some(b.Scale)
		if b.Scale <= 0 {
			scale = measure.Optional[measure.Force]{}
		}
		c.maybeForce("scale", &scale)
		b.Scale = scale.Or(0)
		text(c, "cradle", &b.Cradle)
	})
}

// set is a length that is 0 where it is missing, and written where it is known.
func (c *codec) set(name string, v *measure.Length, known bool) {
	length := measure.Some(*v)
	if !known {
		length = measure.Optional[measure.Length]{}
	}
	c.maybeLength(name, &length)
	*v = length.Or(0)
}

func (c *codec) limbs(b *model.Bow) {
	for _, side := range model.Sides {
		limb := &b.Limbs[side]
		present := c.object(side.String(), func(c *codec) {
			c.length("length", &limb.Length)
			c.lengths("stations", &limb.Stations)
			c.row("widths", &limb.Widths)
			c.row("depths", &limb.Depths)
		})
		if !present {
			c.missing(side.String()+".length", "the limb's length from root to nock")
		}
	}
}

// head are the fields that every entry has.
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
		c.fail("at", "%q is no time; expected one like 2027-01-10T09:00:00Z", shorten(at))
	} else if year := e.At.Year(); year < 1970 || year > 9999 {
		c.fail("at", "the year %d is out of range; expected 1970 or later", year)
	}
}

// event goes over what an entry of a kind says; reading, was is nil.
func (c *codec) event(kind model.Kind, was model.Event) model.Event {
	switch kind {
	case "":
		c.missing("kind", "pull, braced, relaxed, scrape or the like")
	case model.KindRelaxed:
		e, _ := was.(model.Relaxed)
		c.pair(&e.Readings)
		return e
	case model.KindString:
		e, _ := was.(model.StringLength)
		c.length("length", &e.Length)
		return e
	case model.KindBraced:
		e, _ := was.(model.Braced)
		c.maybeLength("height", &e.Height)
		c.datum(&e.From, model.FromString)
		c.pair(&e.Readings)
		c.block(&e.Block)
		return e
	case model.KindPull:
		e, _ := was.(model.Pull)
		c.length("draw", &e.Draw)
		c.maybeForce("peak", &e.Peak)
		c.maybeSeconds("held", &e.Held)
		c.datum(&e.From, model.FromLine)
		c.pair(&e.Readings)
		return e
	case model.KindScrape:
		e, _ := was.(model.Scrape)
		c.side("limb", &e.Limb)
		c.length("from", &e.From)
		c.length("to", &e.To)
		text(c, "tool", &e.Tool)
		c.maybeCount("strokes", &e.Strokes)
		c.maybeLength("depth", &e.Depth)
		c.maybeNumber("depth_share", &e.DepthShare)
		return e
	case model.KindExercise:
		e, _ := was.(model.Exercise)
		pulls := measure.Some(e.Pulls)
		c.maybeCount("pulls", &pulls)
		return model.Exercise{Pulls: pulls.Or(0)}
	}
	return c.otherEvent(kind, was)
}

// otherEvent goes over what does not come from the tree.
func (c *codec) otherEvent(kind model.Kind, was model.Event) model.Event {
	switch kind {
	case model.KindFinish:
		e, _ := was.(model.Finish)
		fullText(c, "step", &e.Step)
		c.maybeCount("coat", &e.Coat)
		c.maybeCount("grit", &e.Grit)
		text(c, "on", &e.On)
		text(c, "text", &e.Text)
		return e
	case model.KindMoisture:
		e, _ := was.(model.Moisture)
		fullText(c, "where", &e.Where)
		c.maybeNumber("content", &e.Content)
		c.maybeNumber("celsius", &e.Celsius)
		c.maybeNumber("humidity", &e.Humidity)
		return e
	case model.KindNote:
		e, _ := was.(model.Note)
		fullText(c, "text", &e.Text)
		return e
	case model.KindVoid:
		e, _ := was.(model.Void)
		fullText(c, "entry", &e.Entry)
		if e.Entry == "" && !c.writing {
			c.missing("entry", "the id of the entry that is void")
		}
		text(c, "why", &e.Why)
		return e
	case model.KindEdit:
		e, _ := was.(model.Edit)
		e.Set = c.patch("set", e.Set)
		return e
	case model.KindRack:
		e, _ := was.(model.Rack)
		if c.writing {
			c.put("in_hand", e.InHand)
		} else if !c.get("in_hand", &e.InHand) {
			c.missing("in_hand", "true or false")
		}
		text(c, "why", &e.Why)
		return e
	}
	return model.Unknown{Name: kind}
}

func (c *codec) pair(r *model.Readings) {
	for _, side := range model.Sides {
		c.row(side.String(), &r[side])
	}
}

func (c *codec) block(block **model.Block) {
	b := *block
	if b == nil {
		if c.writing {
			return
		}
		b = &model.Block{}
	}
	if c.object("block", func(c *codec) {
		c.length("length", &b.Length)
		c.lengths("at", &b.At)
		c.pair(&b.Gaps)
	}) {
		*block = b
	}
}

func (c *codec) side(name string, s *model.Side) {
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
		c.fail(name, "%q is no limb; expected upper or lower", shorten(limb))
	}
}

func (c *codec) datum(from *model.Datum, otherwise model.Datum) {
	text(c, "from", from)
	switch {
	case *from == "" && !c.writing:
		*from = otherwise
	case *from != "" && *from != model.FromLine && *from != model.FromString:
		c.fail("from", "%q is nothing to measure from; expected line or string", shorten(string(*from)))
	}
}

// patch is an object that is kept as it is written.
func (c *codec) patch(name string, set json.RawMessage) json.RawMessage {
	if c.writing {
		c.put(name, set)
		return set
	}
	if !c.get(name, &set) || !isObject(set) {
		c.fail(name, "expected an object with the fields that change")
	}
	return compact(set)
}
