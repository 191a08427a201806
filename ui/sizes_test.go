package ui

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/virtual"
	"bendbook/session"
	"bendbook/session/advice"
	"bendbook/session/sheet"
	"bendbook/ui/look"
)

// confirm confirms each text in turn, and keeps what is asked about.
func (h *hands) confirm(texts ...string) {
	h.t.Helper()
	for _, text := range texts {
		h.press(text, "enter")
		f, isForm := h.app.top().(*form)
		if isForm && f.verdict.State == sheet.Asked {
			h.press("enter")
		}
		if isForm && f.verdict.State == sheet.Refused {
			h.t.Fatalf("%q is refused: %s", text, f.verdict.Says)
		}
	}
}

// A bow that is measured by the form, scraped by counted strokes and read again teaches what a stroke takes, and the plan then tells strokes.
func TestABowThatIsMeasuredTeachesAStroke(t *testing.T) {
	t.Parallel()
	const truth, strokes = 0.0032, 14
	r := rand.New(rand.NewPCG(5, 1))
	stave := virtual.New(r, virtual.Rough{Stiffness: 0.08, Width: 3, Rest: 0.0003, Heavy: 1.4, Follow: 0.0002})
	bow := model.Bow{
		Name: "Ash for Wren", Wood: "ash", Handle: measure.Length(stave.Bow.Handle), Section: model.SectionRectangle, Rule: 1.0 / 32, Scale: 0.1,
		Order: model.Order{Draw: measure.Some(measure.Length(stave.Draw)), Weight: measure.Some(measure.Force(stave.Weight))},
		Units: measure.Imperial(),
	}
	reads := virtual.Full(1.0 / 32)
	reads.Stations = []float64{4, 8, 12, 16, 20, 24, 28}
	for _, side := range model.Sides {
		bow.Limbs[side].Length = measure.Length(stave.Limb(side).Length)
		for _, at := range reads.Stations {
			bow.Limbs[side].Stations = append(bow.Limbs[side].Stations, measure.Length(at))
		}
	}
	// sizeAt is the limb that its stiffness makes it, if ash has a modulus of 1.7 million psi.
	sizeAt := func(side model.Side, at float64) (width, depth float64) {
		limb := stave.Limb(side)
		i := int(math.Round(at / limb.Length * float64(len(limb.At)-1)))
		width = 1.2 - 0.6*at/limb.Length
		return width, math.Cbrt(12 * limb.Stiffness[i] / (1.7e6 * width))
	}

	h := sit(t, look.NoColour, false, 80, 24)
	id, err := h.shop.NewBow(bow, "")
	if err != nil {
		t.Fatal(err)
	}
	h.open(look.NoColour, 80, 24)
	h.press("enter")
	h.hold = true // what the readings say is not looked at before the end
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	read := func() {
		hang := stave.Read(r, reads).Hangs[0]
		h.press("b")
		h.confirm(number(hang.Brace))
		h.press("ctrl+s")
		for _, pull := range hang.Pulls {
			h.press("p")
			h.confirm(number(pull.Draw), number(pull.Peak))
			for _, side := range model.Sides {
				for _, at := range reads.Stations {
					text := ""
					for _, v := range pull.Line {
						if v.Side == side && v.At == at {
							text = number(v.Value)
						}
					}
					h.confirm(text)
				}
			}
		}
		h.see("Saved 09:00: pull to 22 in")
	}

	h.press("m")
	for _, side := range model.Sides {
		for _, at := range reads.Stations {
			width, depth := sizeAt(side, at)
			h.confirm(fmt.Sprintf("%.2f", depth), fmt.Sprintf("%.2f", width))
		}
	}
	h.see("Saved 09:00: widths and depths measured.")
	read()
	var work []virtual.Scraping
	for _, side := range model.Sides {
		_, depth := sizeAt(side, 12)
		h.press("s")
		h.confirm(side.String(), "6", "20", "scraper", strconv.Itoa(strokes), "")
		work = append(work, virtual.Scraping{Side: side, From: 6, To: 20, Loss: -3 * math.Log(1-strokes*truth/depth)})
	}
	stave.Work(r, work, 0)
	h.press("x")
	h.confirm("20")
	read()

	teach, err := h.shop.Scraped("Ash", 8)
	if err != nil || len(teach) != 1 {
		t.Fatalf("%d bows teach: %v", len(teach), err)
	}
	learnt, ok := advice.LearnStrokes(teach).Of("scraper", "ash")
	if !ok || learnt.Count != 2 || learnt.Depth.Low > truth || learnt.Depth.High < truth {
		t.Errorf("learnt %+v, truly %v", learnt, truth)
	}
	story, err := h.shop.Story(id)
	if err != nil {
		t.Fatal(err)
	}
	if untold := advice.LearnStrokes([]session.Story{story.Without(story.Lines[0].Entry.ID)}); len(untold) > 0 {
		t.Errorf("without its sizes the bow teaches %+v", untold)
	}
	h.press("esc")
	h.hold, h.held = false, nil
	h.press("enter", "g")
	h.find(`in, [0-9]+ strokes of the scraper`)
}
