package model

import (
	"cmp"
	"fmt"

	"bendbook/model/measure"
)

// Patch is what was put on a stretch of a limb, which may be stiffer for it.
type Patch struct {
	Limb     Side
	From, To measure.Length // from the root
	What     string         // one of Patches
}

// Patches are the additions that a record may name.
func Patches() []string { return []string{"backing", "sinew", "glue", "handle"} }

func (Patch) Kind() Kind { return "patch" }

func (e Patch) Work(of Bow) Work {
	return Work{Begins: true, Tiller: true, Since: "it was patched", Gently: true,
		Off: sayStretch(of, e.Limb, e.From, e.To) + " " + e.What}
}

func (e *Patch) Fields(c Codec) {
	c.Side("limb", &e.Limb)
	c.Length("from", &e.From)
	c.Length("to", &e.To)
	c.Word("what", &e.What)
}

func (e Patch) Say(of Bow) string {
	rule := of.Ruler()
	return fmt.Sprintf("%s on the %s limb, %s to %s", e.What, e.Limb, rule.Print(e.From), rule.WithUnit(e.To))
}

func (e Patch) check(of Bow) error {
	return cmp.Or(among("what", e.What, Patches()...), of.checkStretch(e.Limb, e.From, e.To))
}
