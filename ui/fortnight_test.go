package ui

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session/shop"
	"bendbook/ui/look"
)

// eight are the bows in hand on the first morning: how far each is, and when it is due in February 2027.
var eight = []struct {
	name, wood string
	due        int // 0 for none
	weight     measure.Force
	done       []model.Event
}{
	{"Ash for Ada", "ash", 3, 35, tilleredAt(28, 37)},
	{"Ash for Bo", "ash", 5, 40, append(tilleredAt(28, 42), model.Finish{Step: "filed"}, model.Finish{Step: "sanded"}, model.Pull{Draw: 28, Peak: measure.Some[measure.Force](41)})},
	{"Yew for Cy", "yew", 0, 50, tilleredAt(28, 56)}, // too heavy still
	{"Yew for Dee", "yew", 20, 45, nil},
	{"Hickory for Eli", "hickory", 2, 30, append(tilleredAt(28, 32), model.Finish{Step: "sanded"}, model.Pull{Draw: 28, Peak: measure.Some[measure.Force](31)}, model.Finish{Step: "marked", Text: "30 lb @ 28 in"}, model.Finish{Step: "handle"})},
	{"Elm for Flo", "elm", 10, 25, tilleredAt(26, 27)},
	{"Ash for Gus", "ash", 12, 60, tilleredAt(28, 62)},
	{"Maple for Hal", "sugar maple", 14, 35, tilleredAt(28, 36.5)},
}

func tilleredAt(draw measure.Length, weight measure.Force) []model.Event {
	return []model.Event{
		model.Pull{Draw: 10, Peak: measure.Some[measure.Force](15)}, model.Braced{Height: measure.Some[measure.Length](6), From: model.FromString},
		model.Finish{Step: "horn nocks fitted"}, model.Scrape{Limb: model.Upper, From: 4, To: 12}, model.Pull{Draw: draw, Peak: measure.Some(weight)},
	}
}

// TestAFortnightWithEightBows lets a bowyer work from the list of what can be done today: every morning, noon and evening he takes the first
// bow that waits for something he can do now, as long as there is one. The bow that cannot be ready in time is told of on the first morning.
func TestAFortnightWithEightBows(t *testing.T) {
	t.Parallel()
	clock := time.Date(2027, 2, 1, 8, 0, 0, 0, time.UTC)
	h := shopOf(t, 3, &clock)
	for _, b := range eight {
		bow := model.Bow{Name: b.name, Wood: b.wood, Handle: 4, HandleDepth: measure.Some[measure.Length](1.25), Limbs: limbs(6, 8, 12),
			Order: model.Order{For: b.name[strings.LastIndex(b.name, " ")+1:], Draw: measure.Some[measure.Length](28), Weight: measure.Some(b.weight)},
			Rule:  1.0 / 16, Scale: 0.1}
		if b.due > 0 {
			bow.Order.Due = model.Day(fmt.Sprintf("2027-02-%02d", b.due))
		}
		switch b.wood {
		case "hickory":
			bow.Number = "26-112" // given before there was a book
		case "elm":
			bow.Order.Draw = measure.Some[measure.Length](26)
		}
		h.newBow(bow, b.done...)
	}
	h.open(look.NoColour, 80, 24)
	h.reads("1 not in time, 8 in hand", "> Hickory for Eli in 1 d !", "NOT IN TIME, ready 2027-02-03")
	h.press("t")
	for day := range 14 {
		for _, hour := range []int{8, 12, 17} {
			clock = time.Date(2027, 2, 1+day, hour, 0, 0, 0, time.UTC)
			h.press("esc", "t")
			h.workAtTheList()
		}
	}
	h.press("esc")
	h.reads("2 in hand, 8 in the book", "Yew for Cy tillering, pass 1", "Yew for Dee in 6 d roughed out")
	h.holdsTheRules()
	// Five bows of three woods were weighed before and after; each lost a pound.
	if takes := h.takes("ash"); takes.Sanding.Count != 3 || takes.Sanding.Mean != 1 {
		t.Errorf("%+v", takes.Sanding)
	}
}

// workAtTheList does what can be done now, bow by bow, with one key each: what is done at the tree is left.
func (h *hands) workAtTheList() {
	h.t.Helper()
	for range 200 {
		list := h.app.top().(*todayScreen)
		at := slices.IndexFunc(list.rows, func(row shop.Row) bool {
			return row.Today && !row.From.After(h.shop.Now()) && row.Next != "" && !slices.Contains([]string{"floor tiller", "braced", "tillered"}, row.Next)
		})
		if at < 0 {
			return
		}
		list.at = at
		bow := list.rows[at]
		h.press("x")
		if _, isForm := h.app.top().(*form); isForm { // a pound less than on the tree
			h.press("enter").sure().press(fmt.Sprint(float64(bow.Pull.Or(model.Pull{}).Peak.Or(0))-1), "enter").sure()
		}
		if _, back := h.app.top().(*todayScreen); !back {
			h.t.Fatalf("%s, %s: not logged with one key:\n%s", bow.Bow.Name, bow.Next, ansi.Strip(h.app.View()))
		}
	}
	h.t.Fatal("the day's work has no end")
}

// holdsTheRules checks of each bow that was handed over: two coats a day apart, a day's drying before it went, weighed after sanding, and marked with a
// number of its own.
func (h *hands) holdsTheRules() {
	t := h.t
	rows, err := h.shop.Rack()
	if err != nil {
		t.Fatal(err)
	}
	away, numbers := 0, map[string]string{}
	for _, row := range rows {
		if row.InHand {
			continue
		}
		away++
		story, err := h.shop.Story(row.Bow.ID)
		if err != nil {
			t.Fatal(err)
		}
		var coats []time.Time
		var gone time.Time
		for _, line := range story.Lines {
			switch step, _ := line.Entry.What.(model.Finish); step.Step {
			case "varnish":
				coats = append(coats, line.Entry.At)
			case model.HandedOver:
				gone = line.Entry.At
			}
		}
		if len(coats) != 2 || coats[1].Sub(coats[0]) < 24*time.Hour || gone.Sub(coats[1]) < 24*time.Hour {
			t.Errorf("%s: coats %v, handed over %v", row.Bow.Name, coats, gone)
		}
		w := shop.FirstWeighings(story, finish.Usual())
		if took, known := w.Sanding().Get(); !known || took != 1 {
			t.Errorf("%s: %+v", row.Bow.Name, w)
		}
		if by := numbers[row.Bow.Number]; by != "" {
			t.Errorf("%s and %s have the number %q", by, row.Bow.Name, row.Bow.Number)
		}
		numbers[row.Bow.Number] = row.Bow.Name
		if row.Bow.Order.Due != "" && gone.Format(time.DateOnly) > string(row.Bow.Order.Due) && row.Bow.Name != "Hickory for Eli" {
			t.Errorf("%s went on %v, due %s", row.Bow.Name, gone, row.Bow.Order.Due)
		}
	}
	if away != 6 {
		t.Errorf("%d bows were handed over, want 6", away)
	}
}
