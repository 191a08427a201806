package ui

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/booktest"
	"bendbook/session/demo"
	"bendbook/session/shop"
	"bendbook/session/verdict"
	"bendbook/ui/look"
)

// morning is the time of all tests here.
var morning = time.Date(2027, 2, 1, 9, 0, 0, 0, time.UTC)

// hands drive an app as a person at the keyboard does.
type hands struct {
	t     testing.TB
	clock time.Time // stands still until it is set
	app   *app
	book  *booktest.Memory
	shop  *shop.Shop
	saved map[string]string // files that were written, by name
	// elsewhere: the files lie on another disk than the book, and fail not with it.
	elsewhere bool
	// hold keeps what is begun beside the keys' way from being done; it is done by settle.
	hold bool
	held []tea.Cmd
	// ticks are what the app wants to be told later, bells how often it rang.
	ticks []tick
	bells int
}

// tick is a message that is to come after a time.
type tick struct {
	after time.Duration
	msg   tea.Msg
}

// send gives the app a message, and does at once what it begins beside.
func (h *hands) send(msg tea.Msg) {
	_, cmd := h.app.Update(msg)
	switch {
	case cmd == nil || h.app.ended:
	case h.hold:
		h.held = append(h.held, cmd)
	default:
		h.do(cmd)
	}
}

func (h *hands) do(cmd tea.Cmd) {
	if cmd == nil {
		return
	}
	switch msg := cmd().(type) {
	case nil:
	case tea.BatchMsg:
		for _, each := range msg {
			h.do(each)
		}
	default:
		h.send(msg)
	}
}

// settle does what was held; again says that what comes of it is held too.
func (h *hands) settle(again bool) {
	held := h.held
	h.held, h.hold = nil, again
	for _, cmd := range held {
		h.do(cmd)
	}
}

// demoRecords are the demo shop's bows on that morning.
var demoRecords = sync.OnceValue(func() []byte {
	data, err := io.ReadAll(demo.Records(morning))
	if err != nil {
		panic(err)
	}
	return data
})

// demoRows are the rows of the demo shop with the verdicts on its bows, worked out once for all tests.
var demoRows = sync.OnceValue(func() map[string][]byte {
	book := booktest.New()
	s := shop.Open(book, shop.Options{Now: func() time.Time { return morning }, Entropy: rand.NewChaCha8([32]byte{1})})
	err := s.Import(bytes.NewReader(demoRecords()), func(shop.Imported) {})
	rows, unread := s.Rack()
	for _, row := range rows {
		_, unjudged := s.Judge(row.Bow.ID)
		err = errors.Join(err, unjudged)
	}
	s.KeepRows()
	_, docs, _ := book.Rows()
	if err = errors.Join(err, unread); err != nil {
		panic(err)
	}
	return docs
})

// handsOn are hands on a shop with an empty book, not opened yet.
func handsOn(t testing.TB) *hands {
	h := &hands{t: t, clock: morning, book: booktest.New(), saved: make(map[string]string)}
	h.openShop()
	return h
}

func (h *hands) openShop() {
	h.shop = shop.Open(h.book, shop.Options{
		Now: func() time.Time { return h.clock }, Entropy: rand.NewChaCha8([32]byte{1}),
	})
}

// sit opens an app of a size on a book: the demo shop, or an empty one.
func sit(t testing.TB, profile look.Profile, demoShop bool, width, height int) *hands {
	t.Helper()
	h := handsOn(t)
	if demoShop {
		err := h.shop.Import(bytes.NewReader(demoRecords()), func(shop.Imported) {})
		if err = errors.Join(err, h.book.KeepRows(demoRows())); err != nil {
			t.Fatal(err)
		}
		h.openShop() // which reads those rows
	}
	h.open(profile, width, height)
	return h
}

// open shows the shop anew, as after leaving and starting again. Hands do on one goroutine what the program does beside the keys' way, so
// that the race detector has nothing to see here: -short, which is for it, leaves it to the real program in ui/terminal.
func (h *hands) open(profile look.Profile, width, height int) {
	h.t.Helper()
	if testing.Short() {
		h.t.Skip("all on one goroutine")
	}
	app, err := newApp(Desk{
		Shop: h.shop, Styles: look.New(io.Discard, profile, look.Unknown, false), Place: time.UTC,
		Save: func(name string, data []byte) (string, error) {
			if h.book.Fail != nil && !h.elsewhere {
				return "", h.book.Fail
			}
			h.saved[name] = string(data)
			return "/shop/" + name, nil
		},
		advise: remembered,
		bell:   func() { h.bells++ },
		after: func(d time.Duration, msg tea.Msg) tea.Cmd {
			h.ticks = append(h.ticks, tick{d, msg})
			return nil
		},
	})
	if err != nil {
		h.t.Fatal(err)
	}
	h.app = app
	h.resize(width, height)
}

func (h *hands) resize(width, height int) {
	h.send(tea.WindowSizeMsg{Width: width, Height: height})
}

var named = map[string]tea.KeyType{
	"enter": tea.KeyEnter, "esc": tea.KeyEsc, "up": tea.KeyUp, "down": tea.KeyDown, "left": tea.KeyLeft, "right": tea.KeyRight,
	"tab": tea.KeyTab, "shift+tab": tea.KeyShiftTab, "pgup": tea.KeyPgUp, "pgdown": tea.KeyPgDown, "backspace": tea.KeyBackspace,
	"ctrl+c": tea.KeyCtrlC, "ctrl+s": tea.KeyCtrlS, "ctrl+x": tea.KeyCtrlX, "ctrl+o": tea.KeyCtrlO, "ctrl+p": tea.KeyCtrlP, "f1": tea.KeyF1, "f2": tea.KeyF2, "ctrl+l": tea.KeyCtrlL, "ctrl+j": tea.KeyCtrlJ, "home": tea.KeyHome, "end": tea.KeyEnd, "delete": tea.KeyDelete, "ctrl+k": tea.KeyCtrlK,
}

