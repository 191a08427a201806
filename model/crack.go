package model

import (
	"cmp"
	"fmt"
	"strings"

	"bendbook/model/measure"
	"bendbook/model/plain"
)

// Crack is damage that was seen or heard. The bow isn't drawn until it's Mended.
type Crack struct {
	Limb  Side
	Place measure.Optional[measure.Length] // from the root
	What  string                           // one of Flaws
}

// Flaws are the kinds of damage that a record may name.
func Flaws() []string { return []string{"crack", "splinter", "chrysal", "noise"} }

func (Crack) Kind() Kind { return "crack" }

func (e *Crack) Fields(c Codec) {
	c.Side("limb", &e.Limb)
	c.MaybeLength("place", &e.Place)
	c.Word("what", &e.What)
}

func (e Crack) Say(of Bow) string { return fmt.Sprintf("%s %s", e.What, sayPlace(of, e.Limb, e.Place)) }

func (e Crack) check(of Bow) error {
	return cmp.Or(among("what", e.What, Flaws()...), of.checkPlace(e.Limb, e.Place))
}

// Mended says how a Crack was made good.
type Mended struct {
	Limb  Side
	Place measure.Optional[measure.Length] // of the crack
	How   string
}

func (Mended) Kind() Kind { return "mended" }

func (Mended) Work(Bow) Work {
	return Work{Begins: true, Since: "it was mended", Gently: true, Off: "mended"}
}

func (e *Mended) Fields(c Codec) {
	c.Side("limb", &e.Limb)
	c.MaybeLength("place", &e.Place)
	c.Text("how", &e.How)
}

func (e Mended) Say(of Bow) string {
	return fmt.Sprintf("mended %s: %s", sayPlace(of, e.Limb, e.Place), plain.Line(e.How))
}

func (e Mended) check(of Bow) error {
	if strings.TrimSpace(e.How) == "" {
		return Fault("how", "type how you mended it")
	}
	return cmp.Or(of.checkPlace(e.Limb, e.Place), checkText("how", e.How, longestText))
}

// oneCrack is how far apart a crack and its mending may be named (in).
const oneCrack measure.Length = 1

// MakesGood says whether a crack is the one that was mended.
func (e Mended) MakesGood(crack Crack) bool {
	at, known := crack.Place.Get()
	mended, told := e.Place.Get()
	return e.Limb == crack.Limb && (!known || told && max(at-mended, mended-at) <= oneCrack)
}

// sayPlace names a place: at 14 in on the upper limb.
func sayPlace(of Bow, limb Side, place measure.Optional[measure.Length]) string {
	where := fmt.Sprintf("on the %s limb", limb)
	if at, known := place.Get(); known {
		where = fmt.Sprintf("at %s %s", of.Ruler().WithUnit(at), where)
	}
	return where
}

// checkPlace judges a place on a limb, as a distance from its root.
func (b Bow) checkPlace(limb Side, place measure.Optional[measure.Length]) error {
	return b.checkLength("place", place.Or(0), 0, b.Limbs[limb].Length+readingSlack)
}
