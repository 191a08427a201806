package ui

import (
	"fmt"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"bendbook/session/form"
)

// screen is one of the app's pictures.
type screen interface {
	// title is the first line: the bow's name, which is cut first, what of it, and where one is.
	title() (name, what, right string)
	// idle is what the notice line says where there is no notice.
	idle() string
	// fit is called after each message with the room for the view; what is scrolled is brought into it.
	fit(width, height int)
	// view is exactly height lines, each at most width cells.
	view(width, height int) string
	// about says in a sentence or two what the screen is for, as its page does; the help begins with it.
	about() string
	// topics are the help topics that its help shows behind its keys.
	topics() []string
	// isOf takes the page that the screen was opened as.
	isOf(page)
	// actions are the screen's keys.
	actions() []action
	// typing takes a key before the actions do, where a field is being typed; taken says that it did.
	typing(msg tea.KeyMsg) (next move, taken bool)
	// opened is called when the screen was put on top.
	opened() move
	// leave keeps what is half typed; the screen may be shown again afterwards.
	leave() error
	// returned is called when the screen on top was closed.
	returned() error
	// background is work that is to begin now beside the keys; nil where there is none, or it is under way.
	background() tea.Cmd
}

// base gives a screen the methods that it has no use for.
type base struct{ page page }

func (b *base) isOf(p page)      { b.page = p }
func (b *base) about() string    { return b.page.about }
func (b *base) topics() []string { return topicsOf(b.page.name) }

func (base) idle() string                   { return "" }
func (base) fit(int, int)                   {}
func (base) typing(tea.KeyMsg) (move, bool) { return move{}, false }
func (base) opened() move                   { return move{} }
func (base) leave() error                   { return nil }
func (base) returned() error                { return nil }
func (base) background() tea.Cmd            { return nil }

// page is a screen as the router knows it.
type page struct {
	name  string
	about string // what it is for, in a sentence or two
	open  func(*Desk, route) (screen, error)
	key   action             // opens it at the bench, where it has keys
	off   func(*work) string // why it can't be opened there now; nil where it always can
}

// route says which screen to open, and with what. The router makes the screen of it.
type route struct {
	page  string
	bow   string      // its id, where work is not given
	work  *work       // the bow
	bows  []string    // ids of those to compare
	ask   *question   // what a form asks
	first *tea.KeyMsg // the key that opens a form and is the first one typed into it
}

// question is what a form asks, and what comes of it.
type question struct {
	filling *form.Form
	// after says where to go when the outcome is kept, and that it is.
	after func(form.Kept) move
	// waiting says whether what is expected is still being worked out; nil where nothing is.
	waiting func() bool
	held    time.Duration // how long the bow stood drawn, where the hold clock says so
}

// The screens that others open. Those with a key of their own at the bench (page.key) need no name here.
const (
	toRack     = "rack"
	toBench    = "bench"
	toForm     = "form"
	toHold     = "hold"
	toFinish   = "finish"
	toCard     = "card"
	toCompare  = "compare"
	toSettings = "settings"
)

// move is what a screen wants after a key. The zero value stays.
type move struct {
	open route       // a screen on top of this one; none without a page
	back bool        // to the one below
	swap bool        // open takes this one's place
	then func() move // is done by the screen below after back
	say  notice
}

func (m move) opens() bool { return m.open.page != "" }

// goTo opens a screen on a bow; nil for one that is about none.
func goTo(page string, w *work) move { return move{open: route{page: page, work: w}} }

func goToBow(page, id string) move { return move{open: route{page: page, bow: id}} }

func said(format string, args ...any) move {
	return move{say: notice{saying, fmt.Sprintf(format, args...)}}
}

func done(format string, args ...any) move {
	next := said(format, args...)
	next.back = true
	return next
}

func warned(format string, args ...any) move {
	return move{say: notice{warning, fmt.Sprintf(format, args...)}}
}

func failed(err error) move { return move{say: notice{failing, err.Error()}} }