// press presses keys: a named one, or the runes of a text one by one.
func (h *hands) press(keys ...string) *hands {
	for _, key := range keys {
		if kind, isNamed := named[key]; isNamed {
			h.send(tea.KeyMsg{Type: kind})
			continue
		}
		for _, r := range key {
			h.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
		}
	}
	return h
}

// strokes presses keys as press does, and returns how many strokes of a hand they are.
func (h *hands) strokes(texts ...string) (n int) {
	for _, text := range texts {
		if _, isNamed := named[text]; isNamed {
			n++
		} else {
			n += len(text)
		}
	}
	h.press(texts...)
	return n
}

// answers confirms each text in turn.
func (h *hands) answers(texts ...string) *hands {
	for _, text := range texts {
		h.press(text, "enter")
	}
	return h
}

// see fails unless the screen shows all texts.
func (h *hands) see(texts ...string) {
	h.t.Helper()
	screen := ansi.Strip(h.app.View())
	for _, text := range texts {
		if !strings.Contains(screen, text) {
			h.t.Fatalf("the screen does not show %q:\n%s", text, screen)
		}
	}
}

// miss fails where the screen shows a text.
func (h *hands) miss(text string) {
	h.t.Helper()
	if screen := ansi.Strip(h.app.View()); strings.Contains(screen, text) {
		h.t.Fatalf("the screen shows %q:\n%s", text, screen)
	}
}

// bench is the bench that is open, on top or below.
func (h *hands) bench() *bench {
	h.t.Helper()
	for _, s := range h.app.screens {
		if b, ok := s.(*bench); ok {
			return b
		}
	}
	h.t.Fatal("no bow is on the bench")
	return nil
}

// settings are the shop's.
func (h *hands) settings() finish.Settings {
	h.t.Helper()
	s, err := h.shop.Settings()
	if err != nil {
		h.t.Fatal(err)
	}
	return s
}

// entries are how many entries all bows of the book have.
func (h *hands) entries() int { return len(h.documents()) }

// fits fails where the view is wider or taller than the window.
func (h *hands) fits(width, height int) {
	h.t.Helper()
	view := h.app.View()
	if view == "" {
		return
	}
	lines := strings.Split(view, "\n")
	if len(lines) > height {
		h.t.Fatalf("%d lines in a window of %d:\n%s", len(lines), height, view)
	}
	for _, line := range lines {
		if w := ansi.StringWidth(line); w > width {
			h.t.Fatalf("a line of %d cells in a window of %d: %q", w, width, line)
		}
	}
}

var errFull = errors.New("the disk is full")

// limbs are two limbs of 34 in with the same stations.
func limbs(stations ...measure.Length) [2]model.Limb {
	limb := model.Limb{Length: 34, Stations: stations}
	return [2]model.Limb{limb, limb}
}

// newBow brings a bow into the book, with what was done on it.
func (h *hands) newBow(bow model.Bow, done ...model.Event) *shop.Bench {
	h.t.Helper()
	if bow.Units == (measure.Units{}) {
		bow.Units = measure.Imperial()
	}
	id, err := h.shop.NewBow(bow, "")
	if err != nil {
		h.t.Fatal(err)
	}
	atWork, err := h.shop.Bench(id)
	if err != nil {
		h.t.Fatal(err)
	}
	for _, what := range done {
		if err := atWork.Add(what, ""); err != nil {
			h.t.Fatal(err)
		}
	}
	return atWork
}

// answers are what the readings of the demo's bows say, worked out once for all tests: it depends on nothing but the
// story, the settings and the shape.
var answers sync.Map

// remembered works out what the readings of a story say, unless that is known from another test.
func remembered(_ verdict.Advice, story session.Story, settings verdict.Settings, shape *aim.Aim) (verdict.Advice, error) {
	var key strings.Builder
	fmt.Fprintf(&key, "%+v|%+v|%+v|%v", story.Bow(), settings, shape, story.InHand)
	for _, line := range story.Lines {
		fmt.Fprintf(&key, "|%s %v %s", line.Entry.ID, line.Counts(), line.Doc)
	}
	work, _ := answers.LoadOrStore(key.String(), sync.OnceValues(func() (verdict.Advice, error) {
		return verdict.Of(story, settings, shape)
	}))
	return work.(func() (verdict.Advice, error))()
}

// sure confirms what is asked about.
func (h *hands) sure() *hands {
	for strings.Contains(h.app.View(), "SURE?") {
		h.press("enter")
	}
	return h
}

// reads is see where only the words count, not the blanks between them.
func (h *hands) reads(texts ...string) {
	h.t.Helper()
	screen := strings.Join(strings.Fields(ansi.Strip(h.app.View())), " ")
	for _, text := range texts {
		if !strings.Contains(screen, text) {
			h.t.Fatalf("the screen does not say %q:\n%s", text, ansi.Strip(h.app.View()))
		}
	}
}

// pulls enters a pull on the bench, without its stations.
func (h *hands) pulls(draw, peak string) {
	h.press(draw, "enter").sure().press(peak, "enter", "ctrl+s")
	if strings.Contains(h.app.View(), "FIRST: which string") {
		h.press("enter")
	}
	h.sure()
}
