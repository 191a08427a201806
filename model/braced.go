package model

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"bendbook/model/measure"
)

const KindBraced Kind = "braced"

// Braced is the strung bow at rest.
type Braced struct {
	Height   measure.Optional[measure.Length] // brace height
	From     Datum
	Readings Readings
	By       ReadBy `json:",omitempty"`
	Block    *Block // nil where no block was laid on
}

// Block is a row of gaps at the middle of a straight block laid along the belly of the braced bow.
type Block struct {
	Length measure.Length
	At     []measure.Length // places of the block's middle from the root, the same on both limbs
	Gaps   Readings         // second index: as At
}

func (Braced) Kind() Kind { return KindBraced }

func (e *Braced) Fields(c Codec) {
	c.MaybeLength("height", &e.Height)
	c.Datum(&e.From, FromString)
	c.Readings(&e.Readings)
	c.Text("by", (*string)(&e.By))
	c.Block(&e.Block)
}

func (e Braced) Say(of Bow) string {
	rule := of.Ruler()
	parts := []string{"braced"}
	if height, known := e.Height.Get(); known {
		parts[0] = fmt.Sprintf("braced at %s", rule.WithUnit(height))
	}
	if e.Readings.Any() || e.Block == nil {
		parts = append(parts, fmt.Sprintf("%s to the %s", e.By.say(e.Readings), e.From))
	}
	if e.Block != nil {
		parts = append(parts, fmt.Sprintf("%s under a block of %s", e.Block.Gaps.say(),
			rule.WithUnit(e.Block.Length)))
	}
	return strings.Join(parts, ", ")
}

func (e Braced) check(of Bow) error {
	return cmp.Or(checkKnown("height", e.Height, of.checkBraceHeight),
		of.checkReadings(e.From, e.Readings), e.By.check(), of.checkBlock(e.Block))
}

func (b Bow) checkBraceHeight(height measure.Length) error {
	if !(height > 0 && height <= b.Length()/2) {
		return fmt.Errorf("a brace height is above 0 and within half the bow, %s", b.withUnit(b.Length()/2))
	}
	return nil
}

func (b Bow) checkBlock(block *Block) error {
	if block == nil {
		return nil
	}
	longest := max(b.Limbs[Upper].Length, b.Limbs[Lower].Length)
	if !(block.Length > 0 && block.Length <= longest) {
		return Fault("block.length", "type the block's length, at most a limb's %s", b.withUnit(longest))
	}
	if len(block.At) > MostStations {
		return Fault("block.at", "%d places are too many: type %d at most", len(block.At), MostStations)
	}
	for i, at := range block.At {
		if !(at >= 0 && at <= longest) {
			field := fmt.Sprintf("block.at[%d]", i)
			return Fault(field, "type a place on the limb, at most its %s", b.withUnit(longest))
		}
	}
	return cmp.Or(block.checkGaps(Upper), block.checkGaps(Lower))
}

func (b *Block) checkGaps(side Side) error {
	gaps, path := b.Gaps[side], "block."+side.String()
	if len(gaps) > len(b.At) {
		return Fault(path, "there are %d gaps for %d places", len(gaps), len(b.At))
	}
	for i, gap := range gaps {
		if v := float64(gap.Or(0)); !(math.Abs(v) <= float64(b.Length/2)) {
			return Fault(fmt.Sprintf("%s[%d]", path, i), "type the gap under the block, less than half its length")
		}
	}
	return nil
}
