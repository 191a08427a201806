package shop_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/shop"
)

// named puts a bow of that name and number into the shop and gives its id.
func (w *workshop) named(t *testing.T, name, number string) string {
	t.Helper()
	bow := ash()
	bow.Name, bow.Number = name, number
	return w.bench(t, bow).Story().Bow().ID
}

func TestFindByNumberIDOrTheStartOfAName(t *testing.T) {
	w := newWorkshop(1)
	wren := w.named(t, "Ash for Wren", "27/3")
	lark := w.named(t, "Ash for Lark", "27/4")
	yew := w.named(t, "Yew", "")
	yewLong := w.named(t, "Yew for Hollis", "Ash for Wren") // a number like another's name: the number goes first
	esh := w.named(t, "Ésh 🏹\ufe0f עץ", "")
	hidden := w.named(t, "\u202eE\x1b[31mlm\u200b one", "")
	for _, c := range []struct{ asked, want string }{
		{"27/3", wren}, {" 27/4 ", lark}, {wren, wren}, {strings.ToLower(lark), lark},
		{"ash for l", lark}, {"ASH FOR W", wren}, {"yew", yew}, {"Yew ", yew}, {"yew f", yewLong}, {"Ash for Wren", yewLong},
		{"ésh", esh}, {"Ésh 🏹", esh}, {"Ésh 🏹 עץ", esh}, {"e[31mlm one", hidden}, {"E[31MLM", hidden},
	} {
		bow, err := w.Find(c.asked)
		if err != nil || bow.ID != c.want {
			t.Errorf("%q finds %q (%v)", c.asked, bow.Name, err)
		}
	}
	bench, err := w.Bench(yew)
	must(t, err)
	renamed := bench.Story().Bow()
	renamed.Name = "Elder"
	must(t, bench.Redescribe(renamed, ""))
	if bow, err := w.Find("elder"); err != nil || bow.ID != yew {
		t.Errorf("its new name finds %q (%v)", bow.Name, err)
	}
	for _, asked := range []string{"oak", "for Wren", "", "  ", "\u202e", "27", wren[:8]} {
		if bow, err := w.Find(asked); !errors.Is(err, shop.ErrNoBow) {
			t.Errorf("%q finds %q (%v), want no bow", asked, bow.Name, err)
		}
	}
}

func TestAmbiguousNameListsWhatItCouldBe(t *testing.T) {
	w := newWorkshop(1)
	w.named(t, "Ash for Wren", "27/3")
	w.named(t, "Ash for \x1b[2JLark", "27/4\x07")
	twin := w.named(t, "Ash", "")
	other := w.named(t, "ash", "")
	_, err := w.Find("ash f")
	const want = `"ash f" could be "Ash for Wren" (number 27/3), "Ash for [2JLark" (number 27/4); ` +
		"give its number, its id or more of its name"
	if err == nil || err.Error() != want {
		t.Errorf("the error is %v, want %s", err, want)
	}
	// Two bows of one name are told apart by their ids.
	if _, err = w.Find("ash"); err == nil || !strings.Contains(err.Error(), twin) || !strings.Contains(err.Error(), other) {
		t.Errorf("%v does not give the ids", err)
	}
}

func TestAnAmbiguousNameListsNoMoreThanCanBeRead(t *testing.T) {
	w := newWorkshop(1)
	for n := range 100 {
		w.named(t, fmt.Sprintf("Bow %02d", n), "")
	}
	if _, err := w.Find("bow"); err == nil || len(err.Error()) > 600 || !strings.Contains(err.Error(), "and 90 more") {
		t.Errorf("what could be a hundred bows is told as %v", err)
	}
}

func TestNameOfABowCanBeShown(t *testing.T) {
	for _, c := range []struct {
		name, number, want string
	}{
		{"Ash\n\x1b[2J", "1", "Ash [2J"}, {" ", "27/1", "number 27/1"}, {"\u202e", "\u202e", "bow 01ARZ3NDEK"}, {"", "", "bow 01ARZ3NDEK"},
	} {
		bow := model.Bow{ID: "01ARZ3NDEKTSV4RRFFQ69G5FAV", Name: c.name, Number: c.number, Units: measure.Imperial()}
		if got := session.NameOf(bow); got != c.want {
			t.Errorf("%q with number %q is shown as %q, want %q", c.name, c.number, got, c.want)
		}
	}
	if got := session.NameOf(model.Bow{ID: "弓弓弓弓弓弓弓弓弓弓弓弓"}); got != "bow 弓弓弓弓弓弓弓弓弓弓" {
		t.Errorf("a foreign id is shown as %q", got)
	}
}
