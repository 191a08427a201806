package advice

import (
	"strings"
	"testing"
	"unicode/utf8"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/model/plan"
	"bendbook/model/say"
	"bendbook/model/say/saytest"
)

// A text is begun with a capital, or put behind another, by its letters and not by its bytes.
func TestATextMayBeginWithAnyLetter(t *testing.T) {
	t.Cleanup(say.In(saytest.Tongue(saytest.Umlauts)))
	a := &Advice{Bow: model.Bow{Units: measure.Imperial()}}
	a.Findings = []Finding{{Says: a.sayFinding(estimate.Finding{From: 6, To: 10, Chance: 0.97})}}
	texts := a.sayLeftOver(plan.Plan{})
	if len(texts) != 1 || !strings.Contains(texts[0], "üUpper limb") {
		t.Errorf("what is left over is said as %q", texts)
	}
	wild := a.sayWild(estimate.Wild{Where: estimate.Where{Kind: estimate.Gap, At: 8}})
	if !strings.Contains(wild, "Übraced, ") {
		t.Errorf("a reading out of place is said as %q", wild)
	}
	for _, text := range append(texts, wild) {
		if !utf8.ValidString(text) {
			t.Errorf("%q is cut within a letter", text)
		}
	}
}

// dual is a tongue that has a form of its own for two things.
type dual struct{ saytest.Tongue }

func (d dual) SayMany(n int, one, many say.Word) string {
	if n == 2 {
		return strings.Replace(string(many), "%d", "%d together", 1)
	}
	return d.Tongue.SayMany(n, one, many)
}

func TestStrokesAreCountedByTheTongue(t *testing.T) {
	a := Advice{Bow: model.Bow{Units: measure.Imperial()}, tool: "rasp"}
	for n, want := range map[int]string{1: ", 1 stroke of the rasp", 13: ", 13 strokes of the rasp"} {
		if got := a.SayRemoval(Removal{Depth: measure.Some(0.02), Strokes: measure.Some(n)}); !strings.HasSuffix(got, want) {
			t.Errorf("%d strokes are said as %q", n, got)
		}
	}
	t.Cleanup(say.In(dual{saytest.Umlauts}))
	if got := a.SayRemoval(Removal{Depth: measure.Some(0.02), Strokes: measure.Some(2)}); !strings.HasSuffix(got, ", 2 together strokes of the rasp") {
		t.Errorf("two strokes are said as %q", got)
	}
}
