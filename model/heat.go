package model

import (
	"cmp"
	"fmt"

	"bendbook/model/measure"
)

// Heat is a stretch of a limb that was bent or hardened with heat.
type Heat struct {
	Limb     Side
	From, To measure.Length                   // from the root
	Why      string                           // one of HeatedFor
	With     string                           // one of HeatedWith; "" where nobody said
	Reached  measure.Optional[measure.Length] // how far the nock stands behind the line since
}

// HeatedFor are the reasons that a record may name.
func HeatedFor() []string { return []string{"setback", "straighten", "twist", "toast"} }

// HeatedWith are the ways of heating that a record may name.
func HeatedWith() []string { return []string{"steam", "dry"} }

func (Heat) Kind() Kind { return "heat" }

func (e Heat) Work(of Bow) Work {
	return Work{Begins: true, Tiller: true, Moves: true, Since: "it was heated",
		Off: sayStretch(of, e.Limb, e.From, e.To) + " heat"}
}

func (e *Heat) Fields(c Codec) {
	c.Side("limb", &e.Limb)
	c.Length("from", &e.From)
	c.Length("to", &e.To)
	c.Word("why", &e.Why)
	c.Text("with", &e.With)
	c.MaybeLength("reached", &e.Reached)
}

func (e Heat) Say(of Bow) string {
	rule := of.Ruler()
	said := fmt.Sprintf("heated %s limb, %s to %s, %s", e.Limb, rule.Print(e.From), rule.WithUnit(e.To), e.Why)
	if e.With != "" {
		said += ", " + e.With
	}
	if reached, known := e.Reached.Get(); known {
		said += ", set back " + rule.WithUnit(reached)
	}
	return said
}

func (e Heat) check(of Bow) error {
	limb := of.Limbs[e.Limb].Length
	return cmp.Or(among("why", e.Why, HeatedFor()...), of.checkStretch(e.Limb, e.From, e.To),
		oneOf("with", e.With, HeatedWith()...), of.checkLength("reached", e.Reached.Or(0), -limb/2, limb/2))
}

// sayStretch names a stretch of a limb in short: upper 18–28.
func sayStretch(of Bow, limb Side, from, to measure.Length) string {
	return fmt.Sprintf("%s %s–%s", limb, of.Ruler().Short(from), of.Ruler().Short(to))
}

// checkStretch judges the stretch of a limb that something was done to, as distances from its root.
func (b Bow) checkStretch(side Side, from, to measure.Length) error {
	limb := b.Limbs[side].Length
	switch {
	case !(from >= 0 && from < limb):
		return Fault("from", "type a place on the %s limb, from 0 to under its %s", side, b.withUnit(limb))
	case !(to > from && to <= limb+readingSlack):
		return Fault("to", "type a place farther out, within the limb's %s", b.withUnit(limb))
	}
	return nil
}
